//! The ring sizes that the suppliers of this shop sell and no list of sizes has.

use crate::core::identification::{Identification, SoldRing, SoldSize};
use crate::store::{Book, BookPlace, BookReader, StoreError};
use std::sync::Arc;

/// Reads the sizes from the price lists of the book; none without a book.
pub fn sold_here(place: &BookPlace) -> Result<Arc<[SoldSize]>, StoreError> {
    let sizes = |book: &BookReader<'_>| book.sold_sizes();
    Ok(Book::read_at(place, sizes)?.unwrap_or_default())
}

/// Returns the size of a supplier that is likelier than any listed one, and than that none of both is right.
pub(super) fn likeliest_sold(found: &Identification) -> Option<&SoldRing> {
    let listed = found.ranked.first().map_or(0.0, |first| first.probability);
    let other = listed.max(found.unlisted_probability);
    found.sold.first().filter(|ring| ring.probability > other)
}

/// Says what to do where a size that no standard lists is the likeliest.
pub(super) fn sold_words(ring: &SoldRing) -> String {
    format!(
        "the likeliest size is {}, {}: hold one against the ring before you order more",
        ring.size.name(),
        ring.size.sold_words()
    )
}
