//! Copies the book to a new file.

use crate::store::{Book, BookPlace, StoreError, backup};
use serde::Serialize;
use std::path::Path;

/// Says what was copied where.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BackupReport {
    /// The book.
    pub book: String,
    /// The copy, checked and synced to the disk.
    pub copy: String,
    /// Bytes of the copy.
    pub bytes: u64,
}

/// Copies the book to a new file, while other commands may go on using it.
///
/// # Errors
/// Refuses to overwrite; says why the book cannot be read or the copy not be made.
pub fn book_backup(place: &BookPlace, target: &Path) -> Result<BackupReport, StoreError> {
    let book = Book::open_to_read(place)?;
    backup::copy_to(&book, target)?;
    Ok(BackupReport {
        book: place.path().display().to_string(),
        copy: target.display().to_string(),
        bytes: std::fs::metadata(target).map_or(0, |facts| facts.len()),
    })
}
