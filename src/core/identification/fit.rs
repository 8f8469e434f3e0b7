//! Which listed ring does the job of a place, over everything that is not known of it.
//!
//! Within the allowed squeeze, stretch and fill of the gland (its doubt and the ring's tolerance counted), or, without
//! a gland, within 3 % of the inside diameter and 4 % of the section. Decided from 95 %; of rings that differ by half a
//! per cent the likelier size is taken, so that twins never block. Shares that no source gives say "judgement" beside
//! them.

use super::candidates::{Candidate, Candidates, SAME_JOB};
use super::place_odds::PlaceSums;
use crate::core::uncertainty::normal_cdf;

/// Holds a listed ring with the chance that it does the job.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RingFit {
    /// Place among the listed rings.
    pub ring: usize,
    /// Chance that it seals in the gland by the rule set; without a gland, that it is near enough to the size that belongs there.
    pub chance: f64,
    /// Probability that it is the very size.
    pub very_size: f64,
}

/// Sizes that belong there with less than this count for nothing.
const COUNTS: f64 = 1e-5;
/// Rings near to a size that belongs there with at least this are thought of.
const THOUGHT_OF: f64 = 0.005;
/// What does the job with less than this is not worth a word.
const LEAST: f64 = 0.05;

/// Lists the rings that do the job, best first; of equals the one that is likelier to be the very size.
pub(crate) fn fits(
    place: &PlaceSums<'_>,
    (belongs, unlisted): (&[f64], f64),
    candidates: &Candidates,
) -> Vec<RingFit> {
    let listed = &candidates.listed;
    let likely: Vec<usize> = (0..listed.len())
        .filter(|at| belongs[*at] >= COUNTS)
        .collect();
    let leading: Vec<usize> = likely
        .iter()
        .copied()
        .filter(|at| belongs[*at] >= THOUGHT_OF)
        .collect();
    let mut fits = Vec::new();
    for (at, ring) in listed.iter().enumerate() {
        let near =
            belongs[at] >= THOUGHT_OF || leading.iter().any(|made| ring.serves_as(&listed[*made]));
        if !near {
            continue;
        }
        let seals = place
            .gland
            .as_ref()
            .and_then(|gland| gland.gland.seals(ring));
        let serves = |made: usize| -> f64 {
            let near = f64::from(u8::from(ring.serves_as(&listed[made])));
            match (seals, &place.gland) {
                // A gland that was measured wrong says nothing.
                (Some(seals), Some(gland)) => {
                    let trust = gland.trust(made);
                    trust * seals + (1.0 - trust) * near
                }
                _ => near,
            }
        };
        let of_listed: f64 = likely
            .iter()
            .map(|made| belongs[*made] * serves(*made))
            .sum();
        let of_unlisted = unlisted * seals.unwrap_or_else(|| serves_unlisted(ring, place));
        fits.push(RingFit {
            ring: at,
            chance: (of_listed + of_unlisted).min(1.0),
            very_size: belongs[at],
        });
    }
    fits.retain(|fit| fit.chance >= LEAST);
    // What differs by little is no better: then the likelier size comes first, unless it alone leaves the place open.
    let best = fits.iter().map(|fit| fit.chance).fold(0.0, f64::max);
    let least = if best >= SURE {
        (best - AS_GOOD).max(SURE)
    } else {
        best - AS_GOOD_OPEN
    };
    let as_good = |fit: &RingFit| fit.chance >= least;
    fits.sort_by(|a, b| {
        as_good(b)
            .cmp(&as_good(a))
            .then_with(|| {
                if as_good(a) {
                    b.very_size.total_cmp(&a.very_size)
                } else {
                    b.chance.total_cmp(&a.chance)
                }
            })
            .then(a.ring.cmp(&b.ring))
    });
    fits
}

/// Chances that differ by less than this are one. Judgement, no source.
const AS_GOOD: f64 = 0.02;
/// The same where none is good enough to be ordered, and the likeliest size is what is to be looked at.
const AS_GOOD_OPEN: f64 = 0.1;
/// A place is decided where a ring does the job with this chance.
pub(super) const SURE: f64 = 0.95;

/// Returns the chance that a ring does the job of one that no list has, which lies about where the readings have it.
fn serves_unlisted(ring: &Candidate, place: &PlaceSums<'_>) -> f64 {
    /// How well readings place a size that no list has: shares of its inside diameter and section. Judgement, no source.
    const PLACED: (f64, f64) = (0.01, 0.03);
    let Some(size) = &place.unlisted_size else {
        return 0.0;
    };
    let within = |away: f64, reach: f64, sd: f64| {
        normal_cdf((reach - away) / sd) - normal_cdf((-reach - away) / sd)
    };
    let id = within(ring.d1 / size.d1 - 1.0, SAME_JOB.0, PLACED.0);
    let section = within(ring.d2 / size.d2 - 1.0, SAME_JOB.1, PLACED.1);
    id * section
}
