//! What can be worked out about every ring before the readings' values are known.
//!
//! A prediction, its covariance and the inverse of that depend on what is measured and how well, not on what is read. Where
//! many rings are measured in the same way, they are worked out once.

use super::candidates::{Candidate, Candidates, Stand};
use super::evidence::Evidence;
use super::likelihood::{
    FAR_FROM_BACKGROUND, FAR_FROM_LISTED, LinearModel, latent_variances, nominal, own_variance,
    shared,
};
use super::sensitivity::predict;
use super::wear::WearMode;
use super::weighing::{Seen, block_cells, block_size};

/// Holds the worked-out part of one way of measuring.
#[derive(Debug)]
pub(crate) struct Plan {
    /// The readings for which this was worked out; their values are of no consequence.
    like: Evidence,
    /// For each reading in turn, what each candidate should give in the broad modes: first the listed, then the background.
    middles: Vec<f64>,
    /// The reciprocal of the distance from which a reading is far off, in the same order.
    reaches: Vec<f64>,
    /// How many candidates there are.
    rings: usize,
    /// The first look's block of each candidate, made when it is first asked for.
    broad: Vec<Option<Box<[f64]>>>,
    /// The blocks of all wear modes of each candidate, made when they are first asked for.
    narrow: Vec<Option<Box<[f64]>>>,
}

impl Plan {
    pub(crate) fn new(candidates: &Candidates, evidence: &Evidence) -> Self {
        let rings = candidates.listed.len() + candidates.background.len();
        let count = evidence.observations.len();
        let mode = evidence.wear.widest();
        let mut middles = Vec::with_capacity(rings * count);
        let mut reaches = Vec::with_capacity(rings * count);
        for observation in &evidence.observations {
            for at in 0..rings {
                let (candidate, far) = of(candidates, at);
                let ring = nominal(candidate, evidence);
                let prediction = predict(observation.measurand, ring, mode);
                let latent = latent_variances(candidate, mode);
                let variance = observation.variance
                    + own_variance(observation.measurand, ring, mode, evidence)
                    + shared(&prediction, &prediction, &latent);
                middles.push(prediction.value);
                reaches.push(1.0 / (far * variance.sqrt()));
            }
        }
        Self {
            like: evidence.clone(),
            middles,
            reaches,
            rings,
            broad: vec![None; rings],
            narrow: vec![None; rings],
        }
    }

    /// Tells whether the plan holds for these readings.
    pub(crate) fn suits(&self, evidence: &Evidence) -> bool {
        let (own, other) = (&self.like.observations, &evidence.observations);
        std::ptr::eq(self.like.wear, evidence.wear)
            && self.like.density == evidence.density
            && own.len() == other.len()
            && own.iter().zip(other).all(|(a, b)| {
                a.measurand == b.measurand && a.variance.to_bits() == b.variance.to_bits()
            })
    }

    /// Marks for each candidate which readings lie far off, and at which square distance (as a share of "far") the
    /// worst of the others lies.
    pub(crate) fn far(&self, seen: &Seen, far: &mut Vec<Far>) {
        far.clear();
        far.resize(self.rings, Far::default());
        for reading in 0..seen.count {
            let value = seen.values[reading];
            let row = reading * self.rings;
            let middles = &self.middles[row..row + self.rings];
            let reaches = &self.reaches[row..row + self.rings];
            for ((mark, middle), reach) in far.iter_mut().zip(middles).zip(reaches) {
                let away = (value - middle) * reach;
                let square = away * away;
                let is_far = square > 1.0;
                mark.mask |= u32::from(is_far) << reading;
                mark.square = mark.square.max(if is_far { 0.0 } else { square });
            }
        }
    }

    /// Returns the candidate's block for the first look.
    pub(crate) fn broad(&mut self, candidates: &Candidates, at: usize) -> Option<&[f64]> {
        if self.broad[at].is_none() {
            let modes = &self.like.wear.broad;
            self.broad[at] = Some(self.block(candidates, at, modes)?);
        }
        self.broad[at].as_deref()
    }

    /// Returns the candidate's blocks of all wear modes, one behind the other.
    pub(crate) fn narrow(&mut self, candidates: &Candidates, at: usize) -> Option<&[f64]> {
        if self.narrow[at].is_none() {
            let modes = &self.like.wear.modes;
            self.narrow[at] = Some(self.block(candidates, at, modes)?);
        }
        self.narrow[at].as_deref()
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
