//! What can be worked out about every ring before the readings' values are known.
//!
//! A prediction, its covariance and the inverse of that depend on what is measured and how well, not on what is read. Where
//! many rings are measured in the same way, they are worked out once.

use super::candidates::{Candidate, Candidates, Stand};
use super::evidence::{Density, Evidence, Observation};
use super::identifier::Care;
use super::likelihood::{
    FAR_FROM_BACKGROUND, FAR_FROM_LISTED, LinearModel, latent_variances, nominal, own_variance,
    shared,
};
use super::sensitivity::predict;
use super::wear::{WearMode, WearModes};
use super::weighing::{Seen, block_cells, block_size};
use crate::core::measurement::Measurand;
use std::sync::Arc;

/// The worked-out part of one way of measuring.
#[derive(Debug)]
pub(crate) struct Plan {
    /// The readings for which this was worked out; their values are of no consequence.
    like: Evidence,
    /// For each reading, what the candidates should give.
    reaches: Vec<Arc<Reach>>,
    /// How many candidates there are.
    rings: usize,
    /// By care, the blocks of each candidate, made when they are first asked for.
    blocks: [Vec<Option<Box<[f64]>>>; 2],
}

impl Plan {
    /// Lays out a plan; what candidates should give does not depend on how well it is read, and is taken from the plans before.
    pub(crate) fn new(
        candidates: &Candidates,
        evidence: &Evidence,
        known: &mut Vec<Arc<Reach>>,
    ) -> Self {
        let rings = candidates.listed.len() + candidates.background.len();
        let reach = |observation: &Observation| {
            let own = |one: &&Arc<Reach>| one.is_of(observation.measurand, evidence);
            if let Some(one) = known.iter().find(own) {
                return Arc::clone(one);
            }
            let made = Arc::new(Reach::new(candidates, observation.measurand, evidence));
            known.push(Arc::clone(&made));
            made
        };
        Self {
            reaches: evidence.observations.iter().map(reach).collect(),
            like: evidence.clone(),
            rings,
            blocks: [vec![None; rings], vec![None; rings]],
        }
    }

    /// Tells whether the plan holds for these readings.
    pub(crate) fn suits(&self, evidence: &Evidence) -> bool {
        self.like.is_read_as(evidence)
    }

    /// Marks for each candidate which readings lie far off, and at which square distance (as a share of "far") the
    /// worst of the others lies.
    pub(crate) fn far(&self, seen: &Seen, far: &mut Vec<Far>) {
        far.clear();
        far.resize(self.rings, Far::default());
        for reading in 0..seen.count {
            let value = seen.values[reading];
            let variance = self.like.observations[reading].variance;
            for (mark, ring) in far.iter_mut().zip(&self.reaches[reading].rings) {
                let away = value - ring.middle;
                let square = away * away / (ring.far * (ring.variance + variance));
                let is_far = square > 1.0;
                mark.mask |= u32::from(is_far) << reading;
                mark.square = mark.square.max(if is_far { 0.0 } else { square });
            }
        }
    }

    /// Returns the candidate's blocks of the wear modes that are weighed with this care, one behind the other.
    pub(crate) fn blocks(
        &mut self,
        candidates: &Candidates,
        at: usize,
        care: Care,
    ) -> Option<&[f64]> {
        if self.blocks[care as usize][at].is_none() {
            let modes = match care {
                Care::FirstLook => &self.like.wear.broad,
                Care::Whole => &self.like.wear.modes,
            };
            self.blocks[care as usize][at] = Some(self.block(candidates, at, modes)?);
        }
        self.blocks[care as usize][at].as_deref()
    }

    fn block(&self, candidates: &Candidates, at: usize, modes: &[WearMode]) -> Option<Box<[f64]>> {
        let (candidate, _) = of(candidates, at);
        let mut cells = Vec::with_capacity(modes.len() * block_size(self.like.observations.len()));
        for mode in modes {
            let model = LinearModel::new(candidate, &self.like, mode)?;
            block_cells(&model, mode.log_weight + self.like.log_honest, &mut cells);
        }
        Some(cells.into_boxed_slice())
    }
}

/// What each candidate should give of one measurand in the widest broad mode: first the listed, then the background.
#[derive(Debug)]
pub(crate) struct Reach {
    measurand: Measurand,
    wear: &'static WearModes,
    density: Density,
    rings: Vec<RingReach>,
}

/// What one candidate should give: the middle, the variance without the instrument's, and from how many variances on a reading
/// is far off.
#[derive(Debug, Clone, Copy)]
struct RingReach {
    middle: f64,
    variance: f64,
    far: f64,
}

impl Reach {
    fn new(candidates: &Candidates, measurand: Measurand, evidence: &Evidence) -> Self {
        let mode = evidence.wear.widest();
        let ring = |at: usize| {
            let (candidate, far) = of(candidates, at);
            let ring = nominal(candidate, evidence);
            let prediction = predict(measurand, ring, mode);
            let latent = latent_variances(candidate, mode);
            RingReach {
                middle: prediction.value,
                variance: own_variance(measurand, ring, mode, evidence)
                    + shared(&prediction, &prediction, &latent),
                far: far * far,
            }
        };
        let count = candidates.listed.len() + candidates.background.len();
        Self {
            measurand,
            wear: evidence.wear,
            density: evidence.density,
            rings: (0..count).map(ring).collect(),
        }
    }

    fn is_of(&self, measurand: Measurand, evidence: &Evidence) -> bool {
        self.measurand == measurand
            && std::ptr::eq(self.wear, evidence.wear)
            && self.density == evidence.density
    }
}

/// Returns a candidate by its place, the listed before the background, and from where a reading of it counts as far.
pub(crate) fn of(candidates: &Candidates, at: usize) -> (&Candidate, f64) {
    match candidates.listed.get(at) {
        Some(candidate) => (candidate, FAR_FROM_LISTED),
        None => (
            &candidates.background[at - candidates.listed.len()],
            match candidates.stand(at) {
                Stand::Broad => FAR_FROM_BACKGROUND,
                Stand::Listed | Stand::Between | Stand::Sold => FAR_FROM_LISTED,
            },
        ),
    }
}

/// Says how far the readings lie from one candidate in the widest broad mode.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Far {
    /// The readings that lie far off, one bit each.
    pub(crate) mask: u32,
    /// The greatest square distance of the others, as a share of the square of "far".
    pub(crate) square: f64,
}

impl Far {
    /// Returns a bound that no log likelihood of the candidate exceeds: the far readings taken as slips, the others as
    /// near as their instruments allow, save for the worst of them.
    pub(crate) fn ceiling(&self, evidence: &Evidence, far: f64) -> f64 {
        let mut ceiling = -0.5 * self.square * far * far;
        for reading in 0..evidence.observations.len() {
            ceiling += if self.mask >> reading & 1 == 1 {
                evidence.slip_log_odds[reading]
            } else {
                evidence.peaks[reading]
            };
        }
        ceiling
    }
}
