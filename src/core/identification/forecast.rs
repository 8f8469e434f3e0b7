//! What a reading not yet taken is expected to give.

use super::candidates::Candidate;
use super::evidence::Evidence;
use super::likelihood::{LinearModel, nominal, own_variance};
use super::sensitivity::{Nominal, predict};
use super::wear::WearMode;
use crate::core::measurement::Measurand;
use crate::core::uncertainty::shares_of_log_weights;

/// What the readings taken so far say of one candidate, mode by mode of wear.
pub(crate) struct Forecast<'e> {
    ring: Nominal,
    evidence: &'e Evidence,
    /// Each mode with its share.
    pub(super) modes: Vec<(f64, &'e WearMode, LinearModel)>,
}

impl<'e> Forecast<'e> {
    /// Sets up the linear models of a candidate.
    pub(crate) fn new(candidate: &Candidate, evidence: &'e Evidence) -> Self {
        let models: Vec<(&WearMode, LinearModel)> = evidence
            .wear
            .modes
            .iter()
            .filter_map(|mode| Some((mode, LinearModel::new(candidate, evidence, mode)?)))
            .collect();
        let weights: Vec<f64> = models
            .iter()
            .map(|(mode, model)| mode.log_weight + model.log_density)
            .collect();
        let modes = shares_of_log_weights(&weights)
            .into_iter()
            .zip(models)
            .map(|(share, (mode, model))| (share, mode, model))
            .collect();
        Self {
            ring: nominal(candidate, evidence),
            evidence,
            modes,
        }
    }

    /// Predicts a reading: mean and variance over all modes, the instrument not counted.
    pub(crate) fn reading(&self, measurand: Measurand) -> (f64, f64) {
        let (mut mean, mut square) = (0.0, 0.0);
        for (share, mode, model) in &self.modes {
            let next = predict(measurand, self.ring, mode);
            let (centre, variance) = model.predict_next(&next);
            let own = own_variance(measurand, self.ring, mode, self.evidence);
            mean += share * centre;
            square += share * (variance + own + centre * centre);
        }
        (mean, (square - mean * mean).max(0.0))
    }
}
