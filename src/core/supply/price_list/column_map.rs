//! Which column of a price list holds what.

use super::column::{Column, PriceColumn};
use super::price_text::parse_price;
use crate::core::quantity::Currency;
use serde::Serialize;

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
        "{0:?} is not a mapping: write as number=1,description=2,price=4,pack=3, with price-from-10=5 for a price from ten packs on, each=4 for the price of one piece, price-per-100=4 for that of a hundred"
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
            if map.place(column).is_some() && !column.may_repeat() {
                return Err(ColumnMapError::Twice(column));
            }
            map.put(column, place);
        }
        map.complete()
    }

    /// Proposes a mapping for a table without heads: the one column of prices, the column of longest words, the first other one.
    pub fn of_sample(sample: &[Vec<String>]) -> Self {
        let mut map = Self::default();
        let columns = sample.iter().map(Vec::len).max().unwrap_or(0);
        let cells = |at: usize| sample.iter().filter_map(move |row| row.get(at));
        let is_price = |at: &usize| {
            let decimals = |cell: &&String| {
                cell.contains(['.', ',']) && parse_price(cell, Currency::Eur, 1).is_ok()
            };
            let read = cells(*at).filter(decimals).count();
            read > 0 && 2 * read > sample.len()
        };
        // Of two columns of decimals nobody can tell which is the price.
        if let [at] = (0..columns).filter(is_price).collect::<Vec<_>>().as_slice() {
            map.put(Column::PRICE, at + 1);
        }
        let length = |at: &usize| cells(*at).map(String::len).sum::<usize>();
        let longest = (0..columns)
            .filter(|at| map.is_free(at + 1))
            .max_by_key(length);
        if let Some(at) = longest.filter(|at| length(at) > 8 * sample.len()) {
            map.put(Column::Description, at + 1);
        }
        if let Some(at) = (0..columns).find(|at| map.is_free(at + 1)) {
            map.put(Column::Number, at + 1);
        }
        map
    }

    fn is_free(&self, place: usize) -> bool {
        self.places.iter().all(|(_, known)| *known != place)
    }

    /// Says that a column stands at a place.
    pub(super) fn put(&mut self, column: Column, place: usize) {
        self.places.push((column, place));
        self.places.sort_by_key(|(_, place)| *place);
    }

    /// Takes a column out and returns where it stood.
    pub(super) fn take(&mut self, column: Column) -> Option<usize> {
        let place = self.place(column)?;
        self.places.retain(|(known, _)| *known != column);
        Some(place)
    }

    /// Checks that a list can be read with the mapping.
    ///
    /// # Errors
    /// Says what is missing.
    pub fn complete(self) -> Result<Self, ColumnMapError> {
        let has = |column| self.place(column).is_some();
        let named = [
            Column::Number,
            Column::Description,
            Column::Size,
            Column::Id,
            Column::IdInch,
        ];
        if !named.into_iter().any(has) {
            return Err(ColumnMapError::Missing("a part number or a description"));
        }
        if self.price().is_none() {
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

    /// Lists the places of a column that may stand several times.
    pub(super) fn all(&self, column: Column) -> impl Iterator<Item = usize> {
        let places = self.places.iter();
        places
            .filter(move |(known, _)| *known == column)
            .map(|(_, place)| *place)
    }

    /// Lists the columns of prices with their places, that of the fewest pieces first.
    pub fn prices(&self) -> Vec<(PriceColumn, usize)> {
        let mut prices: Vec<(PriceColumn, usize)> = self
            .places
            .iter()
            .filter_map(|(column, place)| match column {
                Column::Price(price) => Some((*price, *place)),
                _ => None,
            })
            .collect();
        prices.sort_by_key(|(price, _)| price.from);
        prices
    }

    /// Returns the column of the price of the fewest pieces, with its place.
    pub fn price(&self) -> Option<(PriceColumn, usize)> {
        self.prices().first().copied()
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

#[cfg(test)]
mod tests {
    use super::*;

    fn strings(cells: &[&str]) -> Vec<String> {
        cells.iter().map(|c| (*c).to_owned()).collect()
    }

    #[test]
    fn a_mapping_is_proposed_from_rows_without_heads() {
        let sample = [
            strings(&["A1", "O-RING 012 NBR 70", "3.20"]),
            strings(&["A2", "O-RING 014 NBR 70", "4,10"]),
        ];
        assert_eq!(
            ColumnMap::of_sample(&sample).to_string(),
            "number=1,description=2,price=3"
        );
        let two = [strings(&["A1", "O-RING 012 NBR 70", "3.20", "3.50"])];
        assert!(ColumnMap::of_sample(&two).complete().is_err());
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
}
