//! The record of a job: one piece of work on one unit, from as found to release.
//!
//! A record is a list of entries that only grows ([`JobRecord`]). Each entry is sealed with a hash over the seal before it and all
//! that the entry says ([`entry_seal`]), so that a later change of any of it shows. What a chain cannot show by itself is that its
//! last entries are gone: the last seal stands on the printed record, and tells.
//!
//! Nothing is decided by which entries exist. [`UnitState::of`] folds the entries that hold into the state that they leave the unit
//! in; what is shown, judged and printed of a job reads that state, and [`release()`] is a pure function of it.
//!
//! `job close` forms the release inside the transaction that writes; the parts list is worked out before, without a
//! lock, and again where notes or gas changed meanwhile. Each lack has its code and, where it is about one, its entry,
//! so that a step is told at once what it spoils. Ways to an unsafe release stand in
//! `tests/it/fixtures/release_refused.txt`: add yours there.

mod entry;
mod entry_words;
mod lack;
mod limits_of_use;
mod mentioned;
mod own_settings;
mod person;
mod place;
mod record;
mod release;
mod seal;
mod state;

pub use entry::{
    Cleaning, Closing, Correction, FittedPart, JobEntry, JobReading, KeptPart, LeakTest,
    LubricantUsed, Opening, OtherTest, RatedPart, ReadState, Screw, ShimPack, TestResult, Words,
};
pub use lack::Lack;
pub use limits_of_use::{LimitsOfUse, ReleaseRule};
pub use mentioned::{Mentioned, mentioned};
pub use own_settings::{OwnSettings, RecordedSetting, own_settings};
pub use person::PersonName;
pub use place::{Difference, Fit, NoPlace, PartPlace, PlaceList};
pub use record::{JobRecord, SealedEntry};
pub use release::{ClosingAsked, ReleaseQuestion, release};
pub(crate) use seal::hex;
pub use seal::{EntryWords, JobWords, entry_seal, job_seal};
pub use state::{
    JobGas, JobStanding, LastStep, NOT_STATED, PlaceState, PlaceWork, ReadingState, Said, UnitState,
};
