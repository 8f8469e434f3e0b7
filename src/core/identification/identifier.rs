//! Names many rings one after the other, keeping what does not depend on the values read.

use super::candidates::{Candidate, Candidates, Stand};
use super::evidence::Evidence;
use super::facts::pin_log_factor;
use super::likelihood::{Fit, LinearModel};
use super::model_odds::named_alone;
use super::place_odds::PlaceSums;
use super::plan::{Far, Plan, Reach, of};
use super::posterior::{Contender, Identification};
use super::weighing::{Gathering, Seen};
use crate::core::uncertainty::log_sum_exp;
use std::sync::Arc;

/// Names rings; what is measured in the same way again costs a tenth of the first time.
///
/// The answer to one set of readings never depends on those asked before.
#[derive(Debug)]
pub struct Identifier<'c> {
    candidates: &'c Candidates,
    /// The most recent last.
    plans: Vec<Plan>,
    /// What candidates should give of each measurand, by way of wear and density.
    reaches: Vec<Arc<Reach>>,
    far: Vec<Far>,
    looks: Vec<(f64, usize)>,
}

/// Plans kept; the units of a model rarely mix more ways of measuring, and a plan made anew costs a millisecond.
const MOST_PLANS: usize = 64;

impl<'c> Identifier<'c> {
    /// Makes an identifier of candidates with their prior.
    pub fn new(candidates: &'c Candidates) -> Self {
        Self {
            candidates,
            plans: Vec::new(),
            reaches: Vec::new(),
            far: Vec::new(),
            looks: Vec::new(),
        }
    }

    /// Returns the candidates that are weighed.
    pub fn candidates(&self) -> &'c Candidates {
        self.candidates
    }

    /// Weighs every ring, and leaves out the question of what to measure next.
    pub fn identify(&mut self, evidence: &Evidence) -> Identification {
        named_alone(&PlaceSums::of_one(evidence, self), self.candidates)
    }

    /// Weighs every candidate; those that the readings rule out are left out.
    pub(crate) fn weigh(&mut self, evidence: &Evidence, care: Care) -> Field<'c> {
        let candidates = self.candidates;
        let mut plan = self.take_plan(evidence);
        let seen = Seen::new(evidence);
        plan.far(&seen, &mut self.far);
        let mut looks = std::mem::take(&mut self.looks);
        looks.clear();
        let mut best = f64::NEG_INFINITY;
        // Rings that need no slip come first, so that most of those that need one need not be looked at.
        for slips in 0..=seen.most_slips {
            for (at, far) in self.far.iter().enumerate() {
                if far.mask.count_ones() as usize != slips {
                    continue;
                }
                let (candidate, limit) = of(candidates, at);
                let prior = candidate.log_prior + evidence.factor(at);
                let hopeless = || prior + far.ceiling(evidence, limit) < best - HOPELESS_LOG_ODDS;
                if prior == f64::NEG_INFINITY || (slips > 0 && hopeless()) {
                    continue;
                }
                let Some(cells) = plan.blocks(candidates, at, Care::FirstLook) else {
                    continue;
                };
                let mut look = Gathering::new(true);
                look.take(cells, &seen);
                let log_weight = prior + look.log_likelihood();
                if log_weight > best - HOPELESS_LOG_ODDS {
                    best = best.max(log_weight);
                    looks.push((log_weight, at));
                }
            }
        }
        let field = match care {
            Care::FirstLook => Field::looked_at(&looks, candidates),
            Care::Whole => refine(&mut looks, candidates, evidence, &mut plan, &seen),
        };
        self.plans.push(plan);
        self.looks = looks;
        field
    }

    /// Weighs some listed rings in full that a first look had left where they were, or had not come to.
    pub(crate) fn refine(&mut self, evidence: &Evidence, rings: &[usize], field: &mut Field<'c>) {
        let candidates = self.candidates;
        let mut plan = self.take_plan(evidence);
        let seen = Seen::new(evidence);
        field.looked.retain(|(at, _)| !rings.contains(at));
        for at in rings {
            if let Some(cells) = plan.blocks(candidates, *at, Care::Whole) {
                let whole = contender(*at, candidates, evidence, cells, &seen);
                field.contenders.push(whole);
            }
        }
        self.plans.push(plan);
    }

    /// Takes the plan that suits the readings out of those kept, or makes it.
    fn take_plan(&mut self, evidence: &Evidence) -> Plan {
        if let Some(at) = self.plans.iter().rposition(|plan| plan.suits(evidence)) {
            return self.plans.remove(at);
        }
        if self.plans.len() >= MOST_PLANS {
            self.plans.remove(0);
        }
        Plan::new(self.candidates, evidence, &mut self.reaches)
    }
}

/// A candidate that cannot come nearer than this (in log odds) to the best one is not looked at.
pub(crate) const HOPELESS_LOG_ODDS: f64 = 13.0;
/// A candidate whose first look lies this far (in log odds) behind the best keeps the weight of that look: it holds less
/// than one part in twenty thousand, which the wear modes would change by a factor of a few.
const REFINED_LOG_ODDS: f64 = 10.0;

/// The least number of broad densities of the background that are weighed over all wear modes; what these change, they
/// change in its other densities too, because all of them see the same readings.
const REFINED_BACKGROUND: usize = 3;
/// More of them are weighed while they lie within these log odds of the leading one,
const BACKGROUND_LOG_ODDS: f64 = 4.0;
/// unless the leading one itself lies this far behind the best ring.
const SLIGHT_LOG_ODDS: f64 = 6.5;

/// The candidates that were weighed in full, and what the others hold.
#[derive(Default)]
pub(crate) struct Field<'c> {
    pub(crate) contenders: Vec<Contender<'c>>,
    /// Listed rings that were looked at only once, with their log weights.
    pub(crate) looked: Vec<(usize, f64)>,
    /// Log weight of the densities of the background that were looked at only once.
    pub(crate) other_background: f64,
}

/// Says how closely candidates are weighed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Care {
    /// In the broad modes alone.
    FirstLook,
    /// The likely ones over all modes.
    Whole,
}

impl Field<'_> {
    /// Tells whether a listed ring was weighed in full.
    pub(crate) fn is_refined(&self, ring: usize) -> bool {
        self.contenders.iter().any(|c| c.at == ring)
    }

    /// Takes what a first look gave.
    fn looked_at(looks: &[(f64, usize)], candidates: &Candidates) -> Self {
        let (listed, others): (Vec<_>, Vec<_>) = looks
            .iter()
            .partition(|(_, at)| candidates.stand(*at) == Stand::Listed);
        Self {
            contenders: Vec::new(),
            looked: listed.into_iter().map(|(look, at)| (at, look)).collect(),
            other_background: log_sum_exp(others.into_iter().map(|(look, _)| look)),
        }
    }
}

/// Weighs candidates over all wear modes, the likeliest first, until those left lie hopelessly behind the best refined.
fn refine<'c>(
    looks: &mut [(f64, usize)],
    candidates: &'c Candidates,
    evidence: &Evidence,
    plan: &mut Plan,
    seen: &Seen,
) -> Field<'c> {
    looks.sort_unstable_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let mut best = f64::NEG_INFINITY;
    let mut contenders = Vec::new();
    let mut between = Sum::default();
    let mut listed = Vec::new();
    let mut background = Sum::default();
    let (mut looked, mut refined) = (Sum::default(), Sum::default());
    let (mut backgrounds, mut leading) = (0, f64::NEG_INFINITY);
    for (look, at) in looks.iter().copied() {
        let stand = candidates.stand(at);
        let is_broad = stand == Stand::Broad;
        backgrounds += usize::from(is_broad);
        if is_broad {
            leading = leading.max(look);
        }
        let enough = is_broad
            && backgrounds > REFINED_BACKGROUND
            && (look < leading - BACKGROUND_LOG_ODDS || leading < best - SLIGHT_LOG_ODDS);
        if look < best - REFINED_LOG_ODDS || enough {
            match stand {
                Stand::Listed => listed.push((at, look)),
                Stand::Between | Stand::Sold => between.add(look),
                Stand::Broad => background.add(look),
            }
            continue;
        }
        let Some(cells) = plan.blocks(candidates, at, Care::Whole) else {
            continue;
        };
        let contender = contender(at, candidates, evidence, cells, seen);
        best = best.max(contender.log_weight);
        if is_broad {
            looked.add(look);
            refined.add(contender.log_weight);
        }
        contenders.push(contender);
    }
    let change = if backgrounds > 0 && looked.sum > 0.0 {
        refined.log() - looked.log()
    } else {
        0.0
    };
    Field {
        contenders,
        looked: listed,
        other_background: log_sum_exp([background.log() + change, between.log()]),
    }
}

fn contender<'c>(
    at: usize,
    candidates: &'c Candidates,
    evidence: &Evidence,
    cells: &[f64],
    seen: &Seen,
) -> Contender<'c> {
    let (candidate, _) = of(candidates, at);
    let mut gathering = Gathering::new(false);
    gathering.take(cells, seen);
    let pins = pin_log_factor(candidate, evidence);
    Contender {
        candidate,
        fit: Fit {
            misfit: libm::sqrt(gathering.square / seen.count.max(1) as f64),
            slips: gathering.slips(),
        },
        log_weight: candidate.log_prior + evidence.factor(at) + pins + gathering.log_likelihood(),
        is_listed: at < candidates.listed.len(),
        at,
    }
}

/// Sums weights kept as logarithms, given greatest first or nearly so.
#[derive(Default)]
struct Sum {
    first: f64,
    sum: f64,
}

impl Sum {
    fn add(&mut self, log_weight: f64) {
        if self.sum == 0.0 {
            self.first = log_weight;
        }
        self.sum += libm::exp(log_weight - self.first);
    }

    fn log(&self) -> f64 {
        if self.sum > 0.0 {
            self.first + libm::log(self.sum)
        } else {
            f64::NEG_INFINITY
        }
    }
}

/// Nodes and weights of Gauss-Hermite quadrature with 3 points for a standard normal law: 0 and ±√3.
const NODES: [(f64, f64); 3] = [
    (-1.732_050_807_568_877_2, 1.0 / 6.0),
    (0.0, 2.0 / 3.0),
    (1.732_050_807_568_877_2, 1.0 / 6.0),
];

/// Returns by how much (as a logarithm) the gland speaks for an unlisted size: averaged over the sizes that the readings allow
/// within this density.
pub(crate) fn background_suit(candidate: &Candidate, evidence: &Evidence) -> f64 {
    let Some(gland) = &evidence.gland else {
        return 0.0;
    };
    let model = LinearModel::new(candidate, evidence, evidence.wear.usual());
    let Some(model) = model.filter(|_| !evidence.observations.is_empty()) else {
        return 0.0;
    };
    let (mean, covariance) = model.latents();
    let sd1 = libm::sqrt(covariance[0][0].max(0.0));
    let lean = if sd1 > 0.0 {
        covariance[0][1] / sd1
    } else {
        0.0
    };
    let sd2 = libm::sqrt((covariance[1][1] - lean * lean).max(0.0));
    let mut total = 0.0;
    for (a, weight_a) in NODES {
        for (b, weight_b) in NODES {
            let d1 = candidate.d1 + mean[0] + a * sd1;
            let d2 = candidate.d2 + mean[1] + a * lean + b * sd2;
            total += weight_a * weight_b * gland.of_size(d1, d2);
        }
    }
    libm::log(total)
}
