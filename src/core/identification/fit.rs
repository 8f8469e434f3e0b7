//! Which listed ring does the job of a place, over everything that is not known of it.
//!
//! Within the allowed squeeze, stretch and fill of the gland (its doubt and the ring's tolerance counted), or, without
//! a gland, within 3 % of the inside diameter and 4 % of the section. Decided from 95 %; of rings that differ by half a
//! per cent the likelier size is taken, so that twins never block. Shares that no source gives say "judgement" beside
//! them.

use super::belonging::Belonging;
use super::candidates::{Candidate, Candidates};
use super::families::GROUPS;
use super::gland_evidence::GlandFactors;
use super::place_odds::PlaceSums;
use super::unmeasured_gland::{FittedRing, UnmeasuredGlands};
use std::collections::BTreeMap;

/// A listed ring with the chance that it does the job.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RingFit {
    /// Place among the listed rings.
    pub ring: usize,
    /// Chance that it is near enough to the size that belongs there, or seals in the gland by the rule set; without a gland, in one as
    /// designers make them for that size.
    pub chance: f64,
    /// Probability that it is the very size.
    pub very_size: f64,
    /// Share of the families that list it in what the model was designed with.
    pub family: f64,
}

impl RingFit {
    /// Tells whether nothing but its gland and its family tells this ring from another.
    pub(crate) fn is_equal(&self, other: &Self) -> bool {
        (self.chance - other.chance).abs() <= AS_GOOD
            && self.very_size <= ALIKE * other.very_size
            && other.very_size <= ALIKE * self.very_size
    }
}

/// Sizes that belong there with less than this count for nothing.
const COUNTS: f64 = 1e-5;
/// Rings near to a size that belongs there with at least this are thought of.
const THOUGHT_OF: f64 = 0.005;
/// For no more sizes than this the glands that were not measured are thought of.
const MOST_GLANDS: usize = 40;
/// What does the job with less than this is not worth a word.
const LEAST: f64 = 0.05;

/// Lists the rings that do the job, best first; of equals the one that is likelier to be the very size.
pub(crate) fn fits(
    place: &PlaceSums<'_>,
    belongs: &Belonging,
    groups: &[f64; GROUPS],
    candidates: &Candidates,
) -> Vec<RingFit> {
    let job = Job::new(place, belongs, candidates);
    let each = (0..belongs.listed.len()).filter(|at| job.is_near(*at));
    let mut fits: Vec<RingFit> = each
        .map(|at| RingFit {
            ring: at,
            chance: job.chance(at),
            very_size: belongs.listed[at],
            family: candidates.families().of_ring(at, groups),
        })
        .filter(|fit| fit.chance >= LEAST)
        .collect();
    order(&mut fits);
    fits
}

/// Puts the best first. What differs by little is no better: then the likelier size comes first, unless it alone leaves the place open.
fn order(fits: &mut [RingFit]) {
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
}

/// What a ring has to do at a place: by each size that may belong there.
struct Job<'p> {
    listed: &'p [Candidate],
    belongs: &'p Belonging,
    /// The sizes that count.
    likely: Vec<usize>,
    /// Those to which a ring must be near to be thought of, with the glands made for them.
    leading: BTreeMap<usize, Option<UnmeasuredGlands>>,
    unlisted_size: Unlisted,
    gland: Option<&'p GlandFactors>,
}

impl<'p> Job<'p> {
    fn new(place: &'p PlaceSums<'_>, belongs: &'p Belonging, candidates: &'p Candidates) -> Self {
        let listed = candidates.listed.as_slice();
        let leading = belongs
            .at_least(THOUGHT_OF)
            .enumerate()
            .map(|(count, made)| {
                // Where nothing comes near there are many, and none of them is to be ordered.
                let glands =
                    (count < MOST_GLANDS).then(|| UnmeasuredGlands::made_for(&listed[made]));
                (made, glands)
            });
        Self {
            listed,
            belongs,
            likely: belongs.at_least(COUNTS).collect(),
            leading: leading.collect(),
            unlisted_size: Unlisted::about(place, &listed[0]),
            gland: place.gland.as_deref(),
        }
    }

    /// Tells whether a ring is worth a thought.
    fn is_near(&self, ring: usize) -> bool {
        let serves = |made: &usize| self.listed[ring].serves_as(&self.listed[*made]);
        self.leading.contains_key(&ring) || self.leading.keys().any(serves)
    }

    /// Returns the chance that a ring does the job.
    fn chance(&self, ring: usize) -> f64 {
        let ring = &self.listed[ring];
        let fitted = FittedRing::new(ring);
        let seals = self.gland.and_then(|gland| gland.gland.seals(ring));
        // What was made for a ring as good as this one was made for this one too, whatever tables say of its gland.
        let serves = |made: &usize| -> f64 {
            if ring.serves_as(&self.listed[*made]) {
                return 1.0;
            }
            match (seals, self.gland, self.leading.get(made)) {
                // A gland that was measured wrong says nothing.
                (Some(seals), Some(gland), _) => gland.trust(*made) * seals,
                (None, _, Some(Some(unmeasured))) => unmeasured.seal(&fitted),
                _ => 0.0,
            }
        };
        let each = self.likely.iter();
        let of_listed: f64 = each
            .map(|made| self.belongs.listed[*made] * serves(made))
            .sum();
        let of_unlisted = seals.unwrap_or_else(|| self.unlisted_size.serves(ring, &fitted));
        (of_listed + self.belongs.unlisted * of_unlisted).min(1.0)
    }
}

/// Chances that differ by less than this are one. Judgement, no source.
const AS_GOOD: f64 = 0.02;
/// The same where none is good enough to be ordered, and the likeliest size is what is to be looked at.
const AS_GOOD_OPEN: f64 = 0.1;
/// Two rings are alike likely to be the very size where neither is likelier by more than this. Judgement, no source.
const ALIKE: f64 = 2.0;
/// A place is decided where a ring does the job with this chance.
pub(super) const SURE: f64 = 0.95;

/// The sizes that no list has and that may belong there, each with its share and the glands made for it.
struct Unlisted(Vec<(f64, Candidate, UnmeasuredGlands)>);

impl Unlisted {
    /// Takes the size about which the readings have it, and those one and three quarter standard deviations about it in each dimension.
    fn about(place: &PlaceSums<'_>, of: &Candidate) -> Self {
        /// How well readings place a size that no list has: shares of its inside diameter and section. Judgement, no source.
        const PLACED: (f64, f64) = (0.01, 0.03);
        // Nodes and weights of Gauss-Hermite quadrature with three points in each of two dimensions, the corners left to the axes.
        const AWAY: f64 = 1.732_050_807_568_877_2;
        const NODES: [(f64, f64, f64); 5] = [
            (0.0, 0.0, 1.0 / 3.0),
            (AWAY, 0.0, 1.0 / 6.0),
            (-AWAY, 0.0, 1.0 / 6.0),
            (0.0, AWAY, 1.0 / 6.0),
            (0.0, -AWAY, 1.0 / 6.0),
        ];
        let Some(size) = &place.unlisted_size else {
            return Self(Vec::new());
        };
        let node = |(id, section, share): (f64, f64, f64)| {
            let made = Candidate {
                d1: size.d1 * (1.0 + PLACED.0 * id),
                d2: size.d2 * (1.0 + PLACED.1 * section),
                ..*of
            };
            (share, made, UnmeasuredGlands::made_for(&made))
        };
        Self(NODES.map(node).into())
    }

    /// Returns the chance that a ring does the job of it.
    fn serves(&self, ring: &Candidate, fitted: &FittedRing<'_>) -> f64 {
        let each = self.0.iter().map(|(share, made, glands)| {
            let serves = if ring.serves_as(made) {
                1.0
            } else {
                glands.seal(fitted)
            };
            share * serves
        });
        each.sum()
    }
}
