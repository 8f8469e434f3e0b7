//! The odds of listed rings in words.

use super::ring_words::percent;
use crate::core::identification::Identification;
use crate::core::sizes::SizeTable;

/// Returns the probability of a ring.
pub(super) fn of_ring(odds: &Identification, ring: usize) -> f64 {
    let own = odds.ranked.iter().find(|ranked| ranked.ring == ring);
    own.map_or(0.0, |ranked| ranked.probability)
}

/// Names the size that leads, with its odds.
pub(super) fn leader_words(odds: &Identification) -> String {
    match odds
        .ranked
        .first()
        .filter(|first| first.probability > odds.unlisted_probability)
    {
        Some(first) => format!("{} ({})", code(first.ring), percent(first.probability)),
        None => format!("no listed size ({})", percent(odds.unlisted_probability)),
    }
}

/// Returns the first code of a ring.
pub(super) fn code(ring: usize) -> String {
    let table = SizeTable::shipped();
    table.codes(&table.rings()[ring]).remove(0)
}
