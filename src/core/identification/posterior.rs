//! The odds of every ring, given the readings.

use super::candidates::{Candidate, Candidates};
use super::evidence::Evidence;
use super::likelihood::{FAR_FROM_BACKGROUND, FAR_FROM_LISTED, Fit, first_look, fit};
use super::next_reading::{NextReading, rank_next_readings};
use crate::core::measurement::Instruments;
use crate::core::uncertainty::log_sum_exp;

/// Holds the odds of every ring, given the readings.
#[derive(Debug, Clone)]
pub struct Identification {
    /// Rings by falling probability; those below one in ten thousand are left out.
    pub ranked: Vec<RankedRing>,
    /// Probability that the ring is of no listed size.
    pub unlisted_probability: f64,
    /// Probability of each reading being a slip, in the order of the readings.
    pub slip_probabilities: Vec<f64>,
    /// Places (in `ranked`) of the leading rings that the readings do not tell apart; empty where one leads clearly.
    pub cannot_separate: Vec<usize>,
    /// Readings that could still be taken, most telling first.
    pub next: Vec<NextReading>,
}

/// Holds one listed ring with its odds.
#[derive(Debug, Clone, PartialEq)]
pub struct RankedRing {
    /// Place in [`SizeTable::rings`](crate::core::sizes::SizeTable::rings).
    pub ring: usize,
    /// Its probability.
    pub probability: f64,
    /// Root mean square of the misfits in standard deviations.
    pub misfit_sigma: f64,
}

/// Rings less probable than this are left out of the ranking.
const LEAST_PROBABILITY: f64 = 1e-4;
/// Rings whose odds against the leader are less than this are not told apart from it. Odds below 20 to 1 are called
/// no more than positive evidence by Kass and Raftery, Journal of the American Statistical Association 90 (1995) 773;
/// half of that is taken here, so that the group names the rivals that a second reading could well bring to the front.
const SEPARATING_ODDS: f64 = 10.0;

/// Holds a candidate that the readings allow.
pub(crate) struct Contender<'c> {
    pub(crate) candidate: &'c Candidate,
    pub(crate) fit: Fit,
    pub(crate) log_weight: f64,
    /// Place among the listed rings; `None` for the background.
    pub(crate) ring: Option<usize>,
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
    let contenders = weigh(evidence, candidates);
    let mut identification = rank(&contenders, evidence);
    identification.next = rank_next_readings(&contenders, evidence, instruments);
    identification
}

/// Weighs every ring and leaves out the question of what to measure next; for long batches.
pub fn identify_only(evidence: &Evidence, candidates: &Candidates) -> Identification {
    rank(&weigh(evidence, candidates), evidence)
}

/// A candidate whose first look lies this far (in log odds) behind the best keeps the weight of that look: the wear modes
/// would change a weight below one in twenty thousand by a factor of a few.
const REFINED_LOG_ODDS: f64 = 10.0;

/// Looks at every candidate once in the broad wear mode, then weighs those with a chance over all modes.
fn weigh<'c>(evidence: &Evidence, candidates: &'c Candidates) -> Vec<Contender<'c>> {
    let listed = candidates
        .listed
        .iter()
        .enumerate()
        .map(|(at, c)| (Some(at), c));
    let background = candidates.background.iter().map(|c| (None, c));
    let mut contenders: Vec<Contender<'c>> = listed
        .chain(background)
        .filter(|(_, candidate)| candidate.log_prior > f64::NEG_INFINITY)
        .filter_map(|(ring, candidate)| {
            let far = if ring.is_some() {
                FAR_FROM_LISTED
            } else {
                FAR_FROM_BACKGROUND
            };
            let fit = first_look(candidate, evidence, far)?;
            Some(Contender {
                log_weight: candidate.log_prior + fit.log_likelihood,
                candidate,
                fit,
                ring,
            })
        })
        .collect();
    refine(&mut contenders, evidence);
    contenders
}

/// Weighs contenders over all wear modes, the likeliest first, until those left lie hopelessly behind the best refined.
fn refine(contenders: &mut [Contender<'_>], evidence: &Evidence) {
    contenders.sort_by(|a, b| {
        b.log_weight
            .total_cmp(&a.log_weight)
            .then(a.ring.cmp(&b.ring))
    });
    let mut best = f64::NEG_INFINITY;
    for contender in contenders {
        if contender.log_weight < best - REFINED_LOG_ODDS {
            break;
        }
        if let Some(fit) = fit(contender.candidate, evidence) {
            contender.log_weight = contender.candidate.log_prior + fit.log_likelihood;
            contender.fit = fit;
            best = best.max(contender.log_weight);
        }
    }
}

fn rank(contenders: &[Contender<'_>], evidence: &Evidence) -> Identification {
    let total = log_sum_exp(contenders.iter().map(|c| c.log_weight));
    let share = |c: &Contender<'_>| {
        if total == f64::NEG_INFINITY {
            0.0
        } else {
            libm::exp(c.log_weight - total)
        }
    };
    let mut ranked = Vec::new();
    let mut unlisted = if contenders.is_empty() { 1.0 } else { 0.0 };
    let mut slips = vec![0.0; evidence.observations.len()];
    for contender in contenders {
        let probability = share(contender);
        for (slip, own) in slips.iter_mut().zip(contender.fit.slips) {
            *slip += probability * own;
        }
        match contender.ring {
            None => unlisted += probability,
            Some(_) if probability < LEAST_PROBABILITY => {}
            Some(ring) => ranked.push(RankedRing {
                ring,
                probability,
                misfit_sigma: contender.fit.misfit,
            }),
        }
    }
    Identification {
        slip_probabilities: slips,
        ..ranking(ranked, unlisted)
    }
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
        slip_probabilities: Vec::new(),
        next: Vec::new(),
    }
}

fn group_of_leader(ranked: &[RankedRing]) -> Vec<usize> {
    let Some(leader) = ranked.first() else {
        return Vec::new();
    };
    let group: Vec<usize> = ranked
        .iter()
        .take_while(|ring| ring.probability * SEPARATING_ODDS > leader.probability)
        .enumerate()
        .map(|(place, _)| place)
        .collect();
    if group.len() > 1 { group } else { Vec::new() }
}
