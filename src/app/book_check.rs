//! Says whether the book is sound.

use crate::store::check::{CheckReport, examine_at};
use crate::store::{BookPlace, StoreError};

/// Examines the book without changing it.
///
/// # Errors
/// Fails where there is no book, or where it cannot even be opened.
pub fn book_check(place: &BookPlace) -> Result<CheckReport, StoreError> {
    examine_at(place)
}
