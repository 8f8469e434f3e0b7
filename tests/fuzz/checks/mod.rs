//! What must hold of every text that comes from outside: one check a reader, a panic where it does not hold.
//!
//! The fuzz targets call these with bytes that are changed to reach new branches; `tests/it/corpus_replay.rs` calls
//! them with the bytes that were kept.
#![allow(
    unreachable_pub,
    missing_docs,
    clippy::missing_panics_doc,
    reason = "the fuzz package makes a library of this folder, the test a module; each check panics by purpose"
)]

mod description;
mod designation;
mod exchange;
mod note;
mod price_table;
mod quantity;
mod workbook;

use ringwright::core::quantity::{QuantityError, Span};

/// Gives the check of a target by its name.
pub fn check_of(target: &str) -> Option<fn(&[u8])> {
    Some(match target {
        "note" => note::note,
        "quantity" => quantity::quantity,
        "designation" => designation::designation,
        "description" => description::description,
        "price_table" => price_table::price_table,
        "exchange" => exchange::exchange,
        _ => return None,
    })
}

/// A place must lie in the text, with both ends between two characters.
fn lies_in(span: Span, text: &str) {
    assert!(
        text.get(span.range()).is_some(),
        "{span:?} is no place in {text:?}"
    );
}

/// An error must say something, and of a place in the text.
fn explains(error: &QuantityError, text: &str) {
    lies_in(error.span, text);
    assert!(!error.to_string().trim().is_empty());
}
