//! Jobs: opening a record, adding to it, closing it, showing it.

mod add;
mod again;
mod close;
mod list;
mod listed;
mod open;
mod parts;
pub mod settings;
mod shown;

pub use add::{NewEntry, OpeningChange, Right};
pub use again::is_same;
pub use close::Closed;
pub use list::{JobLine, JobList};
pub use open::OpenQuestion;
pub use parts::OpenPart;
pub use shown::JobShown;

use crate::core::job::NoPlace;
use crate::core::stage::SettingLimits;
use crate::store::{BookPlace, StoreError};

/// Says why a record cannot be added to.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum JobError {
    /// The book.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// There is no such job.
    #[error("there is no job {0} in the book: `ringwright job list` shows them")]
    NoJob(i64),
    /// The record is closed.
    #[error(
        "job {0} is closed and takes corrections only: `ringwright job correct {0} ENTRY WORDS`, or open a new job"
    )]
    Closed(i64),
    /// The record was changed in the file.
    #[error("{0}: nothing is worked out from a record that was changed")]
    Changed(String),
    /// The record has no readings.
    #[error(
        "job {0} has no readings that hold: `ringwright job reading {0}` adds them, or give --reading"
    )]
    NoReadings(i64),
    /// The entry has no readings.
    #[error(
        "entry {entry} of job {job} holds no readings: `ringwright job show {job}` numbers those that do"
    )]
    NoReading { job: i64, entry: u32 },
    /// There is no such entry.
    #[error("job {job} has no entry {entry}: `ringwright job show {job}` numbers them")]
    NoEntry { job: i64, entry: u32 },
    /// No job was named, and none is open.
    #[error("no job is open: `ringwright job open MODEL UNIT` opens one")]
    NoneOpen,
    /// No job was named, and several are open.
    #[error("jobs {} are open: name the one that is meant", .0.iter().map(i64::to_string).collect::<Vec<_>>().join(", "))]
    SeveralOpen(Vec<i64>),
    /// Nothing of the kind was said yet.
    #[error(
        "no job of this book has an entry {0:?} yet that \"same\" could stand for: write it in words"
    )]
    NothingSaid(&'static str),
    /// A correction says what was said last.
    #[error(
        "a correction says the {0} in full, not as \"same\": what was said last may be what is wrong"
    )]
    SameInCorrection(&'static str),
    /// The bag holds nothing that is still to be fitted.
    #[error(
        "the bag of this unit holds nothing for job {0} that is still to be fitted: `ringwright stock kit MODEL --for UNIT --take` fills it"
    )]
    NothingBagged(i64),
    /// No place of the parts list is named.
    #[error("{0}")]
    NoPlace(#[from] NoPlace),
    /// What is listed cannot be taken as fitted.
    #[error(
        "the parts list is not sure what belongs into {place}: say with --spec what was fitted, and with --why, why"
    )]
    NothingListed { place: String },
    /// A correction gives something of another form.
    #[error(
        "entry {entry} is of the kind {kind:?}, and what should stand in its place is of the kind {given:?}: correct \
            it in the same form, or in words alone, which withdraw it"
    )]
    OtherForm {
        entry: u32,
        kind: &'static str,
        /// The kind of what was given.
        given: &'static str,
    },
}

/// Who adds an entry, and when.
#[derive(Debug, Clone)]
pub struct Hand {
    pub person: String,
    /// When, ISO 8601.
    pub at: String,
}

/// The book that jobs stand in, and the limits that their readings are judged by.
#[derive(Debug, Clone, Copy)]
pub struct JobDesk<'d> {
    pub book: &'d BookPlace,
    pub limits: &'d SettingLimits,
}
