//! The record of a job: one piece of work on one unit, from as found to release.
//!
//! A record is a list of entries that only grows. Each entry is sealed with a hash over the seal before it and all that the
//! entry says ([`entry_seal`]), so that a later change of any of it shows. What a chain cannot show by itself is that its
//! last entries are gone: the last seal stands on the printed record, and tells.

mod entry;
mod own_settings;
mod record;
mod release;
mod seal;

pub use entry::{JobEntry, ReadState};
pub use own_settings::{OwnSettings, RecordedSetting, own_settings};
pub use record::{JobRecord, SealedEntry};
pub use release::{Lacking, ReleaseFacts, lacking, release_facts};
pub(crate) use seal::hex;
pub use seal::{EntryWords, JobWords, entry_seal, job_seal};
