//! Puts a copy in the place of the book.

use crate::store::{BookPlace, StoreError, backup};
use serde::Serialize;
use std::path::Path;

/// Says what a restore did.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RestoreReport {
    /// The book.
    pub book: String,
    /// The copy that now stands in its place.
    pub copy: String,
    /// Where the former book was kept; `None` where there was none.
    pub kept: Option<String>,
}

/// Puts a copy in the place of the book; the copy is checked first and the present book is kept beside it.
///
/// # Errors
/// Refuses a copy that is not sound and a present file that is no book; nothing is changed then.
pub fn book_restore(place: &BookPlace, copy: &Path) -> Result<RestoreReport, StoreError> {
    let restored = backup::restore(place, copy)?;
    Ok(RestoreReport {
        book: place.path().display().to_string(),
        copy: copy.display().to_string(),
        kept: restored.kept.map(|path| path.display().to_string()),
    })
}
