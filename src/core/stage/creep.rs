//! Creep: whether the pressure goes on rising after lock-up, and how long to watch until that can be said.

use crate::core::quantity::{Pressure, PressureUnit, STANDARD_ATMOSPHERE_PA};
use crate::core::uncertainty::{normal_cdf, shares_of_log_weights};
use serde::{Deserialize, Serialize};

/// The creep that is still borne.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CreepLimit {
    /// Rise in bar a minute.
    pub bar_per_min: f64,
}

/// Names what a series says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum CreepCall {
    /// Slower than the limit.
    Still,
    /// Faster than the limit.
    Creeps,
    /// Falls faster than the limit: gas is lost downstream.
    Falls,
    /// Not to be told yet.
    Wait,
}

/// The verdict on a series.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CreepVerdict {
    /// What it says.
    pub call: CreepCall,
    /// Drift in bar a minute once the settling of the gas is taken off.
    pub bar_per_min: f64,
    /// Its standard uncertainty, the noise floor included.
    pub sd_bar_per_min: f64,
    /// Probability that the drift is above the limit.
    pub above_limit: f64,
    /// Rise from the first reading to the last, in bar.
    pub rise_bar: f64,
    /// Time watched, in seconds.
    pub watched_s: f64,
    /// How long to watch in all until it can be told, in seconds; `None` where it is told, or an hour would not do.
    pub watch_until_s: Option<f64>,
    pub limit: CreepLimit,
}

/// Odds at which a series is judged.
const SURE: f64 = 0.95;
/// How many standard uncertainties that is on one side.
const SURE_SIGMA: f64 = 1.645;
/// Settling of trapped gas to the temperature of the hose: spread of its size in bar (3 K, of which each makes 0.034 bar
/// on 10 bar absolute), and the time constants in seconds that are weighed. Recalled orders of size, not measured.
const SETTLING_BAR: f64 = 0.10;
const SETTLING_S: [f64; 4] = [20.0, 45.0, 90.0, 180.0];
/// Noise floor of a drift in bar a minute: a room that drifts by 0.14 K a minute. Recalled order of size.
const FLOOR_BAR_PER_MIN: f64 = 0.005;
/// What a drift may be beforehand, in bar a minute; wide, so that the readings decide.
const DRIFT_BAR_PER_MIN: f64 = 3.0;
/// What the level may be beforehand, in bar about the mean.
const LEVEL_BAR: f64 = 10.0;
/// Longest watch that is proposed, in seconds.
const LONGEST_S: f64 = 3600.0;
const MINUTE_S: f64 = 60.0;

/// Judges a series of two or more readings: seconds after lock-up and the pressure then in bar, in the order of time.
///
/// `reading_sd_bar`: standard uncertainty of one reading against the others, from resolution and stiction of the needle.
/// The model is `p = level + drift·t + a·exp(−t/τ)`: the last term takes the gas that settles after a purge. All three are
/// linear with wide normal priors, and the four values of `τ` are weighed by how well they explain the readings.
pub fn judge_creep(
    points: &[(f64, f64)],
    reading_sd_bar: f64,
    limit: CreepLimit,
) -> Option<CreepVerdict> {
    let (first, last) = (points.first()?, points.last()?);
    let watched = last.0 - first.0;
    if points.len() < 2 || watched <= 0.0 {
        return None;
    }
    let (drift, fitted_sd) = drift_of(points, reading_sd_bar);
    let sd = libm::hypot(fitted_sd, FLOOR_BAR_PER_MIN);
    let above = normal_cdf((drift - limit.bar_per_min) / sd);
    let below = normal_cdf((-limit.bar_per_min - drift) / sd);
    let call = if above >= SURE {
        CreepCall::Creeps
    } else if below >= SURE {
        CreepCall::Falls
    } else if above <= 1.0 - SURE && below <= 1.0 - SURE {
        CreepCall::Still
    } else {
        CreepCall::Wait
    };
    let margin = (drift.abs() - limit.bar_per_min).abs();
    Some(CreepVerdict {
        call,
        bar_per_min: drift,
        sd_bar_per_min: sd,
        above_limit: above,
        rise_bar: last.1 - first.1,
        watched_s: watched,
        watch_until_s: if call == CreepCall::Wait {
            watch_until(points, reading_sd_bar, margin)
        } else {
            None
        },
        limit,
    })
}

/// Returns how long to watch until a drift this far from the limit could be told, readings going on at the same pace.
fn watch_until(points: &[(f64, f64)], reading_sd_bar: f64, margin: f64) -> Option<f64> {
    let first = points.first()?.0;
    let watched = points.last()?.0 - first;
    let pace = (watched / (points.len() - 1) as f64).max(MINUTE_S / 2.0);
    let mut points = points.to_vec();
    let mut time = first + watched;
    while time - first < LONGEST_S {
        time += pace;
        points.push((time, 0.0));
        let sd = TAUS_BY_COVARIANCE
            .map(|tau| posterior(&points, reading_sd_bar, tau).drift_sd)
            .into_iter()
            .fold(0.0, f64::max);
        if margin >= SURE_SIGMA * libm::hypot(sd, FLOOR_BAR_PER_MIN) {
            return Some(time - first);
        }
    }
    None
}

/// The slowest settlings hide a drift longest; they decide how long to watch.
const TAUS_BY_COVARIANCE: [f64; 2] = [90.0, 180.0];

/// Returns the drift in bar a minute with its standard uncertainty, over all settling times.
fn drift_of(points: &[(f64, f64)], sd: f64) -> (f64, f64) {
    let fits = SETTLING_S.map(|tau| posterior(points, sd, tau));
    let weights = shares_of_log_weights(&fits.map(|fit| fit.log_evidence));
    let mean: f64 = fits.iter().zip(&weights).map(|(f, w)| w * f.drift).sum();
    let variance: f64 = fits
        .iter()
        .zip(&weights)
        .map(|(f, w)| w * (f.drift_sd * f.drift_sd + (f.drift - mean) * (f.drift - mean)))
        .sum();
    (mean, libm::sqrt(variance))
}

#[derive(Debug, Clone, Copy)]
struct Posterior {
    drift: f64,
    drift_sd: f64,
    log_evidence: f64,
}

/// Bayesian linear regression with known noise (Bishop, Pattern Recognition and Machine Learning, 3.3 and 3.5, recalled).
fn posterior(points: &[(f64, f64)], sd: f64, tau: f64) -> Posterior {
    let start = points.first().map_or(0.0, |p| p.0);
    let centre = points.iter().map(|p| p.1).sum::<f64>() / points.len() as f64;
    let priors = [LEVEL_BAR, DRIFT_BAR_PER_MIN, SETTLING_BAR];
    let mut matrix = [[0.0; 3]; 3];
    let mut pull = [0.0; 3];
    for (i, prior) in priors.into_iter().enumerate() {
        matrix[i][i] = 1.0 / (prior * prior);
    }
    let mut squares = 0.0;
    for (time, pressure) in points {
        let since = time - start;
        let basis = [1.0, since / MINUTE_S, libm::exp(-since / tau)];
        let y = pressure - centre;
        squares += y * y;
        for i in 0..3 {
            pull[i] += basis[i] * y / (sd * sd);
            for j in 0..3 {
                matrix[i][j] += basis[i] * basis[j] / (sd * sd);
            }
        }
    }
    let (inverse, determinant) = inverted(&matrix);
    let mean: [f64; 3] = std::array::from_fn(|i| (0..3).map(|j| inverse[i][j] * pull[j]).sum());
    let explained: f64 = (0..3).map(|i| mean[i] * pull[i]).sum();
    Posterior {
        drift: mean[1],
        drift_sd: libm::sqrt(inverse[1][1]),
        log_evidence: -0.5 * libm::log(determinant) + 0.5 * (explained - squares / (sd * sd)),
    }
}

/// Inverts a symmetric positive matrix by its cofactors.
fn inverted(matrix: &[[f64; 3]; 3]) -> ([[f64; 3]; 3], f64) {
    let minor = |row: usize, column: usize| {
        let rows = [(row + 1) % 3, (row + 2) % 3];
        let columns = [(column + 1) % 3, (column + 2) % 3];
        matrix[rows[0]][columns[0]] * matrix[rows[1]][columns[1]]
            - matrix[rows[0]][columns[1]] * matrix[rows[1]][columns[0]]
    };
    let determinant: f64 = (0..3)
        .map(|column| matrix[0][column] * minor(0, column))
        .sum();
    let inverse =
        std::array::from_fn(|row| std::array::from_fn(|column| minor(column, row) / determinant));
    (inverse, determinant)
}

/// Returns the leak in standard millilitres a minute that makes a drift in a closed volume: `q = V dP/dt/Patm`.
pub fn leak_ml_per_min(volume_ml: f64, bar_per_min: f64) -> f64 {
    let rate = Pressure::gauge(bar_per_min.abs(), PressureUnit::Bar)
        .map_or(0.0, |p| p.gauge_in(PressureUnit::Pa));
    (volume_ml * rate / STANDARD_ATMOSPHERE_PA).copysign(bar_per_min)
}

#[cfg(test)]
mod tests {
    use super::*;

    const LIMIT: CreepLimit = CreepLimit { bar_per_min: 0.023 };

    fn judge(rate: f64, minutes: u32) -> Option<CreepVerdict> {
        let times = (0..=minutes).map(f64::from);
        let points: Vec<(f64, f64)> = times.map(|t| (t * 60.0, 9.8 + rate * t)).collect();
        judge_creep(&points, 0.02, LIMIT)
    }

    #[test]
    fn a_still_needle_is_still_and_a_rising_one_creeps() {
        let call = |rate, minutes| judge(rate, minutes).expect("judged").call;
        assert_eq!(call(0.0, 10), CreepCall::Still);
        assert_eq!(call(0.07, 10), CreepCall::Creeps);
        assert_eq!(call(-0.07, 10), CreepCall::Falls);
    }

    #[test]
    fn too_short_a_watch_says_how_long_to_wait() {
        let verdict = judge(0.0, 1).expect("judged");
        assert_eq!(verdict.call, CreepCall::Wait);
        let until = verdict.watch_until_s.expect("an hour does");
        assert!((120.0..1800.0).contains(&until), "{until}");
        assert!(judge(0.0, 0).is_none());
    }

    #[test]
    fn a_cofactor_inverse_gives_the_unit_matrix() {
        let m = [[4.0, 1.0, 0.5], [1.0, 3.0, 0.2], [0.5, 0.2, 2.0]];
        let (inverse, _) = inverted(&m);
        for (r, row) in m.iter().enumerate() {
            for c in 0..3 {
                let sum: f64 = row.iter().zip(&inverse).map(|(m, i)| m * i[c]).sum();
                let one = if r == c { 1.0 } else { 0.0 };
                assert!((sum - one).abs() < 1e-12, "{r} {c}");
            }
        }
    }
}
