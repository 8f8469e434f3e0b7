//! What one candidate makes of one set of readings, worked out on the spot: for candidates that are in no list.

use super::candidates::Candidate;
use super::evidence::Evidence;
use super::likelihood::{LinearModel, latent_variances, nominal, own_variance, shared};
use super::sensitivity::predict;
use super::wear::WearMode;
use super::weighing::{Gathering, Seen, block_cells};

/// Weighs the readings (log likelihood, slips allowed) in the few modes that cover all wear; `None` where they lie so far off (`far` standard deviations,
/// slips allowed) that it need not be thought of.
pub(crate) fn first_look(candidate: &Candidate, evidence: &Evidence, far: f64) -> Option<f64> {
    let seen = Seen::new(evidence);
    let mode = evidence.wear.widest();
    let latent = latent_variances(candidate, mode);
    let ring = nominal(candidate, evidence);
    let far_off = evidence.observations.iter().filter(|observation| {
        let prediction = predict(observation.measurand, ring, mode);
        let own = own_variance(observation.measurand, ring, mode, evidence);
        let variance = observation.variance + own + shared(&prediction, &prediction, &latent);
        let residual = observation.value - prediction.value;
        residual * residual > far * far * variance
    });
    if far_off.count() > seen.most_slips {
        return None;
    }
    look(candidate, evidence, &evidence.wear.broad)
}

/// Weighs the readings over all wear modes; `None` only where a covariance cannot be inverted.
pub(crate) fn fit(candidate: &Candidate, evidence: &Evidence) -> Option<f64> {
    look(candidate, evidence, &evidence.wear.modes)
}

fn look(candidate: &Candidate, evidence: &Evidence, modes: &[WearMode]) -> Option<f64> {
    let seen = Seen::new(evidence);
    let mut gathering = Gathering::new(false);
    let mut cells = Vec::new();
    for mode in modes {
        cells.clear();
        let model = LinearModel::new(candidate, evidence, mode)?;
        block_cells(&model, mode.log_weight + evidence.log_honest, &mut cells);
        gathering.take(&cells, &seen);
    }
    Some(gathering.log_likelihood())
}
