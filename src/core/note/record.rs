//! The meaning of a teardown note: one unit, taken apart, part by part.

use super::page_ring::PageRing;
use super::part_kind::PartKind;
use crate::core::elastomer::Polymer;
use crate::core::gas::GasStatement;
use crate::core::gear::GearKind;
use crate::core::gland::GlandSpec;
use crate::core::measurement::{Condition, Measurand, Reading};
use crate::core::quantity::{Date, Dimension, Hardness, LengthUnit, Pressure, Torque, Typed};
use crate::core::word::words;
use serde::{Deserialize, Serialize};

/// One teardown note: what was written about one unit on one occasion.
///
/// The record carries what the text means, and beside every quantity what was typed. It does not carry the layout of
/// the text; the printer of the language gives the canonical one.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Note {
    /// What is said of the unit as a whole.
    pub header: Header,
    /// The parts, in the order in which they came off.
    pub entries: Vec<Entry>,
    /// Comment lines behind the last part, without their `#`.
    pub closing_comments: Vec<String>,
}

/// What a note says of the unit as a whole.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Header {
    /// The maker, where a line of its own names one; a model line may name the maker too, and is not taken apart.
    pub maker: Option<String>,
    /// The model. Never empty in a sound note.
    pub model: String,
    /// The serial number of the unit, or whatever name tells it from its siblings. Never empty in a sound note.
    pub unit: String,
    /// What kind of gear it is; `None` where the note does not say.
    #[serde(default)]
    pub gear: Option<GearKind>,
    /// Which variant or revision of the model it is, in the writer's words.
    pub variant: Option<String>,
    /// The country and the year in which the model was made, such as `us 1962`.
    #[serde(default)]
    pub made: Option<String>,
    /// The day of the teardown.
    pub date: Option<Date>,
    /// The gas that the unit is used with, in the writer's words.
    pub gas: Option<String>,
    /// Share of oxygen in the gas, 0 to 1.
    pub oxygen: Option<Typed<f64>>,
    /// Greatest pressure of the supply that the unit is used with.
    pub supply: Option<Typed<Pressure>>,
    /// Rating marked on the unit or on its cylinder connection.
    pub rated: Option<Typed<Pressure>>,
    /// The unit of bare lengths in this note; without it a bare length is refused.
    pub lengths: Option<LengthUnit>,
    /// Who took the unit apart.
    pub by: Option<String>,
    /// Whose unit it is.
    pub owner: Option<String>,
    /// What it will be used for: display, pool, breathing.
    pub purpose: Option<String>,
    /// How it connects to the supply.
    pub connection: Option<String>,
    /// What was seen or measured before it was opened, one line each.
    pub as_found: Vec<String>,
    /// Names of photographs of the whole unit.
    pub photos: Vec<String>,
    /// Free words, one line each.
    pub remarks: Vec<String>,
    /// Comment lines above or among the header, without their `#`.
    pub comments: Vec<String>,
}

impl Header {
    /// Returns what is said of the gas: its words and its share of oxygen.
    pub fn gas_statement(&self) -> GasStatement {
        GasStatement {
            words: self.gas.clone(),
            oxygen: self.oxygen.as_ref().map(|share| share.value),
        }
    }
}

/// One part as it came off.
///
/// Section, kind and position together say which place of the model the part came from; see [`Entry::place`].
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Entry {
    /// Place in the order of removal, from 1.
    pub order: u32,
    /// The section of the unit (`inlet` for `[inlet]`); empty before the first section.
    pub section: String,
    /// Where in the section the part sat, such as `at filter seat`; empty where nothing was said.
    pub position: String,
    pub kind: PartKind,
    /// Whether the kind was stated by a `kind` field; otherwise it was read from the name.
    pub kind_stated: bool,
    /// The name as typed, without the count.
    pub name: String,
    /// How many alike came off together; at least 1.
    pub quantity: u32,
    pub fate: Fate,
    /// The state it is in, where it was said.
    pub condition: Option<Typed<Condition>>,
    /// Readings of a ring or back-up ring; empty for other parts.
    pub readings: Vec<Reading>,
    /// Lengths of a part that is no ring; empty for rings.
    pub dimensions: Vec<PartDimension>,
    /// A size that a person, a bag or a drawer states; not a measurement.
    pub stated_size: Option<StatedSize>,
    /// Polymer that is stated; never concluded from colour.
    pub polymer: Option<Typed<Polymer>>,
    /// Hardness that is stated or measured.
    pub hardness: Option<Typed<Hardness>>,
    /// Any other material, in words.
    pub material: Option<String>,
    /// The gland in which the ring sat, as far as it was measured.
    pub gland: Option<GlandSpec>,
    /// Tool that loosens it.
    pub tool: Option<String>,
    pub torque: Option<Typed<Torque>>,
    /// Turns to come off, or turns out from fully in.
    pub turns: Option<Typed<f64>>,
    /// Thread, such as `7/16-20 UNF`.
    pub thread: Option<String>,
    /// Threads or length that stood out before removal.
    pub exposed: Option<String>,
    /// Which way round it sat.
    pub orientation: Option<String>,
    pub side: Option<String>,
    /// Which of its faces was down, worn or in use.
    pub face: Option<String>,
    /// Colour, a description only; nothing is concluded from it.
    pub colour: Option<String>,
    /// What is stamped, moulded or painted on it.
    pub marking: Option<String>,
    /// Where a ring lay on the page of a scanner.
    #[serde(default)]
    pub scan: Option<PageRing>,
    /// Names of photographs.
    pub photos: Vec<String>,
    /// Free words, one field each.
    pub remarks: Vec<String>,
    /// Comments that stand before the part or at the end of its lines, without their `#`.
    pub comments: Vec<String>,
    /// The line of the text on which the part begins, from 1; 0 where it comes from no text.
    #[serde(default)]
    pub line: usize,
}

/// Says what is to become of a part.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "lowercase")]
pub enum Fate {
    /// A new one goes in whenever the unit is rebuilt.
    Replace,
    /// It is looked at, and goes back in or not by its condition.
    Inspect,
    /// It goes back in.
    Keep,
    /// Nothing was said.
    #[default]
    Unstated,
}

words!(Fate {
    Replace => "replace",
    Inspect => "inspect",
    Keep => "keep",
    Unstated => "",
});

/// One named length of a part that is no ring.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PartDimension {
    pub name: LengthName,
    /// What was read; more than one where the reading was repeated, and then without tolerance. At least one.
    pub values: Vec<Dimension>,
    /// The instrument's word (`caliper`), or empty where none was named.
    pub method: String,
    pub typed: String,
}

impl PartDimension {
    /// Returns the mean of the nominal lengths in millimetres.
    pub fn mean_mm(&self) -> f64 {
        let sum: f64 = self.values.iter().map(|d| d.nominal.mm()).sum();
        sum / self.values.len().max(1) as f64
    }
}

/// Names a length of a part that is no ring.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum LengthName {
    /// Outside diameter.
    Od,
    /// Inside diameter.
    Id,
    /// Thickness.
    Thick,
    Width,
    /// Length; of a spring its free length.
    Length,
    Height,
    Depth,
    /// Wire diameter.
    Wire,
    /// Diameter of the sealing edge.
    Edge,
    /// Diameter of a hole.
    Hole,
    /// Distance across flats.
    Flats,
}

words!(LengthName {
    Od => "od",
    Id => "id",
    Thick => "thick",
    Width => "width",
    Length => "length",
    Height => "height",
    Depth => "depth",
    Wire => "wire",
    Edge => "edge",
    Hole => "hole",
    Flats => "flats",
});

/// A size that somebody states; evidence of what they believed, not a measurement.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct StatedSize {
    /// The size as typed; a [designation](crate::core::sizes::read_designation) where the part is a ring.
    pub text: String,
    /// Who states it.
    pub by: SizeWitness,
}

/// Says who states a size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum SizeWitness {
    /// The writer of the note, or a document: `size 2-012`.
    Size,
    /// The label of the drawer or bag that the part came from: `drawer 3/8 x 1/16`.
    Drawer,
}

/// Names a place of a model: parts of several units that have it in common are the same part of the model.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Place {
    /// The section, in lower case.
    pub section: String,
    pub kind: PartKind,
    /// The position in lower case, without articles; empty where nothing was said.
    pub position: String,
}

impl Entry {
    /// Returns the place of the model that the part came from.
    pub fn place(&self) -> Place {
        Place {
            section: plain_words(&self.section),
            kind: self.kind,
            position: plain_words(&self.position),
        }
    }

    /// Returns the name with the thread behind it, by which parts alike are told apart.
    pub fn own_name(&self) -> String {
        let words = [Some(self.name.as_str()), self.thread.as_deref()];
        let words: Vec<&str> = words.into_iter().flatten().collect();
        words.join(" ")
    }

    /// Returns the condition that was stated, or "used", because a part that comes off has been in service.
    pub fn condition_or_used(&self) -> Condition {
        self.condition.as_ref().map_or(Condition::Used, |c| c.value)
    }

    /// Returns the readings of one measurand.
    pub fn readings_of(&self, measurand: Measurand) -> impl Iterator<Item = &Reading> {
        self.readings
            .iter()
            .filter(move |reading| reading.measurand == measurand)
    }

    /// Returns a named length, where it was given.
    pub fn dimension(&self, name: LengthName) -> Option<&PartDimension> {
        self.dimensions.iter().find(|d| d.name == name)
    }
}

impl Note {
    /// Returns the same note without line numbers, so that two notes can be compared by what they say.
    #[must_use]
    pub fn without_lines(mut self) -> Self {
        for entry in &mut self.entries {
            entry.line = 0;
        }
        self
    }
}

/// Puts a text into lower case with single spaces and without articles.
fn plain_words(text: &str) -> String {
    let lower = text.to_lowercase();
    let words: Vec<&str> = lower
        .split_whitespace()
        .filter(|word| !matches!(*word, "the" | "a" | "an"))
        .collect();
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_the_same_in_every_hand() {
        let entry = |section: &str, position: &str| Entry {
            section: section.to_owned(),
            position: position.to_owned(),
            kind: PartKind::Ring,
            ..Entry::default()
        };
        assert_eq!(
            entry("Inlet", "at the  Filter seat").place(),
            entry("inlet", "at filter seat").place()
        );
    }

    #[test]
    fn a_note_survives_json() {
        let note = Note {
            header: Header {
                model: "Tarn".to_owned(),
                date: Date::new(2026, 3, 14),
                oxygen: Some(Typed::new(0.21, "21 %")),
                ..Header::default()
            },
            entries: vec![Entry {
                condition: Some(Typed::new(Condition::Rough, "flattened")),
                readings: Reading::parse(Measurand::Od, "12.8 mm by caliper", None)
                    .into_iter()
                    .collect(),
                ..Entry::default()
            }],
            closing_comments: Vec::new(),
        };
        let json = serde_json::to_string(&note).expect("writes");
        assert_eq!(serde_json::from_str::<Note>(&json).expect("reads"), note);
    }
}
