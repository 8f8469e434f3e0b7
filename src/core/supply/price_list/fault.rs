//! Why a row of a price list is no offer.

use super::price_text::PriceError;
use crate::core::quantity::Currency;
use serde::Serialize;

/// Says what keeps a row from being an offer.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RowFault {
    /// It has a price perhaps, but nothing says of what.
    #[error("neither number nor description")]
    Nameless,
    /// A cell is longer than any of a price list.
    #[error("longer than {0} letters: is a quotation mark left open?")]
    TooLong(usize),
    /// The row is in another currency than the list.
    #[error("{found:?} is not the currency of the list ({list}): import it as a list of its own")]
    OtherCurrency {
        /// The word found.
        found: String,
        /// The currency of the list.
        list: &'static str,
    },
    /// The price cannot be read.
    #[error("{0}")]
    Price(#[from] PriceError),
    /// A line above it says something of the prices that is not as stated.
    #[error("not read: {0}")]
    BelowText(String),
    /// It is a charge, and no part.
    #[error("a charge, and no part")]
    Charge,
    /// Its dimensions contradict each other.
    #[error("its columns of dimensions contradict each other: ask the supplier")]
    Dimensions,
    /// The supplier names the price only when asked.
    #[error("{0:?} is not a price: ask the supplier")]
    OnRequest(String),
    /// The part is no longer sold.
    #[error("{0:?}: no longer sold")]
    Discontinued(String),
    /// Nothing says how many pieces a pack has.
    #[error("{0:?} does not say how many pieces are sold at this price")]
    PackUnclear(String),
    /// Two cells say different packs.
    #[error("the pack is {column} by its column and {description} by the description")]
    TwoPacks {
        /// Pieces by the column.
        column: u32,
        /// Pieces by the description.
        description: u32,
    },
    /// Two cells say different materials.
    #[error("{column} by its column and {description} by the description")]
    TwoMaterials { column: String, description: String },
    /// A discount that is no percentage.
    #[error("{0:?} is not a discount in percent")]
    Discount(String),
    /// A price that holds from a number of pieces on which cannot be read.
    #[error("{0:?} is not a number of pieces")]
    Quantity(String),
    /// The number was made a date by a spreadsheet.
    #[error(
        "{number:?} is a date that a spreadsheet made of a part number, perhaps of {former}: format the column as text and enter the number again"
    )]
    DateDamaged {
        /// The number as it stands.
        number: String,
        /// What it may have been.
        former: String,
    },
}

impl RowFault {
    /// A price in a currency that is not the list's.
    pub(super) fn other_currency(found: &str, list: Currency) -> Self {
        Self::OtherCurrency {
            found: found.to_owned(),
            list: list.letters(),
        }
    }
}

/// Says why a row is no offer, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reject {
    /// The line, from 1.
    pub line: u64,
    /// The column, from 1; `None` where the row as a whole is meant.
    pub column: Option<usize>,
    /// Why.
    pub fault: RowFault,
}

/// Says why a line of a list is no row of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PassedOver {
    /// Nothing stands there.
    Blank,
    /// The heads stand there again.
    Heads,
    /// A heading for the rows below, or a line of text.
    Text,
    /// A sum.
    Total,
    /// The line is hidden in the workbook.
    Hidden,
}
