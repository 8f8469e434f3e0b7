//! A whole record, and what it says so far.

use super::entry::{JobEntry, ReadState};
use crate::core::stage::SupplyRating;
use serde::Serialize;

/// Holds one entry as it stands in the book.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SealedEntry {
    /// Place in the record, from 1.
    pub place: u32,
    /// When, ISO 8601.
    pub added_at: String,
    /// Who.
    pub person: String,
    /// What it says.
    #[serde(flatten)]
    pub entry: JobEntry,
    /// Its seal.
    pub seal: String,
}

/// Holds the record of one job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JobRecord {
    /// Number of the job.
    pub number: i64,
    /// Model as it stood on that day.
    pub model: String,
    /// Serial number as it stood on that day.
    pub serial: String,
    /// When it was opened.
    pub opened_at: String,
    /// Entries in order.
    pub entries: Vec<SealedEntry>,
}

impl JobRecord {
    /// Tells whether the record is closed.
    pub fn is_closed(&self) -> bool {
        self.said()
            .any(|entry| matches!(entry, JobEntry::Close { .. }))
    }

    /// Returns what the entries say, in order.
    pub fn said(&self) -> impl DoubleEndedIterator<Item = &JobEntry> {
        self.entries.iter().map(|sealed| &sealed.entry)
    }

    /// Lists the parts that are others than the parts list had, with the place of the entry and what was said of it; one that was
    /// corrected, or after which the listed part went into the same place, is left out.
    pub fn unlike_parts(&self) -> Vec<(u32, &str)> {
        let corrected = |place: u32| {
            self.said()
                .any(|entry| matches!(entry, JobEntry::Correction { of, .. } if *of == place))
        };
        let replaced = |place: u32, named: &str| {
            let mut later = self.entries.iter().filter(|sealed| sealed.place > place);
            later.any(|sealed| {
                matches!(&sealed.entry, JobEntry::Part { part, unlike: None, .. }
                    if part.trim().eq_ignore_ascii_case(named.trim()))
            })
        };
        let parts = self
            .entries
            .iter()
            .filter_map(|sealed| match &sealed.entry {
                JobEntry::Part {
                    part,
                    unlike: Some(words),
                    ..
                } => Some((sealed.place, part.as_str(), words.as_str())),
                _ => None,
            });
        parts
            .filter(|(place, part, _)| !corrected(*place) && !replaced(*place, part))
            .map(|(place, _, words)| (place, words))
            .collect()
    }

    /// Returns the last readings of a state.
    pub fn last_reading(&self, wanted: ReadState) -> Option<&JobEntry> {
        self.said()
            .rev()
            .find(|entry| matches!(entry, JobEntry::Reading { state, .. } if *state == wanted))
    }

    /// Lists the recorded ratings.
    pub fn ratings(&self) -> Vec<SupplyRating> {
        self.said()
            .filter_map(|entry| match entry {
                JobEntry::Rating { rating } => Some(rating.clone()),
                _ => None,
            })
            .collect()
    }

    /// Returns whether the gas is treated as enriched; `None` where that is not settled.
    pub fn is_enriched(&self) -> Option<bool> {
        self.said().find_map(|entry| match entry {
            JobEntry::Open { enriched, .. } => *enriched,
            _ => None,
        })
    }

    /// Returns the last seal, which the printed record carries.
    pub fn seal(&self) -> &str {
        self.entries.last().map_or("", |entry| entry.seal.as_str())
    }
}
