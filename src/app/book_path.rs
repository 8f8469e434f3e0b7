//! Says where the book lies and what stands there.

use crate::store::{Book, BookPlace, StoreError};
use serde::Serialize;

/// Says where the book lies.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BookPathReport {
    /// The path of the file.
    pub path: String,
    /// Whether it is the default place, because no other was named.
    pub is_default: bool,
    /// Whether there is a book.
    pub exists: bool,
    /// Its version.
    pub version: Option<u32>,
    /// Bytes of the file.
    pub bytes: Option<u64>,
    /// Models in it.
    pub models: Option<usize>,
    /// Notes in it, replaced ones too.
    pub notes: Option<u32>,
}

/// Looks where the book lies; that there is none yet is an answer, not an error.
///
/// # Errors
/// Says what stands there instead of a book, or why it cannot be read.
pub fn book_path(place: &BookPlace) -> Result<BookPathReport, StoreError> {
    let mut report = BookPathReport {
        path: place.path().display().to_string(),
        is_default: place.is_default(),
        exists: false,
        version: None,
        bytes: None,
        models: None,
        notes: None,
    };
    let mut book = match Book::open_to_read(place) {
        Ok(book) => book,
        Err(StoreError::NoBook { .. }) => return Ok(report),
        Err(error) => return Err(error),
    };
    report.exists = true;
    report.version = Some(book.version()?);
    report.bytes = std::fs::metadata(place.path()).ok().map(|f| f.len());
    let (models, notes) =
        book.read(|book| Ok::<_, StoreError>((book.models()?.len(), book.note_count()?)))?;
    report.models = Some(models);
    report.notes = Some(notes);
    Ok(report)
}
