//! How likely the readings are if the ring is a given candidate.

use super::candidates::Candidate;
use super::evidence::Evidence;
use super::sensitivity::{LATENTS, Nominal, Prediction, predict};
use super::small_matrix::{MOST, SmallMatrix};
use super::wear::{Squeeze, WearMode};
use crate::core::measurement::Measurand;
use crate::core::uncertainty::{HALF_LN_TWO_PI, log_sum_exp, normal_log_density};

/// The share of readings that are slips: misread, mistyped, or of another ring. Recalled from practice, no source.
const SLIP_SHARE: f64 = 0.01;
/// A slip can be any length from a third of a millimetre to 700 mm, all ratios alike: density 1/(y ln(700/0.3)).
const SLIP_LOG_RANGE: f64 = 7.755_1;
/// A reading farther than this many standard deviations from a listed ring is a slip or of another ring.
pub(crate) const FAR_FROM_LISTED: f64 = 7.0;
/// The same for a broad density of the background, whose neighbours cover what lies farther off.
pub(crate) const FAR_FROM_BACKGROUND: f64 = 4.0;

/// Holds what a candidate makes of the readings.
#[derive(Debug, Clone)]
pub(crate) struct Fit {
    /// Log likelihood over all wear modes, slips allowed.
    pub(crate) log_likelihood: f64,
    /// Root mean square of the misfits in standard deviations in the best wear mode, no slip assumed.
    pub(crate) misfit: f64,
    /// For each reading, the probability that it is a slip.
    pub(crate) slips: [f64; MOST],
}

/// Holds the readings' predictions for one candidate in one wear mode, and what the residuals say.
#[derive(Debug, Clone)]
pub(crate) struct LinearModel {
    predictions: [Prediction; MOST],
    /// Inverse covariance of the readings.
    precision: SmallMatrix,
    /// Inverse covariance times residuals.
    weighted: [f64; MOST],
    /// Prior variances of the latent deviations.
    latent: [f64; LATENTS],
    /// Squared misfit in standard deviations.
    square: f64,
    /// Log density of the readings, none of them a slip.
    pub(crate) log_density: f64,
}

fn latent_variances(candidate: &Candidate, mode: &WearMode) -> [f64; LATENTS] {
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
fn shared(a: &Prediction, b: &Prediction, latent: &[f64; LATENTS]) -> f64 {
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
        Measurand::Id | Measurand::Od if mode.squeeze == Squeeze::Unknown => {
            (mode.set_mean * mode.set_mean + mode.set_variance) * ring.d2 * ring.d2
        }
        _ => 0.0,
    }
}

/// Weighs the readings for one candidate in the one mode that covers all wear; `None` where they lie so far off that it
/// need not be thought of (`far` standard deviations, slips allowed).
///
/// Readings that lie far off are taken as slips, since nothing else could make this candidate likely.
pub(crate) fn first_look(candidate: &Candidate, evidence: &Evidence, far: f64) -> Option<Fit> {
    let count = evidence.observations.len();
    let (slipped, far_square) = far_readings(candidate, evidence, far);
    let far_count = slipped.iter().filter(|s| **s).count();
    if far_count > most_slips(count) {
        return None;
    }
    let mode = &evidence.broad_mode;
    if far_count == 0 {
        let model = LinearModel::new(candidate, evidence, mode)?;
        let (log_likelihood, slips) = model.with_slips(evidence);
        return Some(Fit {
            log_likelihood,
            misfit: libm::sqrt(model.square / count as f64),
            slips,
        });
    }
    let model = LinearModel::without(candidate, evidence, mode, slipped)?;
    let mut slips = [0.0; MOST];
    let mut log_likelihood = model.log_density + evidence.log_honest;
    for (at, odds) in evidence.slip_log_odds.iter().enumerate().take(count) {
        if slipped[at] {
            slips[at] = 1.0;
            log_likelihood += odds;
        }
    }
    Some(Fit {
        log_likelihood,
        misfit: libm::sqrt((model.square + far_square) / count as f64),
        slips,
    })
}

/// Weighs the readings for one candidate over all wear modes; `None` only where a covariance cannot be inverted.
pub(crate) fn fit(candidate: &Candidate, evidence: &Evidence) -> Option<Fit> {
    let count = evidence.observations.len();
    let mut ways = [0.0; MOST_MODES];
    let mut mode_slips = [[0.0; MOST]; MOST_MODES];
    let mut least_square = f64::INFINITY;
    let modes = &evidence.modes[..evidence.modes.len().min(MOST_MODES)];
    for (at, mode) in modes.iter().enumerate() {
        let model = LinearModel::new(candidate, evidence, mode)?;
        least_square = least_square.min(model.square);
        let (log_likelihood, slips) = model.with_slips(evidence);
        ways[at] = mode.log_weight + log_likelihood;
        mode_slips[at] = slips;
    }
    let ways = &ways[..modes.len()];
    let total = log_sum_exp(ways.iter().copied());
    let mut slips = [0.0; MOST];
    for (way, own) in ways.iter().zip(&mode_slips) {
        let share = libm::exp(way - total);
        for (slip, part) in slips.iter_mut().zip(own).take(count) {
            *slip += share * part;
        }
    }
    Some(Fit {
        log_likelihood: total,
        misfit: libm::sqrt(least_square / count as f64),
        slips,
    })
}

/// The most wear modes of one condition, both directions counted.
const MOST_MODES: usize = 16;

/// Finds the readings that lie farther than `limit` standard deviations off in the broad mode that covers all wear, and
/// the sum of their squared distances.
fn far_readings(candidate: &Candidate, evidence: &Evidence, limit: f64) -> ([bool; MOST], f64) {
    let mode = &evidence.broad_mode;
    let latent = latent_variances(candidate, mode);
    let ring = nominal(candidate, evidence);
    let mut far = [false; MOST];
    let mut sum = 0.0;
    for (is_far, observation) in far.iter_mut().zip(&evidence.observations) {
        let prediction = predict(observation.measurand, ring, mode);
        let own = own_variance(observation.measurand, ring, mode, evidence);
        let variance = observation.variance + own + shared(&prediction, &prediction, &latent);
        let residual = observation.value - prediction.value;
        let square = residual * residual / variance;
        if square > limit * limit {
            *is_far = true;
            sum += square;
        }
    }
    (far, sum)
}

/// One slip among a few readings, two among four or more: beyond that the readings say nothing.
fn most_slips(count: usize) -> usize {
    match count {
        0 | 1 => 0,
        2 | 3 => 1,
        _ => 2,
    }
}

impl LinearModel {
    /// Sets up the linear model of all readings; `None` only where the covariance cannot be inverted.
    pub(crate) fn new(candidate: &Candidate, evidence: &Evidence, mode: &WearMode) -> Option<Self> {
        Self::without(candidate, evidence, mode, [false; MOST])
    }

    /// Sets up the linear model of the readings that are not left out.
    fn without(
        candidate: &Candidate,
        evidence: &Evidence,
        mode: &WearMode,
        left_out: [bool; MOST],
    ) -> Option<Self> {
        let kept = evidence.observations.iter().zip(left_out);
        let kept = kept.filter(|(_, out)| !out).map(|(o, _)| o);
        let count = kept.clone().count();
        let latent = latent_variances(candidate, mode);
        let ring = nominal(candidate, evidence);
        let mut predictions = [Prediction::NONE; MOST];
        let mut residuals = [0.0; MOST];
        let mut covariance = SmallMatrix::zero(count);
        for (row, observation) in kept.enumerate() {
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
        let log_density = -0.5 * (square + log_determinant) - count as f64 * HALF_LN_TWO_PI;
        Some(Self {
            predictions,
            precision,
            weighted,
            latent,
            square,
            log_density,
        })
    }

    /// Sums over which readings are slips; returns the log likelihood and each reading's probability of being one.
    ///
    /// With Λ the inverse covariance and e = Λr, the readings without the j-th have log density
    /// `whole − log N(e_j/Λ_jj; 0, 1/Λ_jj)`; for two left out the same holds with the 2×2 block of Λ.
    fn with_slips(&self, evidence: &Evidence) -> (f64, [f64; MOST]) {
        let count = evidence.observations.len();
        let most = most_slips(count);
        let odds = &evidence.slip_log_odds;
        let mut total = Total::of(self.log_density);
        let mut single = [f64::NEG_INFINITY; MOST];
        let mut double = [f64::NEG_INFINITY; MOST];
        for j in 0..count * usize::from(most >= 1) {
            single[j] = self.log_density - self.left_out_one(j) + odds[j];
            total.add(single[j]);
            for k in 0..j * usize::from(most >= 2) {
                let way = self.log_density - self.left_out_two(j, k) + odds[j] + odds[k];
                total.add(way);
                double[j] = log_sum_exp([double[j], way]);
                double[k] = log_sum_exp([double[k], way]);
            }
        }
        let total = total.log();
        let mut slips = [0.0; MOST];
        for j in 0..count {
            slips[j] = libm::exp(single[j] - total) + libm::exp(double[j] - total);
        }
        (total + evidence.log_honest, slips)
    }

    fn left_out_one(&self, j: usize) -> f64 {
        let precision = self.precision.get(j, j);
        normal_log_density(self.weighted[j] / precision, 1.0 / precision)
    }

    fn left_out_two(&self, first: usize, second: usize) -> f64 {
        let own_first = self.precision.get(first, first);
        let both = self.precision.get(first, second);
        let own_second = self.precision.get(second, second);
        let determinant = own_first * own_second - both * both;
        let (x, y) = (self.weighted[first], self.weighted[second]);
        let square = (own_second * x * x - 2.0 * both * x * y + own_first * y * y) / determinant;
        -2.0 * HALF_LN_TWO_PI + 0.5 * libm::log(determinant) - 0.5 * square
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

/// Sums probabilities kept as logarithms, one at a time.
struct Total {
    greatest: f64,
    sum: f64,
}

impl Total {
    fn of(value: f64) -> Self {
        Self {
            greatest: value,
            sum: 1.0,
        }
    }

    fn add(&mut self, value: f64) {
        if value > self.greatest {
            self.sum = self.sum * libm::exp(self.greatest - value) + 1.0;
            self.greatest = value;
        } else {
            self.sum += libm::exp(value - self.greatest);
        }
    }

    fn log(&self) -> f64 {
        self.greatest + libm::log(self.sum)
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
