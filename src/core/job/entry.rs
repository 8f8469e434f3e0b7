//! What one entry of a record says.

use crate::core::gear::GearKind;
use crate::core::gland::Verdict;
use crate::core::quantity::{Date, Pressure, Typed};
use crate::core::stage::{
    CreepCall, GaugeStanding, SettingLimits, SettingQuestion, SettingReading, StageDesign,
    SupplyRating,
};
use crate::core::word::words;
use serde::{Deserialize, Serialize};

/// Says what one entry of a record says.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "entry", rename_all = "kebab-case")]
pub enum JobEntry {
    /// The work begins.
    Open(Opening),
    /// Readings, or why none were taken.
    Reading(Box<JobReading>),
    /// A part fitted.
    Part(FittedPart),
    /// A part that the list replaces and that stays in the unit.
    Kept(KeptPart),
    Clean(Cleaning),
    Lubricant(LubricantUsed),
    /// A fastener tightened.
    Torque(Words),
    /// Shims fitted.
    Shims(ShimPack),
    /// The adjusting screw as it stands.
    Screw(Screw),
    /// The recorded rating of a part.
    Rating(RatedPart),
    /// A test for leaks, or why there was none.
    LeakTest(LeakTest),
    /// Another test done.
    Tested(OtherTest),
    /// A test not done.
    NotTested(Words),
    Remark(Words),
    /// The end.
    Close(Closing),
    /// A correction of an earlier entry, which stays.
    Correction(Correction),
}

/// Says what the work is for, and what the unit is used with.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Opening {
    pub purpose: String,
    /// The kind of gear; `None` where nobody said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gear: Option<GearKind>,
    /// The gas in words, "not stated" where nobody said.
    pub gas: String,
    /// Share of oxygen in per cent, where it was said.
    pub oxygen_pct: Option<f64>,
    /// The threshold of enrichment in per cent.
    pub threshold_pct: f64,
    /// Whose threshold it is.
    pub threshold_name: String,
    /// Greatest supply that the unit is used with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub supply: Option<Typed<Pressure>>,
}

/// Says when in the work readings were taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum ReadState {
    /// Before it was opened.
    #[serde(rename = "as found")]
    AsFound,
    /// During the work.
    #[default]
    #[serde(rename = "between")]
    Between,
    /// As it is given back.
    #[serde(rename = "as left")]
    AsLeft,
}

words!(ReadState {
    AsFound => "as found",
    Between => "between",
    AsLeft => "as left",
});

/// Readings with what was said of them on that day.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct JobReading {
    /// When in the work.
    pub state: ReadState,
    /// Readings as typed.
    pub readings: Vec<SettingReading>,
    /// The watched series: seconds and bar.
    pub creep: Vec<(f64, f64)>,
    /// Seconds to lock-up.
    pub lock_up_s: Option<f64>,
    /// The design, where it was named with them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub design: Option<StageDesign>,
    /// Ratings that were named with them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub ratings: Vec<SupplyRating>,
    /// The gauge in words.
    pub gauge: String,
    /// Whether it is registered and checked in time.
    pub gauge_known: bool,
    /// What the watched series said.
    pub creep_call: Option<CreepCall>,
    pub verdict: Option<Verdict>,
    /// What the checks said, one sentence each.
    pub said: Vec<String>,
    /// What stopped the work.
    pub stops: Vec<String>,
    /// Why nothing was read.
    pub not_tested: Option<String>,
    /// How far the gauge was known on that day; `None` in records from before that was kept.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub standing: Option<GaugeStanding>,
}

impl JobReading {
    /// Says that nothing was read, and why.
    pub fn not_taken(state: ReadState, why: String) -> Self {
        Self {
            state,
            not_tested: Some(why),
            ..Self::default()
        }
    }

    /// Tells whether anything was read.
    pub fn is_taken(&self) -> bool {
        self.not_tested.is_none() && !(self.readings.is_empty() && self.creep.is_empty())
    }

    /// Lists the readings put right for the gauge, supply and pressure in bar; as shown where the gauge was not kept with them.
    pub fn corrected_bar(&self) -> Vec<(f64, f64)> {
        let gauge = self.standing.as_ref().unwrap_or(&GaugeStanding::Unnamed);
        gauge.put_right(&self.readings)
    }

    /// Asks again what the readings say, by the ratings and limits that hold now.
    pub fn question(
        &self,
        ratings: Vec<SupplyRating>,
        limits: &SettingLimits,
        gear: Option<GearKind>,
    ) -> SettingQuestion {
        SettingQuestion {
            readings: self.readings.clone(),
            lock_up_s: self.lock_up_s,
            creep: self.creep.clone(),
            gauge: self.standing.clone().unwrap_or(GaugeStanding::Unnamed),
            gear,
            design: self.design,
            ratings,
            limits: limits.clone(),
        }
    }
}

/// Says what went into a place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FittedPart {
    /// The place, as the parts list names it.
    pub part: String,
    /// What was fitted.
    pub spec: String,
    pub lot: String,
    /// How many.
    #[serde(default = "one")]
    pub count: u32,
    /// Whether the part was cleaned, or came clean, for enriched gas.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub oxygen_clean: bool,
    /// In what it was another one than the parts list had there on that day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unlike: Option<String>,
    /// Why it is another one than the list has, or why it is this one where the list is not decided.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub deviation: Option<String>,
}

const fn one() -> u32 {
    1
}

/// Says that the old part of a place stays.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeptPart {
    /// The place, as the parts list names it.
    pub part: String,
    pub why: String,
}

/// Says how the unit was cleaned.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cleaning {
    pub how: String,
    /// Whether it was cleaned and verified for enriched gas.
    pub for_oxygen: bool,
}

/// Says what was used to lubricate.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LubricantUsed {
    /// Which, as typed.
    pub name: String,
    pub lot: String,
    /// Why it was used where no rule speaks for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub deviation: Option<String>,
}

/// Words of a person in a record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Words {
    /// As typed.
    pub words: String,
}

/// Says which shims are fitted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ShimPack {
    /// The stack, as typed.
    pub words: String,
    /// Thickness in all, in millimetres.
    pub total_mm: f64,
}

/// Says how the adjusting screw stands.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Screw {
    /// As typed.
    pub words: String,
    pub turns: f64,
}

/// The rating of a part of the unit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RatedPart {
    pub rating: SupplyRating,
}

/// Says how the unit was tested for leaks, or who decided against it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LeakTest {
    /// How, or why not.
    pub words: String,
    /// The greatest pressure that the words name.
    pub supply: Option<Pressure>,
    /// What came of it; `None` where it was decided against.
    pub result: Option<TestResult>,
}

/// Says what came of a test.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TestResult {
    Passed,
    Failed,
}

words!(TestResult {
    Passed => "passed",
    Failed => "failed",
});

/// Says what else was tested.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OtherTest {
    /// What, how long, and what came of it.
    pub words: String,
    /// Whether it was of the effort at which a second stage opens.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub cracking_effort: bool,
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub failed: bool,
}

/// Says how the record ends.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Closing {
    /// The second person who checked it.
    pub checked_by: Option<String>,
    /// Whether it was released for use.
    pub released: bool,
    /// Limits of use: gas, pressure, depth, temperature.
    pub limits: String,
    pub due: Option<Date>,
    pub due_rule: String,
    /// What was lacking when it was closed without release.
    pub lacking: Vec<String>,
}

/// Says that an earlier entry was wrong.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Correction {
    /// Place of the entry that was wrong.
    pub of: u32,
    /// What is right, or why the entry does not hold.
    pub words: String,
    /// The entry as it should have been; without it the wrong one counts as not said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub right: Option<Box<JobEntry>>,
}

impl JobEntry {
    /// Returns the word of its kind.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Open(_) => "open",
            Self::Reading(_) => "reading",
            Self::Part(_) => "part",
            Self::Kept(_) => "kept",
            Self::Clean(_) => "clean",
            Self::Lubricant(_) => "lubricant",
            Self::Torque(_) => "torque",
            Self::Shims(_) => "shims",
            Self::Screw(_) => "screw",
            Self::Rating(_) => "rating",
            Self::LeakTest(_) => "leak test",
            Self::Tested(_) => "tested",
            Self::NotTested(_) => "not tested",
            Self::Remark(_) => "remark",
            Self::Close(_) => "close",
            Self::Correction(_) => "correction",
        }
    }

    /// Tells whether the entry tells of work after which a unit must be read again: it was opened, or what bounds it changed.
    pub const fn is_step(&self) -> bool {
        matches!(
            self,
            Self::Part(_)
                | Self::Clean(_)
                | Self::Lubricant(_)
                | Self::Torque(_)
                | Self::Shims(_)
                | Self::Screw(_)
                | Self::Rating(_)
        )
    }

    /// Tells whether both tell of the same work, so that one in the place of the other changes nothing in the unit: another lot,
    /// or other words for the same stack.
    pub fn is_same_work(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Part(a), Self::Part(b)) => {
                (&a.part, &a.spec, a.count) == (&b.part, &b.spec, b.count)
            }
            (Self::Shims(a), Self::Shims(b)) => a.total_mm.total_cmp(&b.total_mm).is_eq(),
            (Self::Screw(a), Self::Screw(b)) => a.turns.total_cmp(&b.turns).is_eq(),
            (Self::Lubricant(a), Self::Lubricant(b)) => a.name == b.name,
            (a, b) => a == b,
        }
    }
}
