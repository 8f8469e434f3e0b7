//! Other listed rings that may take the place of the one that is listed.

use super::part_line::{Alternate, PartMaterial};
use super::ring_odds::RingOdds;
use super::seal_check::{RingInGland, SealCheck};
use crate::core::gland::Verdict;
use crate::core::sizes::{ListedRing, NearGrade, SizeTable};

/// Rings less probable than this are no rivals of the ring that was measured.
const LEAST_RIVAL: f64 = 0.01;
/// The most alternates that are listed.
const MOST: usize = 5;

/// Lists the rivals of a ring in the odds, and the rings near to it, as far as no gland rejects them.
///
/// Where no gland can be checked, only rivals and rings within tolerance are listed, unchecked.
pub(super) fn alternates(
    ring: usize,
    readings: Option<&RingOdds>,
    seals: &SealCheck<'_>,
    material: &PartMaterial,
) -> Vec<Alternate> {
    let table = SizeTable::shipped();
    let listed = &table.rings()[ring];
    let mut found = Vec::new();
    for (place, other) in table.rings().iter().enumerate() {
        if place == ring {
            continue;
        }
        let odds = readings.map_or(0.0, |odds| odds.of_ring(place));
        let grade = other.near_grade(listed.id, listed.section);
        if odds < LEAST_RIVAL && grade.is_none() {
            continue;
        }
        let verdict = seals.worst(in_gland(other, material));
        let fits = match verdict {
            Some(verdict) => verdict != Verdict::Reject,
            None => odds >= LEAST_RIVAL || grade.is_some_and(|g| g < NearGrade::Near),
        };
        if fits {
            let probability = readings.map(|_| odds).filter(|odds| *odds >= LEAST_RIVAL);
            found.push((
                distance(other, listed),
                alternate(other, probability, verdict),
            ));
        }
    }
    found.sort_by(|(a_far, a), (b_far, b)| {
        let odds = |one: &Alternate| one.probability.unwrap_or(0.0);
        a.verdict
            .is_none()
            .cmp(&b.verdict.is_none())
            .then(a.verdict.cmp(&b.verdict))
            .then(odds(b).total_cmp(&odds(a)))
            .then(a_far.cmp(b_far))
    });
    found.into_iter().take(MOST).map(|(_, one)| one).collect()
}

/// Lists the rings that suit every gland, nearest to the rejected ring first.
pub(super) fn suitable(
    rejected: usize,
    seals: &SealCheck<'_>,
    material: &PartMaterial,
) -> Vec<Alternate> {
    let table = SizeTable::shipped();
    let from = &table.rings()[rejected];
    let mut found: Vec<(Verdict, i64, Alternate)> = table
        .rings()
        .iter()
        .filter_map(|ring| {
            let verdict = seals.worst(in_gland(ring, material))?;
            (verdict != Verdict::Reject).then(|| {
                (
                    verdict,
                    distance(ring, from),
                    alternate(ring, None, Some(verdict)),
                )
            })
        })
        .collect();
    found.sort_by_key(|(verdict, far, _)| (*verdict, *far));
    found
        .into_iter()
        .take(MOST)
        .map(|(_, _, one)| one)
        .collect()
}

fn in_gland<'r>(ring: &'r ListedRing, material: &PartMaterial) -> RingInGland<'r> {
    RingInGland {
        ring,
        polymer: material.polymer,
        hardness: material.hardness,
    }
}

/// How far two rings lie apart: a section counts twice, because both sides of the diameter carry it.
fn distance(a: &ListedRing, b: &ListedRing) -> i64 {
    let far = |x: crate::core::quantity::Length, y: crate::core::quantity::Length| {
        (x.nm() - y.nm()).abs()
    };
    far(a.id.nominal, b.id.nominal) + 2 * far(a.section.nominal, b.section.nominal)
}

fn alternate(ring: &ListedRing, probability: Option<f64>, verdict: Option<Verdict>) -> Alternate {
    Alternate {
        codes: SizeTable::shipped().codes(ring),
        id: ring.id.nominal,
        section: ring.section.nominal,
        probability,
        verdict,
    }
}
