//! The odds of every ring, given the readings.

use super::age::{Age, Moulded};
use super::candidates::{Candidate, Candidates};
use super::evidence::Evidence;
use super::gland_evidence::FOREIGN_SHARE;
use super::identifier::{Field, Identifier};
use super::likelihood::Fit;
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
    /// Readings that could still be taken, most telling a minute first.
    pub next: Vec<NextReading>,
    /// Logarithm of how likely all of this was before it was read; it compares ways of understanding the same readings, and
    /// is −∞ where several rings are named together.
    pub log_evidence: f64,
    /// How ring and gland agree, where a gland was measured.
    pub gland: Option<GlandVerdict>,
    /// What age has done to the ring; not worked out in a batch.
    pub age: Option<Age>,
    /// The ring as it was moulded, no list consulted; not worked out in a batch.
    pub moulded: Option<Moulded>,
}

/// Says how ring and gland agree.
#[derive(Debug, Clone, PartialEq)]
pub struct GlandVerdict {
    /// Probability that this ring is not the one the gland was made for.
    pub foreign_probability: f64,
    /// The likeliest ring by its own readings, the gland not asked, with its probability; `None` without readings.
    pub ring_alone: Option<(usize, f64)>,
    /// The likeliest rings by the gland, the readings not asked, with their probabilities.
    pub gland_alone: Vec<(usize, f64)>,
}

/// Rings that are named for the gland alone.
const GLAND_ALONE: usize = 3;

/// Compares what the ring says with what the gland says.
///
/// The ring is a foreign one with [`FOREIGN_SHARE`]; given that, the gland says nothing of it, so that the probability of
/// it is that share times the odds by the readings alone over the odds by both.
fn verdict(
    contenders: &[Contender<'_>],
    candidates: &Candidates,
    evidence: &Evidence,
) -> Option<GlandVerdict> {
    let gland = evidence.gland.as_ref()?;
    let both = log_sum_exp(contenders.iter().map(|c| c.log_weight));
    let alone = |c: &Contender<'_>| c.log_weight - c.factor;
    let readings = log_sum_exp(contenders.iter().map(alone));
    let listed = contenders.iter().filter(|c| c.at < candidates.listed.len());
    let ring_alone = listed
        .max_by(|a, b| alone(a).total_cmp(&alone(b)))
        .filter(|_| !evidence.observations.is_empty())
        .map(|c| (c.at, libm::exp(alone(c) - readings)));
    let suits = candidates.listed.iter().zip(&gland.listed).enumerate();
    let mut suits: Vec<(usize, f64)> = suits
        .map(|(at, (c, suit))| (at, libm::exp(c.log_prior + suit)))
        .collect();
    suits.sort_unstable_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    suits.truncate(GLAND_ALONE);
    Some(GlandVerdict {
        foreign_probability: (FOREIGN_SHARE * libm::exp(readings - both)).min(1.0),
        ring_alone,
        gland_alone: suits,
    })
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
    /// Whether it is a listed ring, or a density of the background.
    pub(crate) is_listed: bool,
    /// By how much other facts than readings have changed the log weight.
    pub(crate) factor: f64,
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
    let field = Identifier::new(candidates).weigh(evidence);
    let mut identification = rank(&field, candidates, evidence);
    let contenders = field.contenders;
    identification.next = rank_next_readings(&contenders, evidence, instruments);
    let slipped = &identification.slip_probabilities;
    identification.age = Age::of(&contenders, evidence, slipped);
    identification.moulded = Moulded::of(&contenders, candidates, evidence);
    identification.gland = verdict(&contenders, candidates, evidence);
    identification
}

/// Weighs every ring and leaves out the question of what to measure next.
pub fn identify_only(evidence: &Evidence, candidates: &Candidates) -> Identification {
    Identifier::new(candidates).identify(evidence)
}

/// Turns weights into odds.
pub(crate) fn rank(
    field: &Field<'_>,
    candidates: &Candidates,
    evidence: &Evidence,
) -> Identification {
    let contenders = &field.contenders;
    let weights = contenders.iter().map(|c| c.log_weight);
    let total = log_sum_exp(weights.chain([field.other_listed, field.other_background]));
    let share_of = |log_weight: f64| {
        if total == f64::NEG_INFINITY {
            0.0
        } else {
            libm::exp(log_weight - total)
        }
    };
    let mut ranked = Vec::new();
    let mut unlisted = if contenders.is_empty() {
        1.0
    } else {
        share_of(field.other_background)
    };
    let mut slips = vec![0.0; evidence.observations.len()];
    for contender in contenders {
        let probability = share_of(contender.log_weight);
        for (slip, own) in slips.iter_mut().zip(contender.fit.slips) {
            *slip += probability * own;
        }
        if contender.at >= candidates.listed.len() {
            unlisted += probability;
        } else if probability >= LEAST_PROBABILITY {
            ranked.push(RankedRing {
                ring: contender.at,
                probability,
                misfit_sigma: contender.fit.misfit,
            });
        }
    }
    Identification {
        slip_probabilities: slips,
        log_evidence: total,
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
        log_evidence: f64::NEG_INFINITY,
        gland: None,
        age: None,
        moulded: None,
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
