//! What all units together say of a ring: size, material, seal, alternates, contradictions.

use super::findings::Findings;
use super::gather::Gathered;
use super::model_units::ModelUnits;
use super::odds_words::percent;
use super::part_line::{
    Alternate, Conflict, ConflictAbout, PartGland, PartMaterial, PartSize, SizeBasis,
};
use super::ring_alternates::{alternates, suitable};
use super::ring_material::{contradictions, duty_of, ring_material};
use super::ring_odds::{RingOdds, code};
use super::ring_sides::{Side, Sides};
use super::ring_sizing::RingSizing;
use super::seal_check::{RingInGland, SealCheck};
use super::stated_rings::{StatedRing, most_stated, stated_rings};
use super::workshop::Workshop;
use crate::core::elastomer::ElastomerChoice;
use crate::core::gland::Verdict;
use crate::core::identification::Identifier;
use crate::core::sizes::SizeTable;

/// A size is settled only when its probability is at least this.
const SETTLED: f64 = 0.5;
/// A stated size contradicts the readings when they leave it less than this.
const LEAST_FOR_STATEMENT: f64 = 0.01;

/// Finds what all units together say of a ring.
pub(super) fn ring_findings(
    part: &Gathered<'_>,
    units: ModelUnits<'_>,
    identifier: &mut Identifier<'_>,
    workshop: &Workshop<'_>,
) -> Findings {
    let duty = duty_of(part, &units);
    let choice = ElastomerChoice::of(&duty, units.threshold);
    let sizing = RingSizing::of(&part.members, identifier, workshop.instruments);
    let sides = Sides::of(part, &sizing, &choice);
    let stated = stated_rings(&part.members);
    let (ring, agree) = chosen(&sides, &stated);
    let all_glands = SealCheck::of(part.members.iter());
    let seals = sides.leading().map_or(&all_glands, |side| &side.seals);
    let material = ring_material(&choice, ring, seals);
    let choice = ElastomerChoice {
        hardness: material.hardness,
        ..choice
    };
    let mut conflicts = sides.conflicts(part, &units);
    conflicts.extend(statements(&stated, sides.leading(), &units));
    let mut cautions = choice.cautions.clone();
    cautions.extend(sizing.faults.iter().cloned());
    cautions.extend(contradictions(part, &units, &choice, &duty));
    let view = RingView {
        sides: &sides,
        seals,
        ring,
        material,
    };
    view.findings(agree, &units, (conflicts, cautions))
}

/// Returns the ring that is listed, and the units that speak for it: that of the leading side, or, where nothing was
/// measured, the one that most notes state.
fn chosen(sides: &Sides<'_>, stated: &[StatedRing]) -> (Option<usize>, Vec<usize>) {
    match sides.leading() {
        Some(side) => (side.odds.leader(), side.group.units.clone()),
        None if sides.sides.is_empty() => {
            most_stated(stated).map_or((None, Vec::new()), |(ring, units)| (Some(ring), units))
        }
        None => (None, Vec::new()),
    }
}

/// Holds the ring that is listed with everything that bears on it.
struct RingView<'v> {
    sides: &'v Sides<'v>,
    seals: &'v SealCheck<'v>,
    ring: Option<usize>,
    material: PartMaterial,
}

impl RingView<'_> {
    fn findings(
        self,
        agree: Vec<usize>,
        units: &ModelUnits<'_>,
        (mut conflicts, cautions): (Vec<Conflict>, Vec<String>),
    ) -> Findings {
        let leader = self.sides.leading();
        let gland = self.gland(units);
        let rejected = gland.as_ref().and_then(|g| g.verdict) == Some(Verdict::Reject)
            || leader.is_some_and(Side::is_rejected);
        if let (Some(came_out), true) = (self.came_out(), rejected) {
            conflicts.push(rejection(came_out, gland.as_ref()));
        }
        Findings {
            size: self.size(&agree, units, rejected),
            alternates: self.alternates(rejected),
            material: self.material,
            gland,
            agree,
            conflicts,
            cautions,
        }
    }

    fn gland(&self, units: &ModelUnits<'_>) -> Option<PartGland> {
        let ring = RingInGland {
            ring: &SizeTable::shipped().rings()[self.ring?],
            polymer: self.material.polymer,
            hardness: self.material.hardness,
        };
        self.seals.judged(ring, units)
    }

    /// Returns the ring that most probably came out, the glands not counted; of a stated ring, that one.
    fn came_out(&self) -> Option<usize> {
        let read = self
            .sides
            .leading()
            .and_then(|side| side.came_out().leader());
        read.or(self.ring)
    }

    fn alternates(&self, rejected: bool) -> Vec<Alternate> {
        let odds = self.sides.leading().map(|side| &side.odds);
        match (self.ring, self.came_out()) {
            (Some(_), Some(came_out)) if rejected => suitable(came_out, self.seals, &self.material),
            (Some(ring), _) => alternates(ring, odds, self.seals, &self.material),
            (None, _) => Vec::new(),
        }
    }

    fn size(&self, agree: &[usize], units: &ModelUnits<'_>, rejected: bool) -> PartSize {
        match (self.sides.leading(), self.ring) {
            (Some(side), ring) => measured_size(side, ring, rejected),
            (None, Some(ring)) => PartSize {
                basis: SizeBasis::Stated,
                decided: !rejected,
                how_sure: format!("stated by {}, not measured", units.named(agree)),
                ..listed_size(ring)
            },
            (None, None) if self.sides.sides.is_empty() => {
                PartSize::unknown("NOT DECIDED: not measured, and no size stated")
            }
            (None, None) => PartSize::unknown("NOT DECIDED: the units contradict each other"),
        }
    }
}

fn listed_size(ring: usize) -> PartSize {
    let table = SizeTable::shipped();
    let listed = &table.rings()[ring];
    PartSize {
        codes: table.codes(listed),
        id: Some(listed.id.nominal),
        section: Some(listed.section.nominal),
        ..PartSize::unknown("")
    }
}

fn measured_size(side: &Side<'_>, ring: Option<usize>, rejected: bool) -> PartSize {
    let probability = side.odds.leading_probability();
    let settled = ring.is_some() && probability.is_some_and(|p| p >= SETTLED);
    let words = side.odds.how_sure(side.group.units.len());
    let how_sure = if !settled {
        format!(
            "NOT DECIDED, measure more (decided from {} %): {words}",
            SETTLED * 100.0
        )
    } else if rejected {
        format!("NOT DECIDED, the gland rejects what came out: {words}")
    } else {
        words
    };
    PartSize {
        basis: SizeBasis::Measured,
        decided: settled && !rejected,
        measured: side.group.pooled_words(),
        probability: ring.and(probability),
        how_sure,
        ..ring.map_or_else(|| PartSize::unknown(""), listed_size)
    }
}

/// Names stated sizes that the readings, or other statements, speak against.
fn statements(
    stated: &[StatedRing],
    leader: Option<&Side<'_>>,
    units: &ModelUnits<'_>,
) -> Vec<Conflict> {
    let readings = leader.map(|side| RingOdds::of(&side.group.identification));
    stated
        .iter()
        .filter_map(|one| {
            let words = statement_words(one, stated, readings.as_ref())?;
            let unit = units.named(&[one.unit]);
            Some(Conflict {
                about: ConflictAbout::Statement,
                units: units.serials(&[one.unit]),
                words: format!("{:?} is stated by {unit}{words}", one.text),
            })
        })
        .collect()
}

fn statement_words(
    one: &StatedRing,
    all: &[StatedRing],
    readings: Option<&RingOdds>,
) -> Option<String> {
    if one.rings.is_empty() {
        return Some(", and names no listed ring".to_owned());
    }
    if let Some(odds) = readings {
        let left: f64 = one.rings.iter().map(|ring| odds.of_ring(*ring)).sum();
        return (left < LEAST_FOR_STATEMENT)
            .then(|| format!("; the readings leave it {}", percent(left)));
    }
    let agreed = most_stated(all).is_some_and(|(ring, _)| one.rings.contains(&ring));
    (!agreed).then(|| "; others state another size or none, and none is measured".to_owned())
}

/// Says that a ring does not suit its gland.
fn rejection(ring: usize, gland: Option<&PartGland>) -> Conflict {
    Conflict {
        about: ConflictAbout::Gland,
        units: Vec::new(),
        words: format!(
            "what came out (most likely {}) does not suit its gland{}: a wrong ring fitted, or a gland measured wrong; the alternates are listed rings that suit",
            code(ring),
            gland
                .filter(|gland| gland.verdict == Some(Verdict::Reject))
                .map_or_else(String::new, |gland| format!(" ({})", gland.words))
        ),
    }
}
