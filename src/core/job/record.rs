//! A whole record as it was written, and which of its entries count.

use super::entry::{Correction, JobEntry, Opening};
use serde::{Deserialize, Serialize};
use std::collections::HashMap;

/// One entry as it stands in the book.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SealedEntry {
    /// Place in the record, from 1.
    pub place: u32,
    /// When, ISO 8601.
    pub added_at: String,
    pub person: String,
    #[serde(flatten)]
    pub entry: JobEntry,
    pub seal: String,
}

/// The record of one job: a list that only grows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct JobRecord {
    /// Number of the job.
    pub number: i64,
    /// Model as it stood on that day.
    pub model: String,
    /// Serial number as it stood on that day.
    pub serial: String,
    pub opened_at: String,
    /// Entries in order; they are read each for itself.
    #[serde(skip_deserializing)]
    pub entries: Vec<SealedEntry>,
}

/// What an entry comes to once the corrections of it are heard.
#[derive(Debug, Clone, Copy)]
pub(super) struct Heard<'r> {
    /// The entry as it was written.
    pub(super) sealed: &'r SealedEntry,
    /// What counts in its place; `None` where it counts as not said.
    pub(super) entry: Option<&'r JobEntry>,
    /// The correction that counts, where there is one.
    pub(super) by: Option<&'r SealedEntry>,
}

impl JobRecord {
    /// Tells whether the record is closed: no correction opens it again.
    pub fn is_closed(&self) -> bool {
        self.entries
            .iter()
            .any(|sealed| matches!(sealed.entry, JobEntry::Close(_)))
    }

    /// Returns the last seal, which the printed record carries.
    pub fn seal(&self) -> &str {
        self.entries.last().map_or("", |entry| entry.seal.as_str())
    }

    /// Returns the entry at a place.
    pub fn at(&self, place: u32) -> Option<&SealedEntry> {
        self.entries.iter().find(|sealed| sealed.place == place)
    }

    /// Returns what the unit is used with, by the opening and its corrections.
    pub fn opening(&self) -> Option<&Opening> {
        self.heard()
            .into_iter()
            .find_map(|heard| match heard.entry {
                Some(JobEntry::Open(opening)) => Some(opening),
                _ => None,
            })
    }

    /// Returns the entry that a correction is about in the end, where corrections were corrected.
    pub(super) fn root(&self, correction: &Correction) -> Option<&SealedEntry> {
        let mut of = correction.of;
        // A correction speaks of an entry before it, so that each step leads further back.
        for _ in 0..self.entries.len() {
            let found = self.at(of)?;
            match &found.entry {
                JobEntry::Correction(earlier) if earlier.of < of => of = earlier.of,
                _ => return Some(found),
            }
        }
        None
    }

    /// Lists what each entry comes to, in order.
    ///
    /// A corrected entry counts as not said, or as what the correction gives in its place, if that has the same form. The last
    /// correction of an entry counts; one that was itself corrected does not, and the entry stands again.
    pub(super) fn heard(&self) -> Vec<Heard<'_>> {
        let mut by: HashMap<u32, &SealedEntry> = HashMap::new();
        for sealed in self.entries.iter().rev() {
            if let JobEntry::Correction(correction) = &sealed.entry
                && correction.of < sealed.place
                && !by.contains_key(&sealed.place)
            {
                by.entry(correction.of).or_insert(sealed);
            }
        }
        let mut heard = Vec::with_capacity(self.entries.len());
        for sealed in &self.entries {
            let by = by.get(&sealed.place).copied();
            let entry = match by.map(|correction| &correction.entry) {
                None => Some(&sealed.entry),
                Some(JobEntry::Correction(correction)) => correction
                    .right
                    .as_deref()
                    .filter(|right| right.kind() == sealed.entry.kind() && may_be_put_right(right)),
                Some(_) => None,
            };
            heard.push(Heard { sealed, entry, by });
        }
        heard
    }
}

/// Nothing is released by a correction, and a correction of a correction is words.
pub(super) const fn may_be_put_right(entry: &JobEntry) -> bool {
    !matches!(entry, JobEntry::Close(_) | JobEntry::Correction(_))
}
