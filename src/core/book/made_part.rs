//! What all units say of a part that is to be made because it cannot be bought.
//!
//! Lengths are pooled as the parts list pools them; what is not settled is a typed ask. The ± of a length is how well
//! it is known and never a tolerance to make it by: notes rarely state one, and the program invents none.

use super::gather::{Gathered, Member, gather};
use super::plain_part::{material_words, pooled_lengths};
use super::unit_record::UnitRecord;
use crate::core::note::{Entry, LengthName, PartKind};
use crate::core::quantity::Dimension;
use serde::Serialize;

/// What is known of a flat round part, and what must be asked before it can be made.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MadePart {
    pub form: MadeForm,
    pub lengths: Vec<MadeLength>,
    pub recorded: Vec<RecordedBy>,
    /// What must be settled before it is made.
    pub asks: Vec<MadeAsk>,
}

/// Names the form that a part is drawn in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum MadeForm {
    /// A flat disc, with or without a hole.
    Disc,
    /// A filter of some height, whose small end no unit recorded.
    Cone,
}

/// One length over all units that give it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MadeLength {
    pub name: LengthName,
    /// The value of the units that agree, in millimetres.
    pub mm: f64,
    /// Twice its standard uncertainty: so well is it known, which is no tolerance for making it.
    pub known_to_mm: f64,
    pub agree: usize,
    /// How many units measured it.
    pub measured: usize,
    /// Whether the units that agree outnumber the others.
    pub decided: bool,
    /// The tolerance that a unit's note states; it may be that of a drawing or the doubt of a reading.
    pub tolerance: Option<Dimension>,
}

/// What one unit recorded of the part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RecordedBy {
    /// The unit, by serial number.
    pub unit: String,
    pub lengths: String,
    pub material: String,
    /// Which way it lay, faces, marks and remarks, as written.
    pub surface: String,
}

/// Names what must be settled before a part is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "ask", content = "length")]
pub enum MadeAsk {
    /// A length that no unit recorded.
    Length(LengthName),
    /// A length on which the units contradict each other.
    Undecided(LengthName),
    /// How exactly a length is to be made.
    Tolerance(LengthName),
    /// The small end of a cone.
    SmallEnd,
    /// What it is made of.
    Material,
    Hardness,
    Edges,
    /// Its faces.
    Finish,
}

/// What a kind that no table asks about needs: a gasket.
const FLAT_RING: [LengthName; 3] = [LengthName::Od, LengthName::Id, LengthName::Thick];

impl MadePart {
    /// The kinds of parts that can be drawn.
    pub const KINDS: [PartKind; 7] = [
        PartKind::Seat,
        PartKind::Gasket,
        PartKind::Shim,
        PartKind::Filter,
        PartKind::Diaphragm,
        PartKind::Washer,
        PartKind::Flap,
    ];

    /// Gathers what the units of a model say of the part in a line of its parts list.
    ///
    /// The lines of our own units come first, then what only other shops have, as the list has them. `None` where there is no such
    /// line, or its part has none of the kinds that can be drawn.
    pub fn of_line(units: &[UnitRecord], number: usize) -> Option<Self> {
        let (sorted, ours) = UnitRecord::ours_first(units);
        let own = gather(if ours == 0 { &sorted } else { &sorted[..ours] });
        let index = number.checked_sub(1)?;
        if let Some(part) = own.get(index) {
            return Self::of(part, &sorted);
        }
        let all = gather(&sorted);
        let mut elsewhere = all
            .iter()
            .filter(|part| part.members.iter().all(|member| member.unit >= ours));
        Self::of(elsewhere.nth(index - own.len())?, &sorted)
    }

    fn of(part: &Gathered<'_>, units: &[UnitRecord]) -> Option<Self> {
        if !Self::KINDS.contains(&part.kind) {
            return None;
        }
        let recorded = |member: &Member<'_>| recorded(&units[member.unit].serial, member.entry);
        let mut made = Self {
            form: MadeForm::Disc,
            lengths: made_lengths(part),
            recorded: part.members.iter().map(recorded).collect(),
            asks: Vec::new(),
        };
        let high = made.length(&[LengthName::Height, LengthName::Length]);
        let flat = made.length(&[LengthName::Thick]).is_some();
        if part.kind == PartKind::Filter && high.is_some() && !flat {
            made.form = MadeForm::Cone;
        }
        made.asks = made.asks_of(part);
        Some(made)
    }

    fn asks_of(&self, part: &Gathered<'_>) -> Vec<MadeAsk> {
        let entries = || part.members.iter().map(|member| member.entry);
        let known = |name: LengthName| self.length(&[name]).is_some();
        let mut needed: Vec<LengthName> = part.kind.needed_lengths().collect();
        if needed.is_empty() {
            needed.extend(FLAT_RING);
        }
        let is_cone = self.form == MadeForm::Cone;
        let instead = |name: LengthName| name == LengthName::Thick && is_cone;
        needed.retain(|name| !known(*name) && !instead(*name));
        let mut asks: Vec<MadeAsk> = needed.into_iter().map(MadeAsk::Length).collect();
        asks.extend(is_cone.then_some(MadeAsk::SmallEnd));
        for length in &self.lengths {
            if !length.decided {
                asks.push(MadeAsk::Undecided(length.name));
            } else if length.tolerance.is_none() {
                asks.push(MadeAsk::Tolerance(length.name));
            }
        }
        let no_material =
            entries().all(|entry| entry.material.is_none() && entry.polymer.is_none());
        let soft = part.kind.is_soft() && entries().all(|entry| entry.hardness.is_none());
        let no_face = entries().all(|entry| entry.face.is_none());
        asks.extend(no_material.then_some(MadeAsk::Material));
        asks.extend(soft.then_some(MadeAsk::Hardness));
        asks.extend((!known(LengthName::Edge)).then_some(MadeAsk::Edges));
        asks.extend(no_face.then_some(MadeAsk::Finish));
        asks
    }

    /// Returns a length that is known, the first of several names.
    pub fn length(&self, names: &[LengthName]) -> Option<&MadeLength> {
        names
            .iter()
            .find_map(|name| self.lengths.iter().find(|length| length.name == *name))
    }

    /// Tells whether a length is asked for that no unit recorded.
    pub fn lacks(&self, name: LengthName) -> bool {
        self.asks.contains(&MadeAsk::Length(name))
    }
}

fn made_lengths(part: &Gathered<'_>) -> Vec<MadeLength> {
    let entries = || part.members.iter().map(|member| member.entry);
    pooled_lengths(part)
        .into_iter()
        .filter_map(|length| {
            let name = LengthName::from_word(length.word)?;
            let stated = entries().find_map(|entry| {
                let values = &entry.dimension(name)?.values;
                values.iter().copied().find(|value| value.has_tolerance())
            });
            Some(MadeLength {
                name,
                mm: length.pooled.value,
                known_to_mm: 2.0 * length.pooled.uncertainty,
                agree: length.pooled.agree.len(),
                measured: length.measured_by(),
                decided: length.pooled.is_decided(),
                tolerance: stated,
            })
        })
        .collect()
}

fn recorded(serial: &str, entry: &Entry) -> RecordedBy {
    let lengths = entry
        .dimensions
        .iter()
        .map(|length| format!("{} {}", length.name.word(), length.typed));
    let mut surface = entry.said(&["face", "side", "orientation", "marking", "colour"]);
    surface.extend(entry.remarks.iter().cloned());
    RecordedBy {
        unit: serial.to_owned(),
        lengths: lengths.collect::<Vec<_>>().join(", "),
        material: material_words(entry).unwrap_or_default(),
        surface: surface.join("; "),
    }
}
