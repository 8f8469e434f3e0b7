//! The ring to fit, and other listed rings that may take its place.

use super::part_line::{Alternate, PartMaterial};
use super::seal_check::{RingInGland, SealCheck};
use crate::core::gland::Verdict;
use crate::core::identification::{RingChance, RingFit};

/// Rings that are less likely to do the job are no alternates.
const LEAST: f64 = 0.5;
/// The most alternates that are listed.
const MOST: usize = 5;
/// The most rings that are held against the glands before none is said to suit.
const TRIED: usize = 40;
/// Rings less likely to be the very size are not said to be it.
const WORTH_SAYING: f64 = 0.01;

/// The ring to fit.
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
    material: &PartMaterial,
) -> Option<ToFit> {
    let verdict = |fit: &RingFit| seals.worst(RingInGland::of(fit.ring, material));
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
    let others = fits
        .iter()
        .filter(|fit| fit.ring != ring && fit.chance >= LEAST);
    let judged = others.take(2 * MOST).map(|fit| {
        let verdict = seals.worst(RingInGland::of(fit.ring, material));
        (fit, verdict)
    });
    let mut found: Vec<(&RingFit, Option<Verdict>)> = judged
        .filter(|(_, verdict)| *verdict != Some(Verdict::Reject))
        .collect();
    found.sort_by(|(a, in_a), (b, in_b)| {
        let unchecked = in_a.is_none().cmp(&in_b.is_none());
        unchecked
            .then(in_a.cmp(in_b))
            .then(b.chance.total_cmp(&a.chance))
    });
    let named = found.into_iter().take(MOST).map(|(fit, verdict)| {
        let ring = RingChance::of(fit.ring, fit.very_size);
        Alternate {
            codes: ring.codes,
            size: ring.size,
            probability: Some(ring.probability).filter(|odds| *odds >= WORTH_SAYING),
            does_job: Some(fit.chance),
            verdict,
        }
    });
    named.collect()
}
