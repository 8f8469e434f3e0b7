//! The odds of every ring, given the readings.

use super::age::{Age, Moulded};
use super::candidates::{Candidate, Candidates};
use super::evidence::Evidence;
use super::found_ring::FoundRing;
use super::identifier::{Identifier, background_suit};
use super::likelihood::Fit;
use super::model_odds::{Regimes, named_alone};
use super::next_fact::{NextFact, rank_next_facts};
use super::next_reading::{NextReading, rank_next_readings};
use super::place_odds::PlaceSums;
use super::ring_chance::{RankedRing, RingOdds};
use super::sold_size::SoldRing;
use crate::core::measurement::Instruments;
use crate::core::uncertainty::log_sum_exp;
use serde::Serialize;

/// Tells the odds of every ring: of what came out of a unit, or of what its place was made for.
#[derive(Debug, Clone, Default)]
pub struct Identification {
    /// Rings by falling probability; those below one in ten thousand are left out.
    pub ranked: Vec<RankedRing>,
    /// Probability that the ring is of no listed size, nor of one that is sold here.
    pub unlisted_probability: f64,
    /// Sizes that are sold here and in no list, by falling probability.
    pub sold: Vec<SoldRing>,
    /// Probability of each reading being a slip, in the order of the readings.
    pub slip_probabilities: Vec<f64>,
    /// Places (in `ranked`) of the leading rings that the readings do not tell apart; empty where one leads clearly.
    pub cannot_separate: Vec<usize>,
    /// Readings that could still be taken, most telling a minute first.
    pub next: Vec<NextReading>,
    /// Facts that could still be told, most telling first; not worked out in a batch.
    pub ask: Vec<NextFact>,
    /// Logarithm of how likely all of this was before it was read; it compares ways of understanding the same readings, and
    /// is −∞ where several rings are named together.
    pub log_evidence: f64,
    /// The rings that the place was made for, as far as its rings and gland tell, by falling probability.
    pub made_for: Vec<RankedRing>,
    /// Probability that it is not the ring which the place was made for.
    pub foreign_probability: f64,
    /// Probability that it is not, and does not do its job either.
    pub misfit_probability: f64,
    /// How ring and gland agree, where a gland was measured.
    pub gland: Option<GlandVerdict>,
    /// What age has done to the ring; not worked out in a batch.
    pub age: Option<Age>,
    /// The ring as it was moulded, no list consulted; not worked out in a batch.
    pub moulded: Option<Moulded>,
}

impl Identification {
    /// Returns the probability of a listed ring.
    pub fn of_ring(&self, ring: usize) -> f64 {
        let own = self.ranked.iter().find(|ranked| ranked.ring == ring);
        own.map_or(0.0, |ranked| ranked.probability)
    }

    /// Tells whether the readings contradict each other: no ring explains them, and no single one of them is surely the slip. Nothing
    /// should be named by them.
    pub fn contradicts_itself(&self) -> bool {
        /// Honest readings lie so far off less than once in a million rings.
        const APART_SIGMA: f64 = 5.0;
        const SURELY: f64 = 0.9;
        const PROBABLY: f64 = 0.5;
        let apart = self
            .ranked
            .first()
            .is_none_or(|first| first.misfit_sigma > APART_SIGMA);
        // A ring of no listed size has all its readings without a slip.
        let slipped = self.slip_probabilities.iter().sum::<f64>() > PROBABLY;
        apart && slipped && self.slip_probabilities.iter().all(|slip| *slip < SURELY)
    }
}

/// Says how ring and gland agree.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GlandVerdict {
    /// Probability that this ring is not the one the gland was made for.
    pub foreign_probability: f64,
    /// Probability that it is not, and does not do its job either.
    pub misfit_probability: f64,
    /// The likeliest ring by its own readings, the gland not asked; `None` without readings.
    pub ring_alone: Option<RingOdds>,
    /// The likeliest rings by the gland, the readings not asked.
    pub gland_alone: Vec<RingOdds>,
}

/// Rings that are named for the gland alone.
pub(super) const GLAND_ALONE: usize = 3;

/// Rings less probable than this are left out of the ranking.
pub(super) const LEAST_PROBABILITY: f64 = 1e-4;
/// Rings whose odds against the leader are less than this are not told apart from it. Odds below 20 to 1 are called
/// no more than positive evidence by Kass and Raftery, Journal of the American Statistical Association 90 (1995) 773;
/// half of that is taken here, so that the group names the rivals that a second reading could well bring to the front.
const SEPARATING_ODDS: f64 = 10.0;

/// A candidate that the readings allow.
pub(crate) struct Contender<'c> {
    pub(crate) candidate: &'c Candidate,
    pub(crate) fit: Fit,
    pub(crate) log_weight: f64,
    /// Whether it is a listed ring, or a density of the background.
    pub(crate) is_listed: bool,
    /// Place among the listed rings, and behind them those of the background.
    pub(crate) at: usize,
}

/// Weighs every ring against the readings.
///
/// ```
/// use ringwright::core::identification::{Candidates, Evidence, Prior, identify};
/// use ringwright::core::measurement::{Condition, Instruments, Measurand, Reading};
/// use ringwright::core::sizes::SizeTable;
/// let readings = [
///     Reading::parse(Measurand::Od, "12.80 12.85 mm by caliper", None).unwrap(),
///     Reading::parse(Measurand::Cs, "1.72 mm by caliper", None).unwrap(),
/// ];
/// let instruments = Instruments::shipped();
/// let evidence = Evidence::new(&readings, Condition::Used, None, instruments).unwrap();
/// let table = SizeTable::shipped();
/// let candidates = Candidates::new(table, &Prior::default());
/// let answer = identify(&evidence, &candidates, instruments);
/// let first = &table.rings()[answer.ranked[0].ring];
/// assert_eq!(table.codes(first)[0], "AS568-012");
/// ```
pub fn identify(
    evidence: &Evidence,
    candidates: &Candidates,
    instruments: &Instruments,
) -> Identification {
    let sums = PlaceSums::of_one(evidence, &mut Identifier::new(candidates));
    let mut found = named_alone(&sums, candidates);
    let ask = rank_next_facts(&sums, &Regimes::NONE, candidates);
    let Some(ring) = sums.rings.into_iter().flatten().next() else {
        return found;
    };
    let contenders = reweighed(ring, &found, evidence);
    found.ask = ask;
    found.next = rank_next_readings(&contenders, evidence, instruments);
    found.age = Age::of(&contenders, evidence, &found.slip_probabilities);
    found.moulded = Moulded::of(&contenders, candidates, evidence);
    found
}

/// Returns the contenders with the odds that they have come to.
fn reweighed<'c>(
    ring: FoundRing<'c>,
    found: &Identification,
    evidence: &Evidence,
) -> Vec<Contender<'c>> {
    let mut contenders = ring.field.contenders;
    let strange = contenders.iter().filter(|c| !c.is_listed);
    let suited: Vec<f64> = strange
        .map(|c| c.log_weight + background_suit(c.candidate, evidence))
        .collect();
    let total = log_sum_exp(suited.iter().copied());
    let sold: f64 = found.sold.iter().map(|ring| ring.probability).sum();
    let unlisted = found.unlisted_probability + sold;
    let mut suited = suited.into_iter();
    for contender in &mut contenders {
        contender.log_weight = if contender.is_listed {
            libm::log(found.of_ring(contender.at))
        } else {
            suited.next().unwrap_or(total) - total + libm::log(unlisted)
        };
    }
    contenders
}

/// Puts rings in order and leaves out the improbable.
pub(crate) fn ranking(mut rings: Vec<RankedRing>, unlisted_probability: f64) -> Identification {
    rings.retain(|ring| ring.probability >= LEAST_PROBABILITY);
    rings.sort_by(|a, b| {
        b.probability
            .total_cmp(&a.probability)
            .then(a.ring.cmp(&b.ring))
    });
    Identification {
        cannot_separate: group_of_leader(&rings),
        ranked: rings,
        unlisted_probability,
        log_evidence: f64::NEG_INFINITY,
        ..Identification::default()
    }
}

fn group_of_leader(ranked: &[RankedRing]) -> Vec<usize> {
    let Some(leader) = ranked.first() else {
        return Vec::new();
    };
    let near = |ring: &&RankedRing| ring.probability * SEPARATING_ODDS > leader.probability;
    let group = ranked.iter().take_while(near).count();
    (0..group).filter(|_| group > 1).collect()
}
