//! The state of a unit: what its record comes to.

use super::entry::{
    Cleaning, Closing, Correction, FittedPart, JobEntry, JobReading, KeptPart, LeakTest,
    LubricantUsed, Opening, OtherTest, ReadState, Screw, ShimPack, TestResult, Words,
};
use super::place::PlaceList;
use super::record::{Heard, JobRecord};
use crate::core::gas::{GasService, GasStatement, OxygenThreshold};
use crate::core::gear::GearKind;
use crate::core::quantity::{Pressure, Typed};
use crate::core::stage::SupplyRating;
use serde::Serialize;

/// Something that an entry says, with the entry.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Said<T> {
    /// Place of the entry in the record.
    pub entry: u32,
    /// Place of the correction that put it right, where one did.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub corrected_by: Option<u32>,
    pub person: String,
    /// When it was written down, ISO 8601.
    pub at: String,
    #[serde(flatten)]
    pub what: T,
}

/// The gas of a unit and what it asks of its parts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JobGas {
    /// What was said of it.
    pub stated: GasStatement,
    /// From which share on gas counts as enriched, and by whom.
    pub threshold: OxygenThreshold,
    /// What the words and the share come to.
    pub service: GasService,
}

/// Says what is in a place now.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PlaceWork {
    /// A part was fitted.
    Fitted(FittedPart),
    /// The old part stays.
    Kept(KeptPart),
}

impl PlaceWork {
    /// Returns the place as the record names it.
    pub fn part(&self) -> &str {
        match self {
            Self::Fitted(fitted) => &fitted.part,
            Self::Kept(kept) => &kept.part,
        }
    }
}

/// A place of the unit with what is in it now and what was.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlaceState {
    /// Its line in the parts list; `None` where the list has no such place.
    pub line: Option<usize>,
    /// The place, as the parts list names it, else as it was written.
    pub name: String,
    /// What is in it now: what was entered last.
    pub now: Said<PlaceWork>,
    /// What was in it before, oldest first.
    pub former: Vec<Said<PlaceWork>>,
}

/// Readings with the setting that they were taken at.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReadingState {
    #[serde(flatten)]
    pub said: Said<JobReading>,
    /// The shims that were fitted then; `None` where none are recorded, or their entry does not hold.
    pub pack: Option<ShimPack>,
    /// The first part that went in afterwards: its entry and what it is.
    pub before_part: Option<(u32, String)>,
}

/// Names a step after which a unit is read again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct LastStep {
    /// Its entry, or the entry of the correction that changed it.
    pub entry: u32,
    /// The kind of step in words.
    pub kind: &'static str,
}

impl std::fmt::Display for LastStep {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "entry {} ({})", self.entry, self.kind)
    }
}

/// What the record of a job comes to: the unit as it stands now.
///
/// Only entries that hold count (a corrected one counts as not said, or as what the correction gives); what was entered last in a
/// place is what is there.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct UnitState {
    /// Number of the job.
    pub job: i64,
    pub model: String,
    pub serial: String,
    pub purpose: String,
    /// The kind of gear; `None` where nobody said.
    pub gear: Option<GearKind>,
    pub gas: JobGas,
    /// Greatest supply that the unit is used with.
    pub supply: Option<Typed<Pressure>>,
    /// Every recorded rating.
    pub ratings: Vec<Said<SupplyRating>>,
    /// Places of the unit, in the order in which they were first worked on.
    pub places: Vec<PlaceState>,
    pub cleaning: Vec<Said<Cleaning>>,
    pub lubricants: Vec<Said<LubricantUsed>>,
    pub torques: Vec<Said<Words>>,
    /// The shims that are fitted; `None` where none are recorded, or the last entry does not hold.
    pub pack: Option<Said<ShimPack>>,
    /// How the adjusting screw stands.
    pub screw: Option<Said<Screw>>,
    /// Readings, oldest first.
    pub readings: Vec<ReadingState>,
    /// The last step after which the unit must be read again.
    pub last_step: Option<LastStep>,
    /// The last test for leaks.
    pub leak_test: Option<Said<LeakTest>>,
    pub tested: Vec<Said<OtherTest>>,
    pub not_tested: Vec<Said<Words>>,
    pub remarks: Vec<Said<Words>>,
    /// Corrections, also those that were corrected.
    pub corrections: Vec<Said<Correction>>,
    /// Everybody who wrote an entry until it was closed.
    pub people: Vec<String>,
    /// When the entries that count were written, in the order of the record: place and moment.
    #[serde(skip)]
    pub moments: Vec<(u32, String)>,
    pub closed: bool,
    /// How it was closed; `None` where it is open, or the closing was withdrawn.
    pub closing: Option<Said<Closing>>,
    /// Place of the entry that closed it.
    #[serde(skip)]
    pub closed_at: Option<u32>,
    /// The last seal.
    pub seal: String,
}

/// Says where a job stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum JobStanding {
    Open,
    Released,
    /// Released, and corrected afterwards: whether it still holds must be looked at.
    CorrectedSince,
    /// Closed without release, or the release was withdrawn.
    NotReleased,
}

impl UnitState {
    /// Forms the state from a record; `places` are those of the parts list, which names them.
    pub fn of(record: &JobRecord, places: &PlaceList) -> Self {
        let mut state = Self::bare(record);
        for heard in record.heard() {
            state.hear(&heard, places);
        }
        state
    }

    /// Returns the kind of gear that the unit is judged as.
    pub fn kind(&self) -> GearKind {
        self.gear.unwrap_or(GearKind::ASSUMED)
    }

    /// Says where the job stands.
    pub fn standing(&self) -> JobStanding {
        let released = self.closing.as_ref().is_some_and(|c| c.what.released);
        let since = self
            .corrections
            .iter()
            .any(|correction| Some(correction.entry) > self.closed_at);
        match (self.closed, released) {
            (false, _) => JobStanding::Open,
            (true, false) => JobStanding::NotReleased,
            (true, true) if since => JobStanding::CorrectedSince,
            (true, true) => JobStanding::Released,
        }
    }

    /// Returns the last readings of a state.
    pub fn last_reading(&self, wanted: ReadState) -> Option<&ReadingState> {
        self.readings
            .iter()
            .rev()
            .find(|reading| reading.said.what.state == wanted)
    }

    /// Returns the last step where it came after an entry, so that what the entry tells is old.
    pub fn step_after(&self, entry: u32) -> Option<LastStep> {
        self.last_step.filter(|step| step.entry > entry)
    }

    /// Lists the ratings as they bound readings.
    pub fn supply_ratings(&self) -> Vec<SupplyRating> {
        self.ratings.iter().map(|said| said.what.clone()).collect()
    }

    /// Returns the place that a line of the parts list names.
    pub fn place(&self, line: usize) -> Option<&PlaceState> {
        self.places.iter().find(|place| place.line == Some(line))
    }

    fn bare(record: &JobRecord) -> Self {
        // Whoever corrects the record of a unit that was given out does no work on it.
        let mut people: Vec<String> = Vec::new();
        for sealed in &record.entries {
            if !people.contains(&sealed.person) {
                people.push(sealed.person.clone());
            }
            if matches!(sealed.entry, JobEntry::Close(_)) {
                break;
            }
        }
        Self {
            job: record.number,
            model: record.model.clone(),
            serial: record.serial.clone(),
            last_step: last_step(record),
            people,
            closed: record.is_closed(),
            seal: record.seal().to_owned(),
            ..Self::default()
        }
    }

    fn hear(&mut self, heard: &Heard<'_>, places: &PlaceList) {
        let sealed = heard.sealed;
        if heard.by.is_none() {
            self.moments.push((sealed.place, sealed.added_at.clone()));
        }
        if matches!(sealed.entry, JobEntry::Close(_)) {
            self.closed_at = Some(sealed.place);
        }
        if let JobEntry::Correction(correction) = &sealed.entry {
            let as_written = Heard { by: None, ..*heard };
            self.corrections.push(as_written.said(correction.clone()));
        }
        let Some(entry) = heard.entry else {
            // Nobody knows what is fitted where the last word on it does not hold.
            match sealed.entry {
                JobEntry::Shims(_) => self.pack = None,
                JobEntry::Screw(_) => self.screw = None,
                _ => {}
            }
            return;
        };
        match entry {
            JobEntry::Open(opening) => {
                self.purpose.clone_from(&opening.purpose);
                self.gear = opening.gear;
                self.gas = JobGas::of(opening);
                self.supply.clone_from(&opening.supply);
            }
            JobEntry::Reading(reading) => self.hear_reading(heard, reading),
            JobEntry::Part(fitted) => {
                self.hear_part(heard.said(PlaceWork::Fitted(fitted.clone())), places);
            }
            JobEntry::Kept(kept) => {
                self.hear_part(heard.said(PlaceWork::Kept(kept.clone())), places);
            }
            JobEntry::Clean(cleaning) => self.cleaning.push(heard.said(cleaning.clone())),
            JobEntry::Lubricant(used) => self.lubricants.push(heard.said(used.clone())),
            JobEntry::Torque(words) => self.torques.push(heard.said(words.clone())),
            JobEntry::Shims(pack) => self.pack = Some(heard.said(pack.clone())),
            JobEntry::Screw(screw) => self.screw = Some(heard.said(screw.clone())),
            JobEntry::Rating(rated) => self.ratings.push(heard.said(rated.rating.clone())),
            // A leak that was found is not decided away: another test, after the mending, ends it.
            JobEntry::LeakTest(test) => {
                let leaks = self
                    .leak_test
                    .as_ref()
                    .is_some_and(|known| known.what.result == Some(TestResult::Failed));
                if !(leaks && test.result.is_none()) {
                    self.leak_test = Some(heard.said(test.clone()));
                }
            }
            JobEntry::Tested(test) => self.tested.push(heard.said(test.clone())),
            JobEntry::NotTested(words) => self.not_tested.push(heard.said(words.clone())),
            JobEntry::Remark(words) => self.remarks.push(heard.said(words.clone())),
            JobEntry::Close(closing) => self.closing = Some(heard.said(closing.clone())),
            JobEntry::Correction(_) => {}
        }
    }

    fn hear_reading(&mut self, heard: &Heard<'_>, reading: &JobReading) {
        for rating in &reading.ratings {
            self.ratings.push(heard.said(rating.clone()));
        }
        self.readings.push(ReadingState {
            said: heard.said(reading.clone()),
            pack: self.pack.as_ref().map(|pack| pack.what.clone()),
            before_part: None,
        });
    }

    fn hear_part(&mut self, now: Said<PlaceWork>, places: &PlaceList) {
        if let PlaceWork::Fitted(fitted) = &now.what {
            for reading in &mut self.readings {
                reading
                    .before_part
                    .get_or_insert_with(|| (now.entry, fitted.part.clone()));
            }
        }
        let listed = places.find(now.what.part()).ok();
        let line = listed.map(|place| place.number);
        let name = listed.map_or_else(|| now.what.part().to_owned(), |place| place.name.clone());
        match self.places.iter_mut().find(|place| place.name == name) {
            Some(place) => place.former.push(std::mem::replace(&mut place.now, now)),
            None => self.places.push(PlaceState {
                line,
                name,
                now,
                former: Vec::new(),
            }),
        }
    }
}

/// What an opening says of a gas that nobody stated.
pub const NOT_STATED: &str = "not stated";

impl Default for JobGas {
    fn default() -> Self {
        Self::judged(GasStatement::default(), OxygenThreshold::default())
    }
}

impl JobGas {
    fn of(opening: &Opening) -> Self {
        let stated = GasStatement {
            words: Some(opening.gas.clone()).filter(|gas| gas != NOT_STATED),
            oxygen: opening.oxygen_pct.map(|pct| pct / 100.0),
        };
        Self::judged(
            stated,
            OxygenThreshold::of_share(opening.threshold_pct / 100.0),
        )
    }

    fn judged(stated: GasStatement, threshold: OxygenThreshold) -> Self {
        Self {
            service: stated.judge(&threshold),
            stated,
            threshold,
        }
    }

    /// Tells whether the gas asks for clean parts and what suits oxygen.
    pub fn asks_oxygen_care(&self) -> bool {
        self.service.asks_oxygen_care()
    }
}

impl Heard<'_> {
    fn said<T>(&self, what: T) -> Said<T> {
        let hand = self.by.unwrap_or(self.sealed);
        Said {
            entry: self.sealed.place,
            corrected_by: self.by.map(|by| by.place),
            person: hand.person.clone(),
            at: hand.added_at.clone(),
            what,
        }
    }
}

/// The last entry after which the unit must be read again: a step, or a correction after which another thing is believed to have
/// been done than before.
fn last_step(record: &JobRecord) -> Option<LastStep> {
    record.entries.iter().rev().find_map(|sealed| {
        let step = match &sealed.entry {
            JobEntry::Correction(correction) => {
                let root = &record.root(correction)?.entry;
                let same = correction
                    .right
                    .as_ref()
                    .is_some_and(|right| right.is_same_work(root));
                Some(root).filter(|root| root.is_step() && !same)?
            }
            entry => Some(entry).filter(|entry| entry.is_step())?,
        };
        Some(LastStep {
            entry: sealed.place,
            kind: step.kind(),
        })
    })
}
