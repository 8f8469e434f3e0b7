//! One line of a parts list.

use super::decision::Decided;
use super::elsewhere::Elsewhere;
use super::failed::Failed;
use super::part_length::PartLength;
use super::ring_evidence::RingEvidence;
use crate::core::confidence::Confidence;
use crate::core::elastomer::Polymer;
use crate::core::gland::{GlandSpec, Verdict};
use crate::core::note::{Entry, Fate, PartKind, Place};
use crate::core::quantity::{Hardness, Length, as_optional_mm, from_optional_mm};
use crate::core::sizes::NominalSize;
use crate::core::word::words;
use serde::{Deserialize, Serialize};

/// Says what is done with a part when a unit is rebuilt.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "lowercase")]
pub enum PartAction {
    /// A new one goes in, always.
    Replace,
    /// It is looked at, and replaced by its condition.
    #[default]
    #[serde(rename = "on condition")]
    OnCondition,
    /// It goes back in.
    Keep,
}

words!(PartAction {
    Replace => "replace",
    OnCondition => "on condition",
    Keep => "keep",
});

impl PartAction {
    /// Returns the action for what a note says of a part; where it says nothing, soft parts are replaced and others are
    /// looked at.
    pub const fn of(fate: Fate, is_soft: bool) -> Self {
        match fate {
            Fate::Replace => Self::Replace,
            Fate::Keep => Self::Keep,
            Fate::Unstated if is_soft => Self::Replace,
            Fate::Inspect | Fate::Unstated => Self::OnCondition,
        }
    }
}

/// One part of a model with what all recorded units say of it.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct PartLine {
    /// Its number in the list, from 1.
    pub number: usize,
    pub section: String,
    pub position: String,
    pub part: String,
    pub kind: PartKind,
    pub action: PartAction,
    /// How many one unit needs.
    pub quantity: u32,
    /// How many the units to be built need.
    pub quantity_total: u32,
    #[serde(flatten)]
    pub size: PartSize,
    #[serde(flatten)]
    pub material: PartMaterial,
    /// What stands behind the ring; nothing where the part is no ring.
    #[serde(flatten)]
    pub ring: RingEvidence,
    /// What a person decided for this place; `None` where nobody did.
    pub decided_by: Option<Decided>,
    /// How it seals; `None` where no gland was recorded, or the part is no ring.
    pub gland: Option<PartGland>,
    /// Other rings that may take its place.
    pub alternates: Vec<Alternate>,
    /// Units that speak for the size, by serial number.
    pub units_agree: Vec<String>,
    /// Units that have the part.
    pub units_recorded: usize,
    /// Where units or sources contradict each other.
    pub conflicts: Vec<Conflict>,
    /// Points to see before ordering or fitting.
    pub cautions: Vec<String>,
    /// What was tried here and failed, the listed part itself first.
    pub failed: Vec<Failed>,
    /// Other shops whose records the line rests on.
    pub rests_on: Vec<String>,
    /// What the units of other shops would make of the line; ours stands.
    pub elsewhere: Vec<Elsewhere>,
    /// The glands that the units recorded at this place, in which other rings can be checked.
    #[serde(skip)]
    pub glands: Vec<GlandSpec>,
}

/// Says where a size comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum SizeBasis {
    /// Named from readings.
    Measured,
    /// Stated by a note, a bag or a drawer; not measured.
    Stated,
    /// Decided by a person.
    Decided,
    /// Lengths of a part that has no listed sizes.
    Lengths,
    /// Nothing is known.
    #[default]
    Unknown,
}

/// The size of a part.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct PartSize {
    pub basis: SizeBasis,
    /// Whether the evidence settles it; where not, it must not be ordered from this line.
    pub decided: bool,
    /// Every code of a listed ring.
    pub codes: Vec<String>,
    /// Inside diameter of the listed ring.
    #[serde(
        rename = "id_mm",
        serialize_with = "as_optional_mm",
        deserialize_with = "from_optional_mm"
    )]
    pub id: Option<Length>,
    /// Cross-section of the listed ring.
    #[serde(
        rename = "cs_mm",
        serialize_with = "as_optional_mm",
        deserialize_with = "from_optional_mm"
    )]
    pub section: Option<Length>,
    /// Readings of all agreeing units, or lengths of a part that is no ring, in words.
    pub measured: String,
    /// The same lengths, each by its word.
    pub lengths: Vec<PartLength>,
    /// Probability that the listed ring is the very size which the place was made for.
    pub probability: Option<f64>,
    /// Chance that it does the job there.
    pub does_job: Option<f64>,
    /// How sure the size is, in words.
    pub how_sure: String,
}

impl PartSize {
    /// Returns the dimensions of the listed ring, where it has them.
    pub fn nominal(&self) -> Option<NominalSize> {
        let (id, section) = self.id.zip(self.section)?;
        Some(NominalSize { id, section })
    }
}

/// What a part is or should be made of.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct PartMaterial {
    pub polymer: Option<Polymer>,
    pub hardness: Option<Hardness>,
    /// Material in words, where it is no chosen polymer.
    pub material: Option<String>,
    pub reason: String,
    /// Where the rule comes from.
    pub material_source: Option<String>,
    /// How well it is known.
    pub material_confidence: Option<Confidence>,
}

/// Says how a ring seals in the glands of all units that recorded one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PartGland {
    /// The worst verdict; `None` where no gland could be checked.
    pub verdict: Option<Verdict>,
    /// What decided it.
    pub words: String,
    pub checked: usize,
    /// Glands that could not be checked, with what they lack.
    pub unchecked: Vec<String>,
}

/// Another ring that may take the place of the one listed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Alternate {
    pub codes: Vec<String>,
    #[serde(flatten)]
    pub size: NominalSize,
    /// Probability that it is the very size which the place was made for.
    pub probability: Option<f64>,
    /// Chance that it does the job there.
    pub does_job: Option<f64>,
    /// The worst verdict over the recorded glands; `None` where none could be checked.
    pub verdict: Option<Verdict>,
}

/// Names a contradiction.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Conflict {
    pub about: ConflictAbout,
    /// The units that stand apart, by serial number.
    pub units: Vec<String>,
    /// What contradicts what.
    pub words: String,
}

/// Names what a contradiction is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ConflictAbout {
    /// The size of a ring.
    Size,
    /// A length of another part.
    Length,
    /// A size that was stated against one that was measured.
    Statement,
    /// How many there are.
    Quantity,
    /// What is to be done with it.
    Action,
    /// What it is made of.
    Material,
    /// A unit lacks the part.
    Missing,
    /// The ring against its gland.
    Gland,
    /// A ring that came out and is not the one which the place was made for; it does not touch what is fitted.
    Foreign,
}

impl PartLine {
    /// Returns the place of the model that it is of.
    pub fn place(&self) -> Place {
        let entry = Entry {
            section: self.section.clone(),
            position: self.position.clone(),
            kind: self.kind,
            ..Entry::default()
        };
        entry.place()
    }

    /// Returns what is said of the listed part where it was tried at this place and failed.
    pub fn failed_itself(&self) -> Option<&Failed> {
        self.failed.iter().find(|one| one.is_listed)
    }
}

impl ConflictAbout {
    /// Tells whether it puts the size of a part, or that it is there at all, in doubt.
    pub const fn touches_size(self) -> bool {
        !matches!(
            self,
            Self::Quantity | Self::Action | Self::Material | Self::Foreign
        )
    }
}

impl PartMaterial {
    /// Returns polymer and hardness, or the material in words; empty where nothing is known.
    pub fn words(&self) -> String {
        match (self.polymer, self.hardness) {
            (Some(polymer), Some(hardness)) => format!("{polymer} {hardness}"),
            (Some(polymer), None) => format!("{polymer}, hardness ?"),
            _ => self.material.clone().unwrap_or_default(),
        }
    }
}

impl PartSize {
    /// Returns the first code of a listed ring, or what was measured.
    pub fn words(&self) -> &str {
        self.codes.first().unwrap_or(&self.measured)
    }

    /// Makes the size of a part of which nothing is known.
    pub fn unknown(how_sure: impl Into<String>) -> Self {
        Self {
            how_sure: how_sure.into(),
            ..Self::default()
        }
    }
}
