//! What a unit lacks before it can be released: what, where, and the command that ends it.

use super::place::Difference;
use super::state::LastStep;
use crate::core::elastomer::Polymer;
use crate::core::gear::GearKind;
use crate::core::quantity::SpokenPressure;
use crate::core::stage::CreepCall;
use serde::Serialize;

/// Names one thing that stands against the release of a unit.
///
/// The name of a kind, in small letters with hyphens, is the word that machines know it by: whoever changes one changes that.
#[derive(Debug, Clone, PartialEq, Serialize, thiserror::Error)]
#[serde(tag = "code", content = "of", rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Lack {
    /// The record was changed in the file.
    #[error("an unaltered record: {0}")]
    RecordChanged(String),
    /// An entry stands before the one it follows in time.
    #[error(
        "entries in the order of time: entry {entry} is dated {at}, after one of {before}; set the clock, withdraw the entry (job correct) and enter it again"
    )]
    EntryOutOfOrder {
        entry: u32,
        at: String,
        /// The moment of the one before it.
        before: String,
    },
    /// An entry is dated later than the closing.
    #[error(
        "entries that lie in the past: entry {entry} is dated {at}, and it is {now} now; set the clock, withdraw the entry (job correct) and enter it again"
    )]
    EntryInTheFuture {
        entry: u32,
        at: String,
        /// The moment of the closing.
        now: String,
    },
    /// An entry is dated before the unit was taken apart.
    #[error(
        "work after the teardown: entry {entry} is dated {at}, and the unit's newest note {teardown}; put the note's date right, or withdraw the entry and enter it again"
    )]
    EntryBeforeTeardown {
        entry: u32,
        at: String,
        /// The day of the newest note.
        teardown: String,
    },
    /// Nothing was read as found, nor why not.
    #[error("readings as found, or why none were taken (job reading N --as-found …)")]
    NoAsFound,
    #[error("readings as left at a high and a low supply (job reading N --as-left …)")]
    NoAsLeft,
    #[error("a pressure test as left: by entry {entry} it was not done")]
    AsLeftNotTested { entry: u32 },
    #[error(
        "readings as left after the last step: entry {entry} was read before {step}; read again (job reading N --as-left …)"
    )]
    AsLeftBeforeLastStep { entry: u32, step: LastStep },
    /// The supply that the unit is used with is not known, so that no reading can be near it.
    #[error(
        "the supply that the unit is used with (a line `supply` in its note, job open --supply, or job correct N 1 WHY --supply \"200 bar\")"
    )]
    NoSupply,
    /// No reading near the supply of use.
    #[error(
        "a reading as left near the supply of use, {supply}: entry {entry} has none at {least} or more"
    )]
    NotReadAtHighSupply {
        entry: u32,
        supply: SpokenPressure,
        /// Least supply that counts.
        least: SpokenPressure,
    },
    /// No reading at a low supply.
    #[error(
        "a reading as left at a low supply: entry {entry} has none at {most} or less; give both supplies in one entry"
    )]
    NotReadAtLowSupply {
        entry: u32,
        /// Greatest supply that counts.
        most: SpokenPressure,
    },
    /// The readings stop the work.
    #[error("readings that do not stop the work: entry {entry}: {words}")]
    ReadingStops { entry: u32, words: String },
    #[error("readings that are not rejected: entry {entry} is ({})", .checks.join(", "))]
    ReadingRejected {
        entry: u32,
        /// The checks that reject.
        checks: Vec<&'static str>,
    },
    /// Nothing of the readings could be judged.
    #[error("readings that can be judged: nothing of entry {entry} could be")]
    ReadingNotJudged { entry: u32 },
    /// The supply effect is that of no design.
    #[error(
        "a supply effect of a sound stage: in entry {entry} the pressure changes by {:.1} % of the change of supply, \
            more than any design does; look for what starves or floods it",
        100.0 * .slope
    )]
    OddSupplyEffect {
        entry: u32,
        /// Bar for a bar of supply.
        slope: f64,
    },
    /// The watched series does not begin at the lock-up.
    #[error(
        "creep watched from the lock-up on: the series of entry {entry} begins too late, or far from its readings"
    )]
    CreepNotFromLockUp { entry: u32 },
    /// The gauge is not known.
    #[error(
        "a known gauge for the readings of entry {entry} (setting gauge add NAME …, then --gauge NAME)"
    )]
    NoKnownGauge { entry: u32 },
    #[error("the time to lock-up as left: entry {entry} has none (--lock-up \"1 s\")")]
    NoLockUp { entry: u32 },
    /// Creep was not watched, or not until it could be told.
    #[error("creep watched as left until the needle stands still: entry {entry}: {} (job reading N --as-left … \
        --creep …)", seen(*.call))]
    NoCreep {
        entry: u32,
        /// What the series said.
        call: Option<CreepCall>,
    },
    /// No test for leaks, and nobody who decided against it.
    #[error(
        "a leak test (job step N --leak-test \"immersion 5 min at 195 bar\" --result passed), or who decided against \
            it and why (--no-leak-test WHY)"
    )]
    NoLeakTest,
    #[error("a tight unit: it leaks by entry {entry}")]
    Leaks { entry: u32 },
    #[error("a leak test after the last step: entry {entry} came before {step}")]
    LeakTestBeforeLastStep { entry: u32, step: LastStep },
    /// The test for leaks was not near the supply of use.
    #[error(
        "a leak test near the supply of use: entry {entry} names no pressure of {least} or more"
    )]
    LeakTestAtLowSupply {
        entry: u32,
        /// Least supply that counts.
        least: SpokenPressure,
    },
    #[error(
        "tests within the ratings: entry {entry} tested at {tested}, above the rating {rating}; have the unit examined, and correct the entry where the figure is wrong"
    )]
    TestAboveRating {
        entry: u32,
        tested: SpokenPressure,
        /// The rating as typed.
        rating: String,
    },
    #[error(
        "tests that do not fail: entry {entry} failed; mend it, test again, and correct the entry"
    )]
    TestFailed { entry: u32 },
    /// The cracking effort of a second stage was not tested after the last step.
    #[error(
        "the cracking effort of a second stage, tested after the last step (job step N --cracking-effort \"1.2 inH2O\")"
    )]
    NoCrackingEffort,
    /// The unit's note calls it another kind of gear.
    #[error(
        "one kind of gear: its note says {noted}, the job says {stated}; put right what is wrong, the note (note add FILE) or the job (job correct N 1 WHY --gear KIND)"
    )]
    OtherGearThanNoted { noted: GearKind, stated: GearKind },
    /// The unit's note has more oxygen than the job.
    #[error(
        "one gas: the unit's note says {noted}, the job says {stated}; put right what is wrong, the note (note add FILE) or the job (job correct N 1 WHY --gas …)"
    )]
    OtherGasThanNoted { noted: String, stated: String },
    #[error(
        "one job on the unit at a time: job {0} on it is open; close it first (job close {0} …)"
    )]
    OtherJobOpen(i64),
    /// What is known of the unit is the record of another shop.
    #[error(
        "a teardown note of your own on this unit (note add FILE); another shop's note releases nothing"
    )]
    NoOwnNote,
    /// The parts list is empty, so that nothing can be held against it.
    #[error("a parts list of the model: its notes have no part (note add FILE)")]
    NoPartsList,
    /// Nothing is said of places whose part the list replaces.
    #[error("what went in, or why the old part stays, for: {} (job step N --part … --spec … --lot …, or --kept … --why …)", .0.join("; "))]
    PlaceNotRecorded(Vec<String>),
    /// An entry names a place that the list does not have.
    #[error(
        "a place of the parts list: entry {entry} names {part:?}, which matches none or several"
    )]
    UnknownPlace {
        entry: u32,
        /// The words.
        part: String,
    },
    /// Not as many as the list has.
    #[error("{listed} of {place}: entry {entry} records {recorded} (--count {listed}, or --why)")]
    Count {
        entry: u32,
        place: String,
        /// As the list has it.
        listed: u32,
        recorded: u32,
    },
    /// Another part than the list has, and nobody said why.
    #[error("the part of entry {entry} as it is listed, or why it is another one (job correct N {entry} WHY --part … --why …): the parts list has {listed}{} for {place}; recorded was {spec}, which {how}", if *.decided { "" } else { " as the likeliest, not decided" })]
    NotAsListed {
        entry: u32,
        place: String,
        listed: String,
        /// Whether the list is sure of it.
        decided: bool,
        /// What was recorded.
        spec: String,
        how: Difference,
    },
    /// The list is not sure of the place, and nobody said why this part was fitted.
    #[error(
        "why this part was fitted by entry {entry} (job correct N {entry} WHY --part … --why …): the parts list is not sure of {place}, likeliest {listed}"
    )]
    NotDecided {
        entry: u32,
        place: String,
        /// The likeliest.
        listed: String,
    },
    #[error("the cleaning state (job step N --clean …)")]
    NoCleaning,
    /// No cleaning for gas that is treated as enriched.
    #[error(
        "a record of cleaning for enriched gas (job step N --clean … --for-oxygen): above the threshold, or where \
            the gas is not settled, nothing is released without it"
    )]
    NotOxygenClean,
    /// A part that is not recorded as clean for such gas.
    #[error(
        "a clean part for enriched gas: {place} of entry {entry} is not recorded as cleaned for it (--part … --for-oxygen)"
    )]
    PartNotOxygenClean { entry: u32, place: String },
    /// A polymer that does not suit the gas.
    #[error(
        "a polymer that suits the gas: {polymer} in {place} (entry {entry}) does not: {reason}"
    )]
    Polymer {
        entry: u32,
        place: String,
        polymer: Polymer,
        reason: String,
    },
    /// An old soft part stays in gas that asks for care, and its polymer is not known.
    #[error(
        "a new soft part in {place}: entry {entry} keeps the old one, and nobody knows whether it suits this gas"
    )]
    OldSoftPart { entry: u32, place: String },
    /// No lubricant is recorded, nor that none was used.
    #[error(
        "the lubricant, or that none was used (job step N --lubricant NAME --lot LOT, or --lubricant none --lot none)"
    )]
    NoLubricant,
    /// A lubricant that does not suit, or is not known.
    #[error(
        "a lubricant that suits the gas: {name} (entry {entry}): {reason}; where no rule is known, --why says who \
            decided and why"
    )]
    Lubricant {
        entry: u32,
        name: String,
        reason: String,
    },
    #[error("the gas, settled: {0} (job correct N 1 WHY --gas \"air\")")]
    GasNotSettled(String),
    #[error(
        "a supply within the ratings: the unit is used with {supply}, above its rating {rating}"
    )]
    SupplyAboveRating {
        supply: SpokenPressure,
        /// The rating as typed.
        rating: String,
    },
    #[error("limits of use that name the greatest supply (--limits \"air, 200 bar, …\")")]
    LimitsWithoutSupply,
    /// The limits of use hold a number without its unit.
    #[error("limits of use whose numbers have units: {0:?} has none")]
    LimitsUnread(String),
    /// The limits of use allow more supply than the unit is used and tested with.
    #[error("limits of use within what was tested: {limit} is above the supply of use of {supply}")]
    LimitsAboveSupply {
        limit: SpokenPressure,
        supply: SpokenPressure,
    },
    /// The limits of use allow more supply than a rating.
    #[error("limits of use within the ratings: {limit} is above the rating {rating}")]
    LimitsAboveRating {
        limit: SpokenPressure,
        /// The rating as typed.
        rating: String,
    },
    /// The limits of use allow a gas that asks for more care than the one that the unit was worked for.
    #[error(
        "limits of use for the gas of the job: the unit was worked for {gas:?}, and the limits say {limit:?}"
    )]
    LimitsGas { limit: String, gas: String },
    #[error("a second person who checked it (--checked-by NAME)")]
    NoSecondPerson,
    /// The second person's name names no one.
    #[error("a second person who checked it, by name: {0:?} names nobody")]
    SecondPersonUnnamed(String),
    /// The second person may be somebody who did the work.
    #[error(
        "a second person who did not do the work: {name:?} may be {worker:?}, who did; write names in full where two people are meant"
    )]
    SecondPersonWorked { name: String, worker: String },
    /// Who worked is not named.
    #[error(
        "who did the work, by name: {0:?} names nobody; withdraw the entry and enter it again with --by NAME"
    )]
    WorkerUnnamed(String),
}

impl Lack {
    /// Returns the word of its kind for machines, which is its name here.
    pub fn code(&self) -> String {
        let told = self.told();
        told["code"].as_str().unwrap_or_default().to_owned()
    }

    /// Returns the entry that it is about.
    pub fn entry(&self) -> Option<u32> {
        let entry = self.told()["of"]["entry"].as_u64()?;
        u32::try_from(entry).ok()
    }

    /// Lays out its kind, and each thing that it is about by name.
    fn told(&self) -> serde_json::Value {
        serde_json::to_value(self).unwrap_or_default()
    }
}

/// Says what a watched series showed.
const fn seen(call: Option<CreepCall>) -> &'static str {
    match call {
        None => "it was not watched",
        Some(CreepCall::Wait) => "it was not watched long enough",
        Some(CreepCall::Creeps) => "it creeps",
        Some(CreepCall::Falls) => "it falls",
        Some(CreepCall::Still) => "it stands still",
    }
}
