//! What all units together say of a ring: which to fit, what it is made of, how it seals, contradictions.

use super::gather::Gathered;
use super::model_units::ModelUnits;
use super::part_line::{
    Alternate, Conflict, ConflictAbout, PartGland, PartLine, PartMaterial, PartSize, SizeBasis,
};
use super::ring_alternates::{ToFit, alternates, ring_to_fit};
use super::ring_evidence::{RingEvidence, RingNext};
use super::ring_material::{contradictions, duty_of, ring_material};
use super::ring_places::{RingPlace, RingVariant};
use super::ring_sides;
use super::ring_words::{fit_words, percent, undecided_words};
use super::seal_check::{RingInGland, SealCheck};
use super::stated_rings::{StatedRing, most_stated, stated_rings};
use crate::core::elastomer::ElastomerChoice;
use crate::core::gland::Verdict;
use crate::core::identification::{Identification, RingChance, RingFit};
use crate::core::sizes::SizeTable;

/// A ring is decided where it does the job with at least this chance.
pub(super) const DECIDED: f64 = 0.95;
/// A ring that does the job with a chance lower than that of the best by no more than this serves as well.
const AS_WELL: f64 = 0.01;
/// A stated size contradicts the readings when they leave it less than this.
const LEAST_FOR_STATEMENT: f64 = 0.01;

/// Finds what all units together say of a ring; where it sits and what is done with it is still to be told.
pub(super) fn ring_findings(
    part: &Gathered<'_>,
    place: &RingPlace<'_>,
    units: &ModelUnits<'_>,
) -> PartLine {
    let duty = duty_of(part, units);
    let choice = ElastomerChoice::of(&duty, units.threshold);
    let stated = stated_rings(&part.members);
    let all_glands = SealCheck::of(part.members.iter());
    let leader = place.leading();
    let of_variant = leader.map(|variant| SealCheck::of(variant.members.iter()));
    let seals = of_variant.as_ref().unwrap_or(&all_glands);
    let (basis, agree, to_fit) = chosen(place, &stated, seals, &choice);
    let material = ring_material(&choice, to_fit.map(|one| one.fit.ring), seals);
    let choice = ElastomerChoice {
        hardness: material.hardness,
        ..choice
    };
    let mut cautions = choice.cautions.clone();
    cautions.extend(place.faults.iter().cloned());
    cautions.extend(contradictions(part, units, &choice, &duty));
    let mut evidence = RingEvidence::of(&place.variants, leader.map(|one| &one.odds), units);
    let gland = to_fit.and_then(|one| {
        let ring = RingInGland::of(one.fit.ring, &material);
        seals.judged(ring, units)
    });
    let alternates = match (leader, to_fit) {
        (Some(variant), Some(one)) => {
            alternates(one.fit.ring, &variant.odds.fits, seals, &material)
        }
        _ => Vec::new(),
    };
    if let Some(one) = to_fit {
        tell_fit(&mut evidence, &one, &alternates);
    }
    let next = leader.filter(|_| basis == SizeBasis::Measured);
    if let Some(variant) = next {
        evidence.measure_next = variant.odds.next.first().map(RingNext::of);
        evidence.ask_first.clone_from(&variant.odds.ask);
    }
    let size = match (basis, leader, to_fit) {
        (SizeBasis::Measured, Some(variant), to_fit) => {
            measured_size(variant, to_fit, &agree, &evidence)
        }
        (SizeBasis::Stated, _, Some(one)) => PartSize {
            basis: SizeBasis::Stated,
            decided: !one.rejected,
            how_sure: format!("stated by {}, not measured", units.named(&agree)),
            ..listed_size(one.fit.ring)
        },
        (SizeBasis::Measured, None, _) => {
            PartSize::unknown("NOT DECIDED: the units contradict each other")
        }
        _ => PartSize::unknown("NOT DECIDED: not measured, and no size stated"),
    };
    if size.decided {
        evidence.measure_next = None;
        evidence.ask_first.clear();
    }
    let mut conflicts = ring_sides::conflicts(place, size.decided, units);
    conflicts.extend(statements(&stated, leader, units));
    conflicts.extend(
        to_fit
            .filter(|one| one.rejected)
            .map(|one| rejection(one.fit.ring, gland.as_ref())),
    );
    PartLine {
        size,
        alternates,
        material,
        gland,
        units_agree: units.serials(&agree),
        conflicts,
        cautions,
        ring: evidence,
        ..PartLine::default()
    }
}

/// Says which ring is to be fitted, and which others serve as well.
fn tell_fit(evidence: &mut RingEvidence, one: &ToFit, alternates: &[Alternate]) {
    let least = one.fit.chance - AS_WELL;
    let as_well = alternates
        .iter()
        .filter(|other| other.does_job.is_some_and(|chance| chance >= least));
    let chance = |other: &Alternate| RingChance {
        codes: other.codes.clone(),
        size: other.size,
        probability: other.does_job.unwrap_or_default(),
    };
    evidence.serves_as_well = as_well.map(chance).collect();
    evidence.fit = Some(RingChance::of(one.fit.ring, one.fit.chance));
}

/// Returns what the ring rests on, the units that speak for it, and the ring to fit: by readings, or, where nothing was measured,
/// the one that most notes state.
fn chosen(
    place: &RingPlace<'_>,
    stated: &[StatedRing],
    seals: &SealCheck<'_>,
    choice: &ElastomerChoice,
) -> (SizeBasis, Vec<usize>, Option<ToFit>) {
    let material = PartMaterial {
        polymer: choice.polymer,
        hardness: choice.hardness,
        ..PartMaterial::default()
    };
    let fit = |fits: &[RingFit]| ring_to_fit(fits, seals, &material);
    let leader = place.leading();
    if place.is_measured() {
        let agree = leader.map(RingVariant::agreeing).unwrap_or_default();
        let to_fit = leader.and_then(|variant| fit(&variant.odds.fits));
        return (SizeBasis::Measured, agree, to_fit);
    }
    let Some((ring, units)) = most_stated(stated) else {
        return (SizeBasis::Unknown, Vec::new(), None);
    };
    let own = leader.and_then(|variant| variant.odds.fits.iter().find(|fit| fit.ring == ring));
    let own = own.copied().unwrap_or(RingFit {
        ring,
        chance: 0.0,
        very_size: 0.0,
        family: 0.0,
    });
    (SizeBasis::Stated, units, fit(&[own]))
}

fn measured_size(
    variant: &RingVariant<'_>,
    to_fit: Option<ToFit>,
    agree: &[usize],
    evidence: &RingEvidence,
) -> PartSize {
    let all: Vec<usize> = variant.found().map(|(unit, _)| unit).collect();
    let speaking = if agree.is_empty() { &all } else { agree };
    // Readings that contradict themselves in every unit decide nothing.
    let mut found = variant.found();
    let sound = found.any(|(_, found)| !found.contradicts_itself());
    let sure = to_fit.filter(|one| one.fit.chance >= DECIDED && !one.rejected && sound);
    PartSize {
        basis: SizeBasis::Measured,
        decided: sure.is_some(),
        measured: variant.pooled_words(speaking),
        lengths: variant.pooled_lengths(speaking),
        probability: to_fit.map(|one| one.fit.very_size),
        does_job: to_fit.map(|one| one.fit.chance),
        how_sure: match sure {
            Some(one) => fit_words(&one.fit, evidence, all.len()),
            None => undecided_words(to_fit.filter(|_| sound).as_ref(), evidence, all.len()),
        },
        ..to_fit.map_or_else(|| PartSize::unknown(""), |one| listed_size(one.fit.ring))
    }
}

fn listed_size(ring: usize) -> PartSize {
    let named = RingChance::of(ring, 1.0);
    PartSize {
        codes: named.codes,
        id: Some(named.size.id),
        section: Some(named.size.section),
        ..PartSize::unknown("")
    }
}

/// Names stated sizes that the readings, or other statements, speak against.
fn statements(
    stated: &[StatedRing],
    leader: Option<&RingVariant<'_>>,
    units: &ModelUnits<'_>,
) -> Vec<Conflict> {
    let measured = leader.filter(|variant| variant.found().next().is_some());
    let odds = measured.map(|variant| &variant.odds.made_for);
    let against = stated.iter().filter_map(|one| {
        let words = statement_words(one, stated, odds)?;
        let unit = units.named(&[one.unit]);
        let words = format!("{:?} is stated by {unit}{words}", one.text);
        Some(units.conflict(ConflictAbout::Statement, &[one.unit], words))
    });
    against.collect()
}

fn statement_words(
    one: &StatedRing,
    all: &[StatedRing],
    odds: Option<&Identification>,
) -> Option<String> {
    if one.rings.is_empty() {
        return Some(", and names no listed ring".to_owned());
    }
    if let Some(odds) = odds {
        let left: f64 = one.rings.iter().map(|ring| odds.of_ring(*ring)).sum();
        return (left < LEAST_FOR_STATEMENT)
            .then(|| format!("; the readings leave it {}", percent(left)));
    }
    let agreed = most_stated(all).is_some_and(|(ring, _)| one.rings.contains(&ring));
    (!agreed).then(|| "; others state another size or none, and none is measured".to_owned())
}

/// Says that no ring that is likely suits the gland.
fn rejection(ring: usize, gland: Option<&PartGland>) -> Conflict {
    Conflict {
        about: ConflictAbout::Gland,
        units: Vec::new(),
        words: format!(
            "no ring that the readings and the gland allow seals there by the rules; the likeliest is {}{}: measure the gland again",
            SizeTable::shipped().first_code(ring),
            gland
                .filter(|gland| gland.verdict == Some(Verdict::Reject))
                .map_or_else(String::new, |gland| format!(" ({})", gland.words))
        ),
    }
}
