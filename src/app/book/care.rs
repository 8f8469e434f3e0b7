//! The book as a file: where it lies, copies of it, whether it is sound.

use crate::store::check::{CheckReport, examine_at};
use crate::store::{Book, BookPlace, StoreError, backup, mend_search};
use serde::Serialize;
use std::path::Path;

/// Says where the book lies.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BookPathReport {
    /// The path of the file.
    pub path: String,
    /// Whether it is the default place, because no other was named.
    pub is_default: bool,
    /// Whether there is a book.
    pub exists: bool,
    pub version: Option<u32>,
    /// Bytes of the file.
    pub bytes: Option<u64>,
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

/// Says what was copied where.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BackupReport {
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

/// Says what a restore did.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RestoreReport {
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
    let kept = backup::restore(place, copy)?;
    Ok(RestoreReport {
        book: place.path().display().to_string(),
        copy: copy.display().to_string(),
        kept: kept.map(|path| path.display().to_string()),
    })
}

/// Examines the book without changing it.
///
/// # Errors
/// Fails where there is no book, or where it cannot even be opened.
pub fn book_check(place: &BookPlace) -> Result<CheckReport, StoreError> {
    examine_at(place)
}

/// Makes everything anew that offers are searched by, and examines the book then.
///
/// # Errors
/// Fails where the rows of the book cannot be read or written; nothing is changed then.
pub fn book_mend_search(place: &BookPlace) -> Result<CheckReport, StoreError> {
    mend_search(place)?;
    examine_at(place)
}
