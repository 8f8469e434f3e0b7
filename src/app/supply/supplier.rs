//! What an order at a supplier costs beside the goods, and which lists are in force.

use crate::store::{Book, BookPlace, StoreError, StoredPriceList, Terms};
use serde::Serialize;

/// Says why terms cannot be kept.
#[derive(Debug, thiserror::Error)]
pub enum TermsError {
    /// The amounts are in two currencies.
    #[error(
        "carriage, minimum and the sum above which carriage is free are in two currencies: give all in the currency of the supplier's list"
    )]
    TwoCurrencies,
    /// The book cannot be used.
    #[error("{0}")]
    Store(#[from] StoreError),
}

/// One supplier as it is shown.
#[derive(Debug, Clone, Serialize)]
pub struct SupplierShown {
    pub name: String,
    #[serde(flatten)]
    pub terms: Terms,
    /// The other shop whose word these terms are.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_shop: Option<String>,
    /// Its list in force.
    pub list: Option<StoredPriceList>,
}

/// Lists the suppliers.
#[derive(Debug, Clone, Serialize)]
pub struct SuppliersReport {
    /// By name.
    pub suppliers: Vec<SupplierShown>,
}

/// Lists the suppliers with their terms and lists.
pub fn suppliers(place: &BookPlace) -> Result<SuppliersReport, StoreError> {
    let mut book = Book::open_to_read(place)?;
    book.read(|book| {
        let lists = book.price_lists()?;
        let shown = book.suppliers()?.into_iter().map(|s| SupplierShown {
            list: lists.iter().find(|l| l.supplier == s.name).cloned(),
            name: s.name,
            terms: s.terms,
            from_shop: s.from_shop,
        });
        Ok(SuppliersReport {
            suppliers: shown.collect(),
        })
    })
}

/// Keeps what an order at a supplier costs beside the goods; what is not given stays.
///
/// # Errors
/// Fails where the amounts differ in currency, or the book cannot be written.
pub fn set_supplier_terms(
    place: &BookPlace,
    name: &str,
    given: Terms,
) -> Result<SuppliersReport, TermsError> {
    let mut book = Book::open_to_write(place)?;
    book.write(|book| {
        let id = book.supplier_or_new(name)?;
        let known = book.supplier(name)?;
        let kept = known.map_or_else(Terms::default, |supplier| supplier.terms);
        let terms = Terms {
            carriage: given.carriage.or(kept.carriage),
            minimum: given.minimum.or(kept.minimum),
            free_above: given.free_above.or(kept.free_above),
        };
        let amounts = [terms.carriage, terms.minimum, terms.free_above];
        let mut currencies = amounts.into_iter().flatten().map(|m| m.currency);
        let Some(currency) = currencies.next() else {
            return Ok(());
        };
        if currencies.any(|other| other != currency) {
            return Err(TermsError::TwoCurrencies);
        }
        Ok(book.set_terms(id, currency, terms)?)
    })?;
    Ok(suppliers(place)?)
}
