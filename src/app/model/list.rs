//! Lists the models of the book.

use super::unit_records::all_unit_records;
use crate::core::book::UnitRecord;
use crate::core::quantity::Date;
use crate::store::{Book, BookPlace, StoreError};
use serde::Serialize;

/// The models of the book.
#[derive(Debug, Clone, Serialize)]
pub struct ModelList {
    /// One line a model, by name.
    pub models: Vec<ModelLine>,
}

/// One model of the list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ModelLine {
    pub model: String,
    /// How many units are recorded.
    pub units: usize,
    /// How many parts of them are recorded.
    pub parts: usize,
    /// The day of the newest note.
    pub newest: Option<Date>,
    /// Other shops whose notes speak for some of its units.
    pub from_shops: Vec<String>,
}

/// Lists the models of the book.
///
/// # Errors
/// Fails where the book cannot be read.
pub fn list_models(place: &BookPlace) -> Result<ModelList, StoreError> {
    let mut book = Book::open_to_read(place)?;
    book.read(|book| {
        let mut models = Vec::new();
        for model in book.models()? {
            let records = all_unit_records(book, model.id)?;
            models.push(ModelLine {
                model: model.name.to_string(),
                units: records.len(),
                parts: records.iter().map(|record| record.parts.len()).sum(),
                from_shops: UnitRecord::shops_of(&records),
                newest: records.iter().filter_map(|record| record.header.date).max(),
            });
        }
        Ok(ModelList { models })
    })
}
