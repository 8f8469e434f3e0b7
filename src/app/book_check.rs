//! Says whether the book is sound.

use crate::store::check::{CheckReport, examine_at};
use crate::store::{BookPlace, StoreError, mend_search};

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
