//! One ring that was found: how likely its readings are for every size, whatever was designed.

use super::belonging::Belonging;
use super::candidates::Candidates;
use super::evidence::Evidence;
use super::foreign::FOREIGN_SHARE;
use super::identifier::{Care, Field, HOPELESS_LOG_ODDS, Identifier, background_suit};
use super::posterior::Contender;
use crate::core::uncertainty::log_sum_exp;
use std::cmp::Ordering;

/// What the readings of one ring say of every size; the likeliest size has 1.
pub(crate) struct FoundRing<'c> {
    /// What is known of it, the gland of its place included.
    pub(crate) evidence: Evidence,
    pub(crate) field: Field<'c>,
    /// The listed rings that the readings allow.
    pub(crate) listed: Vec<(usize, f64)>,
    /// Any size that no list has.
    pub(crate) unlisted: f64,
    /// The logarithm that the likelihoods were divided by.
    pub(crate) log_scale: f64,
    /// For each listed ring that belongs here: how likely the readings are, whether it was found or a foreign one.
    pub(crate) chances: Vec<f64>,
    /// How likely they are if it is a foreign one and no listed ring belongs here.
    pub(crate) strange: f64,
    log_unlisted: f64,
    /// No ring that was not come to is likelier.
    left_out: f64,
    /// By how much the gland changes what no list has, the readings counted.
    pub(crate) unlisted_suit: f64,
}

impl<'c> FoundRing<'c> {
    /// Weighs the readings of a ring for every size.
    pub(crate) fn new(evidence: Evidence, identifier: &mut Identifier<'c>, care: Care) -> Self {
        let field = identifier.weigh(&evidence, care);
        Self::of(field, evidence, identifier.candidates())
    }

    /// Weighs rings in full that may belong here by what else is known of the place, though these readings say little of them;
    /// tells whether there were any.
    pub(crate) fn refine(&mut self, rings: &[usize], identifier: &mut Identifier<'c>) -> bool {
        let rough = rings.iter().filter(|at| self.is_rough(**at));
        let rough: Vec<usize> = rough.copied().collect();
        if !rough.is_empty() {
            let mut field = std::mem::take(&mut self.field);
            identifier.refine(&self.evidence, &rough, &mut field);
            *self = Self::of(field, self.evidence.clone(), identifier.candidates());
        }
        !rough.is_empty()
    }

    /// Tells whether a ring keeps the weight of a first look, or was not come to, and a closer one would tell more of whether it was
    /// found or a foreign one.
    fn is_rough(&self, ring: usize) -> bool {
        /// Seldom is a first look further off than this.
        const OFF: f64 = 5.0;
        /// A ring that was found with less than this share of what a foreign one makes likely is not told from one that was not found.
        const TOLD: f64 = 1e-3;
        let looked = self.listed.iter().find(|(at, _)| *at == ring);
        let most = looked.map_or(self.left_out, |(_, likelihood)| OFF * likelihood);
        !self.field.is_refined(ring) && most > TOLD * self.chances[ring]
    }

    fn of(field: Field<'c>, evidence: Evidence, candidates: &'c Candidates) -> Self {
        let likelihood = |at: usize, log: f64| log - candidates.listed[at].log_prior;
        let weighed = field.contenders.iter().filter(|c| c.is_listed);
        let weighed = weighed.map(|c| (c.at, likelihood(c.at, c.log_weight)));
        let looked = field
            .looked
            .iter()
            .map(|(at, log)| (*at, likelihood(*at, *log)));
        let mut listed: Vec<(usize, f64)> = weighed.chain(looked).collect();
        let strange = field.contenders.iter().filter(|c| !c.is_listed);
        let plain = log_sum_exp(
            strange
                .clone()
                .map(|c| c.log_weight)
                .chain([field.other_background]),
        );
        let suited = strange.map(|c| c.log_weight + background_suit(c.candidate, &evidence));
        let suited = log_sum_exp(suited.chain([field.other_background]));
        let unlisted = plain - libm::log(candidates.unlisted);
        let greatest = listed
            .iter()
            .map(|(_, log)| *log)
            .fold(f64::NEG_INFINITY, f64::max);
        let log_scale = greatest.max(if unlisted.is_nan() {
            greatest
        } else {
            unlisted
        });
        for (_, log) in &mut listed {
            *log = libm::exp(*log - log_scale);
        }
        let mut found = Self {
            unlisted: share(unlisted, log_scale),
            unlisted_suit: if plain > f64::NEG_INFINITY {
                libm::exp(suited - plain)
            } else {
                1.0
            },
            evidence,
            log_unlisted: plain,
            chances: Vec::new(),
            strange: 0.0,
            left_out: libm::exp(greatest - log_scale - HOPELESS_LOG_ODDS),
            field,
            listed,
            log_scale,
        };
        found.allow_for_strangers(candidates);
        found
    }

    fn allow_for_strangers(&mut self, candidates: &Candidates) {
        let neighbours = candidates.neighbours();
        let listed = FOREIGN_SHARE * (1.0 - candidates.unlisted);
        let unlisted = FOREIGN_SHARE * candidates.unlisted * self.unlisted;
        self.chances = neighbours.fitted(&self.listed);
        for chance in &mut self.chances {
            *chance = listed * *chance + unlisted;
        }
        for (at, likelihood) in &self.listed {
            self.chances[*at] += (1.0 - FOREIGN_SHARE) * likelihood;
        }
        let shares = neighbours.shares();
        let any: f64 = self.listed.iter().map(|(at, l)| l * shares[*at]).sum();
        self.strange = listed * any;
    }

    /// Puts rings in an order that hangs on what was read of them alone.
    pub(crate) fn order(&self, other: &Self) -> Ordering {
        let own = self.log_scale.total_cmp(&other.log_scale);
        let each = self.chances.iter().zip(&other.chances);
        own.then_with(|| each.fold(Ordering::Equal, |known, (a, b)| known.then(a.total_cmp(b))))
    }

    /// Returns the share that one density of the background has of all that no list has.
    pub(crate) fn share_of_unlisted(&self, contender: &Contender<'_>) -> f64 {
        share(contender.log_weight, self.log_unlisted)
    }

    /// Returns how likely the readings are if a ring of no listed size belongs here.
    pub(crate) fn chance_unlisted(&self) -> f64 {
        (1.0 - FOREIGN_SHARE) * self.unlisted + self.strange
    }

    /// Says which ring came out, by the odds of what belongs here.
    pub(crate) fn came_out(&self, belongs: &Belonging, candidates: &Candidates) -> CameOut {
        let neighbours = candidates.neighbours();
        let by = |belongs: f64, chance: f64| if chance > 0.0 { belongs / chance } else { 0.0 };
        let stranger = by(belongs.unlisted, self.chance_unlisted());
        // What counts of the sizes that belong here; the others hold too little of the odds.
        let mut odds = vec![0.0; candidates.listed.len()];
        for made in belongs.at_least(LEAST_BELONGING) {
            odds[made] = by(belongs.listed[made], self.chances[made]);
        }
        let far = |made: usize| odds[made] * neighbours.far(made);
        let all_far: f64 = (0..odds.len()).map(far).sum();
        let foreign = FOREIGN_SHARE * (1.0 - candidates.unlisted);
        let mut out = CameOut::default();
        for (at, likelihood) in &self.listed {
            let own =
                (1.0 - FOREIGN_SHARE) * by(belongs.listed[*at], self.chances[*at]) * likelihood;
            let (mut other, mut serves) = (stranger + all_far, far(*at));
            for (made, near) in neighbours.near(*at) {
                let near = odds[*made] * near;
                if near > 0.0 {
                    other += near;
                    if candidates.listed[*at].serves_as(&candidates.listed[*made]) {
                        serves += near + far(*made);
                    }
                }
            }
            let share = foreign * neighbours.shares()[*at] * likelihood;
            out.listed.push((*at, own + share * other));
            out.foreign += share * other;
            out.misfit += share * (other - serves).max(0.0);
        }
        let of_all: f64 = odds.iter().sum();
        let strange = FOREIGN_SHARE * candidates.unlisted * self.unlisted * of_all;
        out.foreign += strange;
        out.misfit += strange;
        out.unlisted = strange + (1.0 - FOREIGN_SHARE) * stranger * self.unlisted;
        out
    }
}

/// A size that belongs here with less than this does not change what came out.
const LEAST_BELONGING: f64 = 1e-6;

fn share(log: f64, scale: f64) -> f64 {
    if log > f64::NEG_INFINITY {
        libm::exp(log - scale)
    } else {
        0.0
    }
}

/// The odds of what came out of one unit.
#[derive(Debug, Clone, Default)]
pub(crate) struct CameOut {
    /// Each listed ring that the readings allow.
    pub(crate) listed: Vec<(usize, f64)>,
    /// None of them.
    pub(crate) unlisted: f64,
    /// That it is not the ring which belongs here, though it may serve as well.
    pub(crate) foreign: f64,
    /// That it is not, and does not serve as well.
    pub(crate) misfit: f64,
}
