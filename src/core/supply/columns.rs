//! Which column of a price list holds what.

use super::price_text::parse_price;
use crate::core::data_table::shipped_rows;
use crate::core::quantity::Currency;
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// Names what a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Column {
    /// The supplier's part number.
    Number,
    /// The description.
    Description,
    /// The price of a pack.
    Price,
    /// The price of one piece.
    Each,
    /// Pieces in a pack.
    Pack,
    /// The currency.
    Currency,
    /// Inside diameter in millimetres.
    Id,
    /// Cross-section in millimetres.
    Section,
    /// The material.
    Material,
    /// The hardness.
    Hardness,
    /// The price of a pack from this many packs on.
    PriceFrom(u32),
}

impl Column {
    const WORDS: [(&'static str, Self); 10] = [
        ("number", Self::Number),
        ("description", Self::Description),
        ("price", Self::Price),
        ("each", Self::Each),
        ("pack", Self::Pack),
        ("currency", Self::Currency),
        ("id", Self::Id),
        ("section", Self::Section),
        ("material", Self::Material),
        ("hardness", Self::Hardness),
    ];

    fn from_word(word: &str) -> Option<Self> {
        if let Some(count) = word.strip_prefix("price-from-") {
            return count.parse().ok().filter(|n| *n > 1).map(Self::PriceFrom);
        }
        Self::WORDS
            .iter()
            .find(|(known, _)| *known == word)
            .map(|(_, column)| *column)
    }
}

impl std::fmt::Display for Column {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if let Self::PriceFrom(count) = self {
            return write!(f, "price-from-{count}");
        }
        let word = Self::WORDS.iter().find(|(_, column)| column == self);
        f.write_str(word.map_or("", |(word, _)| word))
    }
}

/// Says which column, counted from 1, holds what.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
#[serde(transparent)]
pub struct ColumnMap {
    places: Vec<(Column, usize)>,
}

/// Says what is wrong with a mapping.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ColumnMapError {
    /// A piece is not of the form column=number.
    #[error(
        "{0:?} is no mapping: write as number=1,description=2,price=4,pack=3, with price-from-10=5 for a price from ten packs on"
    )]
    Unknown(String),
    /// A column is named twice.
    #[error("{0} is mapped twice")]
    Twice(Column),
    /// What every list needs is missing.
    #[error(
        "the list needs {0}: name its column with --mapping, as number=1,description=2,price=3"
    )]
    Missing(&'static str),
}

#[derive(Deserialize)]
struct HeadRow {
    head: String,
    column: Column,
}

static HEADS: LazyLock<Vec<HeadRow>> = LazyLock::new(|| {
    shipped_rows(
        "supply/column_heads.csv",
        include_str!("../../../data/supply/column_heads.csv"),
    )
});

impl ColumnMap {
    /// Reads a mapping such as `number=1,description=2,price=4`.
    ///
    /// # Errors
    /// Says which piece cannot be read, or what is missing.
    pub fn parse(text: &str) -> Result<Self, ColumnMapError> {
        let mut map = Self::default();
        for piece in text.split(',').filter(|piece| !piece.trim().is_empty()) {
            let unknown = || ColumnMapError::Unknown(piece.trim().to_owned());
            let (word, place) = piece.split_once('=').ok_or_else(unknown)?;
            let column = Column::from_word(word.trim()).ok_or_else(unknown)?;
            let place: usize = place.trim().parse().map_err(|_| unknown())?;
            if !(1..=1000).contains(&place) {
                return Err(unknown());
            }
            if map.place(column).is_some() {
                return Err(ColumnMapError::Twice(column));
            }
            map.places.push((column, place));
        }
        map.complete()
    }

    /// Proposes a mapping from the heads of the columns, and from a sample of rows where the heads say too little.
    pub fn propose(heads: &[String], sample: &[Vec<String>]) -> Self {
        let mut map = Self::default();
        for (at, head) in heads.iter().enumerate() {
            if let Some(column) = of_head(head)
                && map.place(column).is_none()
            {
                map.places.push((column, at + 1));
            }
        }
        if map.place(Column::Price).is_some() {
            map.places.retain(|(column, _)| *column != Column::Each);
        }
        map.complete_from(heads.len(), sample);
        map
    }

    /// Takes a price column and a description from the sample: the last column of prices, the column of longest words.
    fn complete_from(&mut self, columns: usize, sample: &[Vec<String>]) {
        let free = |map: &Self, at: usize| map.places.iter().all(|(_, place)| *place != at + 1);
        let cells = |at: usize| sample.iter().filter_map(move |row| row.get(at));
        if self.place(Column::Price).is_none() && self.place(Column::Each).is_none() {
            let is_price = |at: &usize| {
                let decimals = |cell: &&String| {
                    cell.contains(['.', ',']) && parse_price(cell, Currency::Eur, 1).is_ok()
                };
                let read = cells(*at).filter(decimals).count();
                read > 0 && 2 * read > sample.len()
            };
            if let Some(at) = (0..columns).filter(|at| free(self, *at)).rfind(is_price) {
                self.places.push((Column::Price, at + 1));
            }
        }
        if self.place(Column::Description).is_none() {
            let length = |at: &usize| cells(*at).map(String::len).sum::<usize>();
            let longest = (0..columns).filter(|at| free(self, *at)).max_by_key(length);
            if let Some(at) = longest.filter(|at| length(at) > 8 * sample.len()) {
                self.places.push((Column::Description, at + 1));
            }
        }
        if self.place(Column::Number).is_none()
            && let Some(at) = (0..columns).find(|at| free(self, *at))
        {
            self.places.push((Column::Number, at + 1));
        }
    }

    /// Checks that a list can be read with the mapping.
    ///
    /// # Errors
    /// Says what is missing.
    pub fn complete(self) -> Result<Self, ColumnMapError> {
        let has = |column| self.place(column).is_some();
        if !has(Column::Number) && !has(Column::Description) {
            return Err(ColumnMapError::Missing("a part number or a description"));
        }
        if !has(Column::Price) && !has(Column::Each) {
            return Err(ColumnMapError::Missing("a price"));
        }
        Ok(self)
    }

    /// Returns the place of a column, counted from 1.
    pub fn place(&self, column: Column) -> Option<usize> {
        self.places
            .iter()
            .find(|(known, _)| *known == column)
            .map(|(_, place)| *place)
    }

    /// Lists the columns with their places.
    pub fn columns(&self) -> impl Iterator<Item = (Column, usize)> {
        self.places.iter().copied()
    }

    /// Lists the places of price breaks with the number of packs from which each holds, rising.
    pub fn breaks(&self) -> Vec<(u32, usize)> {
        let mut breaks: Vec<(u32, usize)> = self
            .places
            .iter()
            .filter_map(|(column, place)| match column {
                Column::PriceFrom(from) => Some((*from, *place)),
                _ => None,
            })
            .collect();
        breaks.sort_unstable();
        breaks
    }
}

impl std::fmt::Display for ColumnMap {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for (at, (column, place)) in self.places.iter().enumerate() {
            let comma = if at == 0 { "" } else { "," };
            write!(f, "{comma}{column}={place}")?;
        }
        Ok(())
    }
}

/// Finds the column that a head names: a known head, or a price from a number of packs on ("10+", "price 10").
fn of_head(head: &str) -> Option<Column> {
    let lower = head.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !(c.is_alphanumeric() || matches!(c, '#' | '+')))
        .filter(|word| !word.is_empty() && Currency::from_word(word).is_none())
        .collect();
    let plain = words.join(" ");
    if let Some(row) = HEADS.iter().find(|row| row.head == plain) {
        return Some(row.column);
    }
    let (count, rest) = match words.as_slice() {
        [word] => (word, None),
        [first, word] | [first, "from", word] => (word, Some(*first)),
        _ => return None,
    };
    let from: u32 = count.trim_end_matches('+').parse().ok()?;
    let priced =
        matches!(rest, Some("price" | "preis" | "ab")) || (rest.is_none() && count.ends_with('+'));
    match from {
        1 if priced => Some(Column::Price),
        2.. if priced => Some(Column::PriceFrom(from)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strings(cells: &[&str]) -> Vec<String> {
        cells.iter().map(|c| (*c).to_owned()).collect()
    }

    #[test]
    fn a_mapping_is_proposed_from_heads_and_from_the_sample() {
        let map = ColumnMap::propose(
            &strings(&["Part No.", "Description", "Pack", "Price EUR", "10+"]),
            &[],
        );
        assert_eq!(
            map.to_string(),
            "number=1,description=2,pack=3,price=4,price-from-10=5"
        );
        let sample = [
            strings(&["A1", "O-RING 012 NBR 70", "3.20"]),
            strings(&["A2", "O-RING 014 NBR 70", "4,10"]),
        ];
        let map = ColumnMap::propose(&strings(&["a", "b", "c"]), &sample);
        assert_eq!(map.to_string(), "price=3,description=2,number=1");
    }

    #[test]
    fn a_mapping_reads_back_and_says_what_it_lacks() {
        let text = "number=1,description=2,price=4,price-from-10=5";
        assert_eq!(ColumnMap::parse(text).expect("reads").to_string(), text);
        assert!(matches!(
            ColumnMap::parse("number=1"),
            Err(ColumnMapError::Missing(_))
        ));
        assert!(matches!(
            ColumnMap::parse("number=x"),
            Err(ColumnMapError::Unknown(_))
        ));
        assert!(matches!(
            ColumnMap::parse("price=1,price=2"),
            Err(ColumnMapError::Twice(_))
        ));
    }

    #[test]
    fn no_head_is_listed_twice() {
        for (at, row) in HEADS.iter().enumerate() {
            assert!(
                HEADS[at + 1..].iter().all(|other| other.head != row.head),
                "{}",
                row.head
            );
        }
    }
}
