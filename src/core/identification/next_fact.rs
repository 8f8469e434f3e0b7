//! Facts to be told beside readings of the ring: what each would settle of what a place was made for.

use super::belonging::{Belonging, bits};
use super::candidates::Candidates;
use super::families::{Families, REGIMES};
use super::model_odds::Regimes;
use super::place_odds::PlaceSums;
use super::prior::Prior;
use super::told::Fact;
use super::unmeasured_gland::{FittedRing, UnmeasuredGlands};
use crate::core::sizes::SizeTable;
use crate::core::uncertainty::log_sum_exp;
use serde::{Deserialize, Serialize};

/// A fact that could still be told.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct NextFact {
    pub fact: Fact,
    /// How much less doubtful the size is expected to be afterwards, in bits.
    pub gain_bits: f64,
}

/// A fact that is expected to tell less is not asked for.
const LEAST_BITS: f64 = 0.05;

/// Ranks the facts that were not told yet: where and when the unit was made, what the other rings of its model are, and the groove.
pub(crate) fn rank_next_facts(
    place: &PlaceSums<'_>,
    regimes: &Regimes,
    candidates: &Candidates,
) -> Vec<NextFact> {
    let mut asked = Vec::new();
    if !candidates.knows_origin() {
        asked.push((Fact::Origin, origins(regimes)));
    }
    if regimes.others.iter().all(|told| *told == 0.0) {
        asked.push((Fact::OtherPlaces, one_by_one(regimes, candidates)));
    }
    let told = asked
        .into_iter()
        .map(|(fact, answers)| (fact, gain(place, &answers, candidates)));
    let groove = place
        .gland
        .is_none()
        .then(|| (Fact::Gland, of_the_groove(place, regimes, candidates)));
    let mut facts: Vec<NextFact> = told
        .chain(groove)
        .map(|(fact, gain_bits)| NextFact { fact, gain_bits })
        .filter(|next| next.gain_bits >= LEAST_BITS)
        .collect();
    facts.sort_by(|a, b| b.gain_bits.total_cmp(&a.gain_bits));
    facts
}

/// The answers that a fact can have: how likely each is before the place is looked at, and the share of each listed ring under it.
type Answers = Vec<(f64, Vec<f64>)>;

/// Each row of countries and years is as likely as another. Judgement, no source.
fn origins(regimes: &Regimes) -> Answers {
    let table = SizeTable::shipped();
    let under = |prior: Prior| {
        let families = Families::new(table, &prior);
        let odds = regimes.with(families.before());
        (1.0, families.ring_shares(&odds))
    };
    Prior::all_made().map(under).collect()
}

fn one_by_one(regimes: &Regimes, candidates: &Candidates) -> Answers {
    let families = candidates.families();
    let odds = regimes.with(families.before());
    let top = odds.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let under = |at: usize| {
        let mut alone = [f64::NEG_INFINITY; REGIMES];
        alone[at] = 0.0;
        (libm::exp(odds[at] - top), families.ring_shares(&alone))
    };
    let possible = (0..REGIMES).filter(|at| odds[*at] > f64::NEG_INFINITY);
    possible.map(under).collect()
}

/// Returns the mutual information of the size and the answer, in bits.
fn gain(place: &PlaceSums<'_>, answers: &Answers, candidates: &Candidates) -> f64 {
    let listed = 1.0 - candidates.unlisted;
    let seen = |shares: &[f64]| -> f64 {
        let each = place.listed.iter().zip(shares);
        listed * each.map(|(weight, share)| weight * share).sum::<f64>() + place.unlisted
    };
    let weighed = answers.iter().map(|(before, shares)| {
        let belongs = place.belongs(shares, candidates);
        (before * seen(shares), belongs)
    });
    let weighed: Vec<(f64, Belonging)> = weighed.collect();
    let total: f64 = weighed.iter().map(|(weight, _)| weight).sum();
    if total <= 0.0 {
        return 0.0;
    }
    let mut mixed = Belonging {
        listed: vec![0.0; candidates.listed.len()],
        unlisted: 0.0,
    };
    let mut within = 0.0;
    for (weight, belongs) in &weighed {
        let share = weight / total;
        within += share * belongs.entropy();
        mixed.unlisted += share * belongs.unlisted;
        for (sum, own) in mixed.listed.iter_mut().zip(&belongs.listed) {
            *sum += share * own;
        }
    }
    (mixed.entropy() - within).max(0.0)
}

/// Returns the mutual information of the size and the groove, in bits: what the groove that a designer makes for each likely ring
/// would leave open, weighed by how likely that ring is.
fn of_the_groove(place: &PlaceSums<'_>, regimes: &Regimes, candidates: &Candidates) -> f64 {
    const COUNTS: f64 = 1e-3;
    const THOUGHT_OF: f64 = 0.01;
    /// A groove leaves a ring for which it was not made no less than this, as a logarithm: some are measured wrong. Judgement.
    const MISTAKEN: f64 = -10.0;
    let belongs = place.belongs(&regimes.shares(candidates), candidates);
    let likely = belongs.at_least(COUNTS);
    let likely: Vec<(f64, FittedRing<'_>)> = likely
        .map(|at| {
            let ring = FittedRing::new(&candidates.listed[at]);
            (belongs.listed[at], ring)
        })
        .collect();
    let before: f64 = likely.iter().map(|(odds, _)| odds).sum();
    let own: Vec<f64> = likely.iter().map(|(odds, _)| libm::log(*odds)).collect();
    let (mut within, mut weight) = (0.0, 0.0);
    for (odds, made) in likely.iter().filter(|(odds, _)| *odds >= THOUGHT_OF) {
        let grooves = UnmeasuredGlands::made_for(made.ring).typical();
        let suits = likely.iter().map(|(_, ring)| grooves.log_suits(ring));
        let suits: Vec<Vec<f64>> = suits.collect();
        let count = suits.first().map_or(0, Vec::len);
        let share = odds / count as f64;
        for groove in 0..count {
            let suit = suits.iter().map(|suits| suits[groove]);
            let best = suit.clone().fold(f64::MIN, f64::max);
            let logs = own
                .iter()
                .zip(suit)
                .map(|(own, suit)| own + (suit - best).max(MISTAKEN));
            let logs: Vec<f64> = logs.collect();
            let total = log_sum_exp(logs.iter().copied());
            let left = logs.iter().map(|log| bits(libm::exp(log - total)));
            within += share * left.sum::<f64>();
            weight += share;
        }
    }
    if weight > 0.0 {
        let now: f64 = likely.iter().map(|(odds, _)| bits(odds / before)).sum();
        (now - within / weight).max(0.0)
    } else {
        0.0
    }
}
