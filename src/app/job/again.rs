//! The word "same": how a unit was cleaned, lubricated or tested for leaks last, said again in full.

use super::{JobDesk, JobError};
use crate::core::job::{JobEntry, PlaceList, UnitState};
use crate::store::{Book, BookReader};

/// Tells whether words stand for what was said last.
pub fn is_same(words: &str) -> bool {
    words.trim().eq_ignore_ascii_case("same")
}

/// Puts what was said last, in this job or another, in the place of the word for it. Whether it is clean for enriched gas, why it
/// deviates and what a test showed are never said again.
pub(super) fn said_again(book: &BookReader<'_>, entry: &mut JobEntry) -> Result<(), JobError> {
    if let JobEntry::Correction(correction) = entry {
        // The last that was said may be the very entry that is wrong.
        return match correction.right.as_deref() {
            Some(right) if says_same(right) => Err(JobError::SameInCorrection(right.kind())),
            _ => Ok(()),
        };
    }
    if !says_same(entry) {
        return Ok(());
    }
    let kind = entry.kind();
    match (entry, last_said(book, kind)?) {
        (JobEntry::Clean(now), Some(JobEntry::Clean(last))) => now.how = last.how,
        (JobEntry::Lubricant(now), Some(JobEntry::Lubricant(last))) => {
            now.name = last.name;
            now.lot = last.lot;
        }
        (JobEntry::LeakTest(now), Some(JobEntry::LeakTest(last))) if last.result.is_some() => {
            now.words = last.words;
            now.supply = last.supply;
        }
        _ => return Err(JobError::NothingSaid(kind)),
    }
    Ok(())
}

fn says_same(entry: &JobEntry) -> bool {
    match entry {
        JobEntry::Clean(clean) => is_same(&clean.how),
        JobEntry::Lubricant(used) => is_same(&used.name),
        JobEntry::LeakTest(test) => is_same(&test.words),
        _ => false,
    }
}

/// Finds what holds of the newest record that says it.
fn last_said(book: &BookReader<'_>, kind: &str) -> Result<Option<JobEntry>, JobError> {
    for job in book.jobs_saying(kind)? {
        let record = book.job(job)?.ok_or(JobError::NoJob(job))?;
        let state = UnitState::of(&record, &PlaceList::default());
        let cleaning = state.cleaning.last();
        let lubricant = state.lubricants.last();
        let said = [
            cleaning.map(|said| JobEntry::Clean(said.what.clone())),
            lubricant.map(|said| JobEntry::Lubricant(said.what.clone())),
            state
                .leak_test
                .map(|said| JobEntry::LeakTest(said.what.clone())),
        ];
        let mut said = said.into_iter().flatten();
        if let Some(entry) = said.find(|entry| entry.kind() == kind) {
            return Ok(Some(entry));
        }
    }
    Ok(None)
}

impl JobDesk<'_> {
    /// Returns what "same" would say for an entry of the kind, in words.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn said_last(&self, kind: &str) -> Result<Option<String>, JobError> {
        let last = Book::open_to_read(self.book)?.read(|book| last_said(book, kind))?;
        Ok(last.map(|entry| entry.words()))
    }
}
