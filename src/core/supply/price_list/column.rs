//! What a column of a price list holds.

use serde::{Deserialize, Serialize};
use std::fmt;

/// Says for how many pieces a price is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Priced {
    /// For a pack, whatever its size.
    Pack,
    /// For this many pieces: one, or a hundred.
    Pieces(u32),
}

/// Says what a column of prices holds: the price of what, and from how many of it on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct PriceColumn {
    pub priced: Priced,
    /// From how many on it holds: packs where a pack is priced, else pieces.
    pub from: u32,
}

/// Names what a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(into = "String", try_from = "String")]
pub enum Column {
    /// The supplier's part number.
    Number,
    /// A description; a list may have several columns of it.
    Description,
    /// A size in words or figures, which belongs to the description.
    Size,
    Price(PriceColumn),
    /// How many pieces the price of the row is for: 1, 100, 1000.
    PriceUnit,
    /// In what the row is counted and priced: each, pack of 10, hundred.
    Unit,
    /// From how many on the price of the row holds.
    FromQuantity,
    /// What is taken off the price, in percent.
    Discount,
    /// Pieces in a pack.
    Pack,
    /// The fewest pieces that are sold at once.
    Smallest,
    Currency,
    /// Inside diameter in millimetres.
    Id,
    /// Inside diameter in inches.
    IdInch,
    /// Outside diameter in millimetres.
    Od,
    /// Outside diameter in inches.
    OdInch,
    /// Cross-section in millimetres.
    Section,
    /// Cross-section in inches.
    SectionInch,
    /// The material, perhaps with its hardness.
    Material,
    Hardness,
    /// Whether the part is still sold.
    Status,
}

const WORDS: [(&str, Column); 19] = [
    ("number", Column::Number),
    ("description", Column::Description),
    ("size", Column::Size),
    ("price-unit", Column::PriceUnit),
    ("unit", Column::Unit),
    ("from-quantity", Column::FromQuantity),
    ("discount", Column::Discount),
    ("pack", Column::Pack),
    ("smallest", Column::Smallest),
    ("currency", Column::Currency),
    ("id", Column::Id),
    ("id-inch", Column::IdInch),
    ("od", Column::Od),
    ("od-inch", Column::OdInch),
    ("section", Column::Section),
    ("section-inch", Column::SectionInch),
    ("material", Column::Material),
    ("hardness", Column::Hardness),
    ("status", Column::Status),
];

impl Column {
    /// The price of one pack.
    pub const PRICE: Self = Self::Price(PriceColumn {
        priced: Priced::Pack,
        from: 1,
    });

    /// Reads the word of a column, as a mapping writes it: "number", "each", "price-per-100-from-500".
    pub fn from_word(word: &str) -> Option<Self> {
        let known = WORDS.iter().find(|(known, _)| *known == word);
        known
            .map(|(_, column)| *column)
            .or_else(|| PriceColumn::from_word(word).map(Self::Price))
    }

    /// Tells whether several columns of this kind are read one after the other.
    pub(super) fn may_repeat(self) -> bool {
        matches!(self, Self::Description | Self::Size)
    }

    /// Returns the same column in inches, where it has lengths.
    pub(super) fn in_inches(self) -> Self {
        match self {
            Self::Id => Self::IdInch,
            Self::Od => Self::OdInch,
            Self::Section => Self::SectionInch,
            other => other,
        }
    }
}

impl PriceColumn {
    fn from_word(word: &str) -> Option<Self> {
        let (base, from) = match word.split_once("-from-") {
            Some((base, from)) => (base, from.parse().ok().filter(|n| *n > 1)?),
            None => (word, 1),
        };
        let priced = match base {
            "price" => Priced::Pack,
            "each" => Priced::Pieces(1),
            _ => Priced::Pieces(
                base.strip_prefix("price-per-")?
                    .parse()
                    .ok()
                    .filter(|n| *n > 1)?,
            ),
        };
        Some(Self { priced, from })
    }
}

impl fmt::Display for PriceColumn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.priced {
            Priced::Pack => f.write_str("price")?,
            Priced::Pieces(1) => f.write_str("each")?,
            Priced::Pieces(count) => write!(f, "price-per-{count}")?,
        }
        if self.from > 1 {
            write!(f, "-from-{}", self.from)?;
        }
        Ok(())
    }
}

impl fmt::Display for Column {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Self::Price(price) = self {
            return price.fmt(f);
        }
        let word = WORDS.iter().find(|(_, column)| column == self);
        f.write_str(word.map_or("", |(word, _)| word))
    }
}

impl From<Column> for String {
    fn from(column: Column) -> Self {
        column.to_string()
    }
}

impl TryFrom<String> for Column {
    type Error = String;

    fn try_from(word: String) -> Result<Self, String> {
        Self::from_word(&word).ok_or_else(|| format!("{word:?} is not a column of a price list"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_column_reads_back_from_its_word() {
        for word in WORDS.iter().map(|(word, _)| *word).chain([
            "price",
            "each",
            "price-per-100",
            "price-from-10",
            "each-from-50",
            "price-per-100-from-500",
        ]) {
            let column = Column::from_word(word).expect("a column");
            assert_eq!(column.to_string(), word);
        }
        for word in ["", "price-from-1", "price-per-0", "each-from-x", "Number"] {
            assert_eq!(Column::from_word(word), None, "{word}");
        }
    }
}
