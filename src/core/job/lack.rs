//! What a unit lacks before it can be released.

use super::place::Difference;
use crate::core::elastomer::Polymer;
use crate::core::stage::CreepCall;

/// Names one thing that stands against the release of a unit.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Lack {
    /// The record was changed in the file.
    Changed(String),
    /// An entry stands before the one it follows in time.
    OutOfOrder {
        /// The entry.
        entry: u32,
        /// Its moment.
        at: String,
        /// The moment of the one before it.
        before: String,
    },
    /// An entry is dated later than the closing.
    InTheFuture {
        /// The entry.
        entry: u32,
        /// Its moment.
        at: String,
        /// The moment of the closing.
        now: String,
    },
    /// An entry is dated before the unit was taken apart.
    BeforeTeardown {
        /// The entry.
        entry: u32,
        /// Its moment.
        at: String,
        /// The day of the newest note.
        teardown: String,
    },
    /// Nothing was read as found, nor why not.
    NoAsFound,
    /// Nothing was read as left.
    NoAsLeft,
    /// The pressure test as left was not done.
    AsLeftNotTested(u32),
    /// The readings as left are older than the last step.
    AsLeftBeforeStep {
        /// The readings.
        entry: u32,
        /// The step.
        step: u32,
        /// Its kind.
        kind: &'static str,
    },
    /// The supply that the unit is used with is not known, so that no reading can be near it.
    NoSupply,
    /// No reading near the supply of use.
    NotReadHigh {
        /// The readings.
        entry: u32,
        /// The supply of use, in bar.
        supply_bar: f64,
        /// Least supply that counts, in bar.
        least_bar: f64,
    },
    /// No reading at a low supply.
    NotReadLow {
        /// The readings.
        entry: u32,
        /// Greatest supply that counts, in bar.
        most_bar: f64,
    },
    /// The readings stop the work.
    Stops {
        /// The readings.
        entry: u32,
        /// Why.
        words: String,
    },
    /// The readings are rejected.
    Rejected {
        /// The readings.
        entry: u32,
        /// The checks that reject.
        checks: Vec<&'static str>,
    },
    /// Nothing of the readings could be judged.
    NotJudged(u32),
    /// The gauge is not known.
    NoGauge(u32),
    /// The time to lock-up was not read.
    NoLockUp(u32),
    /// Creep was not watched, or not until it could be told.
    NoCreep {
        /// The readings.
        entry: u32,
        /// What the series said.
        call: Option<CreepCall>,
    },
    /// No test for leaks, and nobody who decided against it.
    NoLeakTest,
    /// It leaks.
    Leaks(u32),
    /// The test for leaks is older than the last step.
    LeakTestBeforeStep {
        /// The test.
        entry: u32,
        /// The step.
        step: u32,
        /// Its kind.
        kind: &'static str,
    },
    /// The test for leaks was not near the supply of use.
    LeakTestLow {
        /// The test.
        entry: u32,
        /// Least supply that counts, in bar.
        least_bar: f64,
    },
    /// A test was done above a rating.
    TestAboveRating {
        /// The test.
        entry: u32,
        /// The pressure in bar.
        bar: f64,
        /// The rating as typed.
        rating: String,
    },
    /// Another test failed.
    TestFailed(u32),
    /// The cracking effort of a second stage was not tested after the last step.
    NoCrackingEffort,
    /// The parts list is empty, so that nothing can be held against it.
    NoPartsList,
    /// Nothing is said of places whose part the list replaces.
    Unrecorded(Vec<String>),
    /// An entry names a place that the list does not have.
    UnknownPlace {
        /// The entry.
        entry: u32,
        /// The words.
        part: String,
    },
    /// Not as many as the list has.
    Count {
        /// The entry.
        entry: u32,
        /// The place.
        place: String,
        /// As the list has it.
        listed: u32,
        /// As recorded.
        recorded: u32,
    },
    /// Another part than the list has, and nobody said why.
    NotAsListed {
        /// The entry.
        entry: u32,
        /// The place.
        place: String,
        /// What is listed.
        listed: String,
        /// Whether the list is sure of it.
        decided: bool,
        /// What was recorded.
        spec: String,
        /// In what they differ.
        how: Difference,
    },
    /// The list is not sure of the place, and nobody said why this part was fitted.
    NotDecided {
        /// The entry.
        entry: u32,
        /// The place.
        place: String,
        /// The likeliest.
        listed: String,
    },
    /// The cleaning state is not recorded.
    NoCleaning,
    /// No cleaning for gas that is treated as enriched.
    NotOxygenClean,
    /// A part that is not recorded as clean for such gas.
    PartNotOxygenClean {
        /// The entry.
        entry: u32,
        /// The place.
        place: String,
    },
    /// A polymer that does not suit the gas.
    Polymer {
        /// The entry.
        entry: u32,
        /// The place.
        place: String,
        /// The polymer.
        polymer: Polymer,
        /// Why.
        reason: String,
    },
    /// An old soft part stays in gas that asks for care, and its polymer is not known.
    OldSoftPart {
        /// The entry.
        entry: u32,
        /// The place.
        place: String,
    },
    /// No lubricant is recorded, nor that none was used.
    NoLubricant,
    /// A lubricant that does not suit, or is not known.
    Lubricant {
        /// The entry.
        entry: u32,
        /// Its name.
        name: String,
        /// Why.
        reason: String,
    },
    /// What the gas is is not settled.
    GasNotSettled(String),
    /// The supply of use is above a recorded rating.
    SupplyAboveRating {
        /// The supply of use, in bar.
        supply_bar: f64,
        /// The rating as typed.
        rating: String,
    },
    /// The limits of use name no supply.
    LimitsNoSupply,
    /// The limits of use hold a number without its unit.
    LimitsUnread(String),
    /// The limits of use allow more supply than the unit is used and tested with.
    LimitsAboveSupply {
        /// The limit in bar.
        limit_bar: f64,
        /// The supply of use in bar.
        supply_bar: f64,
    },
    /// The limits of use allow more supply than a rating.
    LimitsAboveRating {
        /// The limit in bar.
        limit_bar: f64,
        /// The rating as typed.
        rating: String,
    },
    /// The limits of use allow a gas that asks for more care than the one that the unit was worked for.
    LimitsGas {
        /// The gas in the limits.
        limit: String,
        /// The gas of the job.
        gas: String,
    },
    /// No second person.
    NoSecondPerson,
    /// The second person's name names no one.
    SecondPersonUnnamed(String),
    /// The second person may be somebody who did the work.
    SecondPersonWorked {
        /// The name.
        name: String,
        /// Who worked.
        worker: String,
    },
    /// Who worked is not named.
    WorkerUnnamed(String),
}

impl Lack {
    /// Returns the entry that it is about.
    pub const fn entry(&self) -> Option<u32> {
        match self {
            Self::OutOfOrder { entry, .. }
            | Self::InTheFuture { entry, .. }
            | Self::BeforeTeardown { entry, .. }
            | Self::AsLeftNotTested(entry)
            | Self::AsLeftBeforeStep { entry, .. }
            | Self::NotReadHigh { entry, .. }
            | Self::NotReadLow { entry, .. }
            | Self::Stops { entry, .. }
            | Self::Rejected { entry, .. }
            | Self::NotJudged(entry)
            | Self::NoGauge(entry)
            | Self::NoLockUp(entry)
            | Self::NoCreep { entry, .. }
            | Self::Leaks(entry)
            | Self::LeakTestBeforeStep { entry, .. }
            | Self::LeakTestLow { entry, .. }
            | Self::TestAboveRating { entry, .. }
            | Self::TestFailed(entry)
            | Self::UnknownPlace { entry, .. }
            | Self::Count { entry, .. }
            | Self::NotAsListed { entry, .. }
            | Self::NotDecided { entry, .. }
            | Self::PartNotOxygenClean { entry, .. }
            | Self::Polymer { entry, .. }
            | Self::OldSoftPart { entry, .. }
            | Self::Lubricant { entry, .. } => Some(*entry),
            _ => None,
        }
    }

    /// Returns a word for the kind of thing that is lacking, for machines.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Changed(_) => "record-changed",
            Self::OutOfOrder { .. } => "entry-out-of-order",
            Self::InTheFuture { .. } => "entry-in-the-future",
            Self::BeforeTeardown { .. } => "entry-before-teardown",
            Self::NoAsFound => "no-as-found",
            Self::NoAsLeft => "no-as-left",
            Self::AsLeftNotTested(_) => "as-left-not-tested",
            Self::AsLeftBeforeStep { .. } => "as-left-before-last-step",
            Self::NoSupply => "no-supply",
            Self::NotReadHigh { .. } => "not-read-at-high-supply",
            Self::NotReadLow { .. } => "not-read-at-low-supply",
            Self::Stops { .. } => "reading-stops",
            Self::Rejected { .. } => "reading-rejected",
            Self::NotJudged(_) => "reading-not-judged",
            Self::NoGauge(_) => "no-known-gauge",
            Self::NoLockUp(_) => "no-lock-up",
            Self::NoCreep { .. } => "no-creep",
            Self::NoLeakTest => "no-leak-test",
            Self::Leaks(_) => "leaks",
            Self::LeakTestBeforeStep { .. } => "leak-test-before-last-step",
            Self::LeakTestLow { .. } => "leak-test-at-low-supply",
            Self::TestAboveRating { .. } => "test-above-rating",
            Self::TestFailed(_) => "test-failed",
            Self::NoCrackingEffort => "no-cracking-effort",
            Self::NoPartsList => "no-parts-list",
            Self::Unrecorded(_) => "place-not-recorded",
            Self::UnknownPlace { .. } => "unknown-place",
            Self::Count { .. } => "count",
            Self::NotAsListed { .. } => "not-as-listed",
            Self::NotDecided { .. } => "not-decided",
            Self::NoCleaning => "no-cleaning",
            Self::NotOxygenClean => "not-oxygen-clean",
            Self::PartNotOxygenClean { .. } => "part-not-oxygen-clean",
            Self::Polymer { .. } => "polymer",
            Self::OldSoftPart { .. } => "old-soft-part",
            Self::NoLubricant => "no-lubricant",
            Self::Lubricant { .. } => "lubricant",
            Self::GasNotSettled(_) => "gas-not-settled",
            Self::SupplyAboveRating { .. } => "supply-above-rating",
            Self::LimitsNoSupply => "limits-without-supply",
            Self::LimitsUnread(_) => "limits-unread",
            Self::LimitsAboveSupply { .. } => "limits-above-supply",
            Self::LimitsAboveRating { .. } => "limits-above-rating",
            Self::LimitsGas { .. } => "limits-gas",
            Self::NoSecondPerson => "no-second-person",
            Self::SecondPersonUnnamed(_) => "second-person-unnamed",
            Self::SecondPersonWorked { .. } => "second-person-worked",
            Self::WorkerUnnamed(_) => "worker-unnamed",
        }
    }
}
