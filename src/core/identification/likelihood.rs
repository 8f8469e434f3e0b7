//! How likely the readings are if the ring is a given candidate.

use super::candidates::Candidate;
use super::evidence::Evidence;
use super::sensitivity::{LATENTS, Nominal, Prediction, predict};
use super::small_matrix::{MOST, SmallMatrix};
use super::wear::{Squeeze, WearMode};
use crate::core::measurement::Measurand;
use crate::core::uncertainty::HALF_LN_TWO_PI;

/// The share of readings that are slips: misread, mistyped, or of another ring. Recalled from practice, no source.
const SLIP_SHARE: f64 = 0.01;
/// A slip can be any length from a third of a millimetre to 700 mm, all ratios alike: density 1/(y ln(700/0.3)).
const SLIP_LOG_RANGE: f64 = 7.755_1;
/// A reading farther than this many standard deviations from a listed ring is a slip or of another ring.
pub(crate) const FAR_FROM_LISTED: f64 = 7.0;
/// The same for a broad density of the background, whose neighbours cover what lies farther off.
pub(crate) const FAR_FROM_BACKGROUND: f64 = 4.0;

/// What a candidate makes of the readings.
#[derive(Debug, Clone)]
pub(crate) struct Fit {
    /// Root mean square of the misfits in standard deviations in the best wear mode, no slip assumed.
    pub(crate) misfit: f64,
    /// For each reading, the probability that it is a slip.
    pub(crate) slips: [f64; MOST],
}

/// The readings' predictions for one candidate in one wear mode, and what the residuals say.
#[derive(Debug, Clone)]
pub(crate) struct LinearModel {
    predictions: [Prediction; MOST],
    /// Inverse covariance of the readings.
    precision: SmallMatrix,
    /// Inverse covariance times residuals.
    weighted: [f64; MOST],
    /// Prior variances of the latent deviations.
    latent: [f64; LATENTS],
    /// Log density of readings that agree exactly with the prediction; it does not depend on what was read.
    pub(crate) log_peak: f64,
    /// Log density of the readings, none of them a slip.
    pub(crate) log_density: f64,
}

pub(crate) fn latent_variances(candidate: &Candidate, mode: &WearMode) -> [f64; LATENTS] {
    [
        candidate.var1,
        candidate.var2,
        mode.swell_variance,
        mode.set_variance,
    ]
}

pub(crate) fn nominal(candidate: &Candidate, evidence: &Evidence) -> Nominal {
    Nominal {
        d1: candidate.d1,
        d2: candidate.d2,
        density: evidence.density.mean,
    }
}

/// Covariance of two readings through the latent deviations.
pub(crate) fn shared(a: &Prediction, b: &Prediction, latent: &[f64; LATENTS]) -> f64 {
    (0..LATENTS)
        .map(|l| a.slopes[l] * latent[l] * b.slopes[l])
        .sum()
}

/// Returns the variance that a reading has beyond its instrument's and the latents': the doubt of a compound's density in
/// a mass, and that of the direction of squeeze in a diameter where it is left open.
pub(crate) fn own_variance(
    measurand: Measurand,
    ring: Nominal,
    mode: &WearMode,
    evidence: &Evidence,
) -> f64 {
    match measurand {
        Measurand::Mass => {
            let sd = predict(measurand, ring, mode).value * evidence.density.relative_sd;
            sd * sd
        }
        Measurand::Id | Measurand::Od | Measurand::Stack if mode.squeeze == Squeeze::Unknown => {
            (mode.set_mean * mode.set_mean + mode.set_variance) * ring.d2 * ring.d2
        }
        _ => 0.0,
    }
}

/// One slip among a few readings, two among four or more: beyond that the readings say nothing.
pub(crate) fn most_slips(count: usize) -> usize {
    match count {
        0 | 1 => 0,
        2 | 3 => 1,
        _ => 2,
    }
}

impl LinearModel {
    /// Sets up the linear model of all readings; `None` only where the covariance cannot be inverted.
    pub(crate) fn new(candidate: &Candidate, evidence: &Evidence, mode: &WearMode) -> Option<Self> {
        let count = evidence.observations.len();
        let latent = latent_variances(candidate, mode);
        let ring = nominal(candidate, evidence);
        let mut predictions = [Prediction::NONE; MOST];
        let mut residuals = [0.0; MOST];
        let mut covariance = SmallMatrix::zero(count);
        for (row, observation) in evidence.observations.iter().enumerate() {
            let prediction = predict(observation.measurand, ring, mode);
            let own = own_variance(observation.measurand, ring, mode, evidence);
            residuals[row] = observation.value - prediction.value;
            predictions[row] = prediction;
            for (column, earlier) in predictions[..row].iter().enumerate() {
                covariance.set(row, column, shared(&prediction, earlier, &latent));
            }
            let variance = observation.variance + own + shared(&prediction, &prediction, &latent);
            covariance.set(row, row, variance);
        }
        let (precision, log_determinant) = covariance.inverse()?;
        let mut weighted = [0.0; MOST];
        let mut square = 0.0;
        for row in 0..count {
            weighted[row] = (0..count)
                .map(|k| precision.get(row, k) * residuals[k])
                .sum();
            square += weighted[row] * residuals[row];
        }
        let log_peak = -0.5 * log_determinant - count as f64 * HALF_LN_TWO_PI;
        let log_density = log_peak - 0.5 * square;
        Some(Self {
            predictions,
            precision,
            weighted,
            latent,
            log_peak,
            log_density,
        })
    }

    /// Returns mean and covariance of the latent deviations (δ1, δ2, swell, set) given the readings; swell and set are
    /// deviations from the middle of the wear mode.
    pub(crate) fn latents(&self) -> ([f64; LATENTS], [[f64; LATENTS]; LATENTS]) {
        let count = self.count();
        let slopes = |reading: usize, latent: usize| {
            self.predictions[reading].slopes[latent] * self.latent[latent]
        };
        let mut mean = [0.0; LATENTS];
        let mut covariance = [[0.0; LATENTS]; LATENTS];
        for a in 0..LATENTS {
            mean[a] = (0..count).map(|j| slopes(j, a) * self.weighted[j]).sum();
            covariance[a][a] = self.latent[a];
            for (b, cell) in covariance[a].iter_mut().enumerate() {
                for j in 0..count {
                    for k in 0..count {
                        *cell -= slopes(j, a) * self.precision.get(j, k) * slopes(k, b);
                    }
                }
            }
        }
        (mean, covariance)
    }

    /// Returns how many readings there are.
    pub(crate) fn count(&self) -> usize {
        self.precision.size()
    }

    /// Lists the readings that are predicted.
    pub(crate) fn predicted(&self) -> impl Iterator<Item = f64> {
        self.predictions
            .iter()
            .take(self.count())
            .map(|prediction| prediction.value)
    }

    /// Returns mean and variance of the part of a reading's error that has this variance beforehand.
    pub(crate) fn common_error(&self, reading: usize, common: f64) -> (f64, f64) {
        let told = common * common * self.precision.get(reading, reading);
        (common * self.weighted[reading], common - told)
    }

    /// Returns how many standard deviations a reading lies from what the others leave it.
    pub(crate) fn misfit(&self, reading: usize) -> f64 {
        self.weighted[reading].abs() / libm::sqrt(self.precision.get(reading, reading))
    }

    /// Lists by how much each reading changes with the inside diameter and with the section.
    pub(crate) fn by_size(&self) -> impl Iterator<Item = [f64; 2]> {
        let read = self.predictions.iter().take(self.count());
        read.map(|prediction| [prediction.slopes[0], prediction.slopes[1]])
    }

    /// Returns a cell of the inverse covariance.
    pub(crate) fn precision(&self, row: usize, column: usize) -> f64 {
        self.precision.get(row, column)
    }

    /// Predicts a reading not yet taken: its mean and variance given those that were, instrument not counted.
    pub(crate) fn predict_next(&self, next: &Prediction) -> (f64, f64) {
        let count = self.precision.size();
        let mut with = [0.0; MOST];
        for (at, prediction) in self.predictions.iter().take(count).enumerate() {
            with[at] = shared(next, prediction, &self.latent);
        }
        let mut mean = next.value;
        let mut variance = shared(next, next, &self.latent);
        for row in 0..count {
            mean += with[row] * self.weighted[row];
            for column in 0..count {
                variance -= with[row] * self.precision.get(row, column) * with[column];
            }
        }
        (mean, variance.max(0.0))
    }
}

/// Returns the log odds of a slip against an honest reading, with the density of the slipped value.
pub(crate) fn slip_log_odds(value: f64) -> f64 {
    libm::log(SLIP_SHARE / (1.0 - SLIP_SHARE) / (value.abs() * SLIP_LOG_RANGE))
}

/// Returns the log probability that none of `count` readings is a slip.
pub(crate) fn log_honest(count: usize) -> f64 {
    count as f64 * libm::log1p(-SLIP_SHARE)
}
