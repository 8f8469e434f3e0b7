//! Job records, as they travel: with their seals.

use super::FormError;
use crate::core::job::{EntryWords, JobWords, entry_seal, job_seal};
use serde::{Deserialize, Serialize};

/// A job record with its seals.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JobItem {
    /// Number of the job in its own book.
    pub number: i64,
    /// Row of the unit in its own book; the first seal covers it.
    pub unit_row: i64,
    pub model: String,
    /// The unit.
    pub serial: String,
    /// When it was opened.
    pub opened_at: String,
    /// Its entries in order.
    pub entries: Vec<JobEntryItem>,
}

/// An entry of a job record.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JobEntryItem {
    /// Its place, from 1.
    pub place: i64,
    /// When it was added.
    pub added_at: String,
    /// By whom.
    pub person: String,
    pub kind: String,
    /// What it says, byte for byte as it was sealed.
    pub body: String,
    pub seal: String,
}

impl JobItem {
    /// Forms the seals anew and compares them.
    ///
    /// # Errors
    /// Names the first entry whose seal does not hold.
    pub fn verify(&self) -> Result<(), FormError> {
        let mut before = job_seal(&JobWords {
            number: self.number,
            unit: self.unit_row,
            model: self.model.as_bytes(),
            serial: self.serial.as_bytes(),
            opened_at: self.opened_at.as_bytes(),
        });
        for (place, entry) in (1_i64..).zip(&self.entries) {
            let seal = entry_seal(
                before.as_bytes(),
                &EntryWords {
                    place: entry.place,
                    added_at: entry.added_at.as_bytes(),
                    person: entry.person.as_bytes(),
                    kind: entry.kind.as_bytes(),
                    body: entry.body.as_bytes(),
                },
            );
            if seal != entry.seal || entry.place != place {
                return Err(FormError::BrokenSeal {
                    number: self.number,
                    serial: self.serial.clone(),
                    place,
                });
            }
            before = seal;
        }
        Ok(())
    }
}
