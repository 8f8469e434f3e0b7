//! The ring to fit, and other listed rings that may take its place.

use super::part_line::{Alternate, PartMaterial};
use super::seal_check::{RingInGland, SealCheck};
use crate::core::elastomer::Polymer;
use crate::core::gland::Verdict;
use crate::core::identification::RingFit;
use crate::core::quantity::Hardness;
use crate::core::sizes::{ListedRing, SizeTable};

/// Rings that are less likely to do the job are no alternates.
const LEAST: f64 = 0.5;
/// The most alternates that are listed.
const MOST: usize = 5;
/// The most rings that are held against the glands before none is said to suit.
const TRIED: usize = 40;
/// Rings less likely to be the very size are not said to be it.
const WORTH_SAYING: f64 = 0.01;

/// Holds the ring to fit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ToFit {
    pub(super) fit: RingFit,
    /// Whether the glands reject it, and every other that might do the job.
    pub(super) rejected: bool,
}

/// Chooses the ring that does the job best and that no gland rejects; of equal ones that which suits the glands better, and then that
/// whose family the model was designed with.
pub(super) fn ring_to_fit(
    fits: &[RingFit],
    seals: &SealCheck<'_>,
    polymer: Option<Polymer>,
    hardness: Option<Hardness>,
) -> Option<ToFit> {
    let rings = SizeTable::shipped().rings();
    let verdict = |fit: &RingFit| {
        seals.worst(RingInGland {
            ring: &rings[fit.ring],
            polymer,
            hardness,
        })
    };
    let suits = |fit: &&RingFit| verdict(fit) != Some(Verdict::Reject);
    let best = fits.iter().take(TRIED).find(suits);
    let equals = fits
        .iter()
        .filter(|fit| best.is_some_and(|best| fit.is_equal(best)));
    // Of those that are alike in all the first one stays.
    let suited = equals.min_by(|a, b| {
        let families = b.family.total_cmp(&a.family);
        verdict(a).cmp(&verdict(b)).then(families)
    });
    let chosen = suited.or_else(|| fits.first())?;
    Some(ToFit {
        fit: *chosen,
        rejected: suited.is_none(),
    })
}

/// Lists other rings that do the job, as far as no gland rejects them.
pub(super) fn alternates(
    ring: usize,
    fits: &[RingFit],
    seals: &SealCheck<'_>,
    material: &PartMaterial,
) -> Vec<Alternate> {
    let table = SizeTable::shipped();
    let others = fits
        .iter()
        .filter(|fit| fit.ring != ring && fit.chance >= LEAST);
    let judged = others.take(2 * MOST).map(|fit| {
        let listed = &table.rings()[fit.ring];
        let verdict = seals.worst(in_gland(listed, material));
        (fit, listed, verdict)
    });
    let mut found: Vec<(f64, Alternate)> = judged
        .filter(|(_, _, verdict)| *verdict != Some(Verdict::Reject))
        .map(|(fit, listed, verdict)| {
            let odds = Some(fit.very_size).filter(|odds| *odds >= WORTH_SAYING);
            (fit.chance, alternate(listed, odds, verdict, fit.chance))
        })
        .collect();
    found.sort_by(|(a_chance, a), (b_chance, b)| {
        let unchecked = a.verdict.is_none().cmp(&b.verdict.is_none());
        unchecked
            .then(a.verdict.cmp(&b.verdict))
            .then(b_chance.total_cmp(a_chance))
    });
    found.into_iter().take(MOST).map(|(_, one)| one).collect()
}

fn in_gland<'r>(ring: &'r ListedRing, material: &PartMaterial) -> RingInGland<'r> {
    RingInGland {
        ring,
        polymer: material.polymer,
        hardness: material.hardness,
    }
}

fn alternate(
    ring: &ListedRing,
    probability: Option<f64>,
    verdict: Option<Verdict>,
    does_job: f64,
) -> Alternate {
    Alternate {
        codes: SizeTable::shipped().codes(ring),
        size: ring.nominal(),
        probability,
        does_job: Some(does_job),
        verdict,
    }
}
