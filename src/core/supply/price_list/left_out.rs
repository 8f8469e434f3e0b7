//! Which columns of a price list are left out, and why.

use serde::Serialize;

/// Says why a column of a list was left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LeftOutWhy {
    /// Its head says nothing that is known.
    NotUnderstood,
    /// It holds nothing that an offer needs.
    NotNeeded,
    /// It is hidden in the workbook.
    Hidden,
    /// It holds the list price, and another one what is paid.
    ListPrice,
    /// It holds the former price.
    OldPrice,
    /// Its prices have tax in them, and the list is to be read without; or the other way round.
    OtherTax,
    /// Its prices are in another currency.
    OtherCurrency,
    /// Another column holds the same.
    SaidTwice,
}

/// Names a column that was left out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LeftOut {
    /// Its place, from 1.
    pub place: usize,
    pub head: String,
    pub why: LeftOutWhy,
}
