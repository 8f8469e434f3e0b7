//! What age does to a ring: swell or shrink, and set.

use crate::core::data_table::shipped_rows;
use crate::core::measurement::Condition;
use crate::core::uncertainty::{normal_cdf, normal_log_density};
use serde::Deserialize;
use std::sync::{LazyLock, OnceLock};

/// What a condition does to a ring: swell (factor on lengths) and set (share of the height).
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
pub(crate) struct Wear {
    condition: Condition,
    swell_mean: f64,
    swell_sd: f64,
    set_mean: f64,
    set_sd: f64,
}

/// One way of wear in which everything is nearly linear: a narrow normal range of set, in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct WearMode {
    pub(crate) log_weight: f64,
    pub(crate) swell_mean: f64,
    pub(crate) swell_variance: f64,
    pub(crate) set_mean: f64,
    pub(crate) set_variance: f64,
    /// In which direction the ring was squeezed.
    pub(crate) squeeze: Squeeze,
}

/// Names the direction in which a ring was squeezed in its gland.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Squeeze {
    /// Between bore and groove: the height lies along the radius.
    Radial,
    /// Between faces: the width lies along the radius.
    Axial,
    /// Not known: both are thought of, and the diameters are in doubt by the set either way.
    Unknown,
}

static WEAR: LazyLock<Vec<Wear>> = LazyLock::new(|| shipped_rows!("measurement/conditions.csv"));

/// The ways of wear of one condition.
#[derive(Debug, PartialEq)]
pub(crate) struct WearModes {
    /// Narrow modes that together make the law of wear.
    pub(crate) modes: Vec<WearMode>,
    /// One mode for each law of swell, which together cover all of them: for a first look. The widest is the last.
    pub(crate) broad: Vec<WearMode>,
}

impl WearModes {
    /// Returns the modes of a condition; they are made once.
    pub(crate) fn of(condition: Condition, squeeze: Squeeze) -> &'static Self {
        static MADE: [[OnceLock<WearModes>; 3]; Condition::ALL.len()] =
            [const { [const { OnceLock::new() }; 3] }; Condition::ALL.len()];
        MADE[condition as usize][squeeze as usize].get_or_init(|| {
            let wear = Wear::of(condition);
            Self {
                modes: wear.modes(squeeze),
                broad: wear.broad_modes(squeeze),
            }
        })
    }

    /// Returns the mode that covers the rings that have swollen as most do.
    pub(crate) fn usual(&self) -> &WearMode {
        &self.broad[0]
    }

    /// Returns the mode that covers the rings that have swollen or shrunk farthest.
    pub(crate) fn widest(&self) -> &WearMode {
        &self.broad[self.broad.len() - 1]
    }
}

/// How much set one mode stands for, as a share of the standard deviation of set. What an instrument scatters makes the sum smooth.
const MODE_STEP: f64 = 0.5;
/// The same for the few rings that have swollen far.
const FAR_MODE_STEP: f64 = 1.0;
/// Share of rings that have swollen, shrunk, or stretched on their groove by more than the usual, and by how many times more: set in
/// tension is a change of every length, as swell is. Judgement, no source; new rings have not.
const FAR_SWOLLEN: (f64, f64) = (0.10, 2.5);
/// The range of set goes this many standard deviations beyond its mean.
const SET_REACH: f64 = 4.2;

impl Wear {
    /// Returns what the shipped table says of a condition.
    pub(crate) fn of(condition: Condition) -> Self {
        WEAR.iter()
            .copied()
            .find(|wear| wear.condition == condition)
            .unwrap_or_else(|| panic!("no wear for {condition:?}"))
    }

    /// Parts the wear into modes.
    ///
    /// Set never adds height, so that its law is a normal one cut at zero. It is written as a sum of narrow normal laws, each with
    /// the share, the mean and the variance of half a standard deviation of it, and each for every direction of squeeze that is
    /// thought of.
    pub(crate) fn modes(self, squeeze: Squeeze) -> Vec<WearMode> {
        let directions: &[Squeeze] = match squeeze {
            Squeeze::Unknown => &[Squeeze::Radial, Squeeze::Axial],
            Squeeze::Axial => &[Squeeze::Axial],
            Squeeze::Radial => &[Squeeze::Radial],
        };
        let count = directions.len() as f64;
        let mut modes = Vec::new();
        let steps = [MODE_STEP, FAR_MODE_STEP].map(|step| self.set_by_steps(step));
        for ((swell_share, swell_variance), sets) in self.swells().into_iter().zip(&steps) {
            let total: f64 = sets.iter().map(|(share, ..)| share).sum();
            for (share, set_mean, set_variance) in sets.iter().copied() {
                for squeeze in directions {
                    modes.push(WearMode {
                        log_weight: libm::log(share / total / count * swell_share),
                        swell_mean: self.swell_mean,
                        swell_variance,
                        set_mean,
                        set_variance,
                        squeeze: *squeeze,
                    });
                }
            }
        }
        modes
    }

    /// Parts the law of set into steps above zero: the share, the mean and the variance of each.
    fn set_by_steps(self, step: f64) -> Vec<(f64, f64, f64)> {
        let density = |z: f64| libm::exp(normal_log_density(z, 1.0));
        let mut steps = Vec::new();
        let mut low = -self.set_mean / self.set_sd;
        while low < SET_REACH {
            let high = low + step;
            let share = normal_cdf(high) - normal_cdf(low);
            let mean = (density(low) - density(high)) / share;
            let square = 1.0 + (low * density(low) - high * density(high)) / share;
            steps.push((
                share,
                self.set_mean + self.set_sd * mean,
                self.set_sd * self.set_sd * (square - mean * mean),
            ));
            low = high;
        }
        steps
    }

    /// Returns the laws of swell by their shares, as variances: the usual one, and that of the rings that have swollen far.
    fn swells(self) -> Vec<(f64, f64)> {
        let usual = self.swell_sd * self.swell_sd;
        let (share, times) = FAR_SWOLLEN;
        if self.condition == Condition::New {
            vec![(1.0, usual)]
        } else {
            vec![(1.0 - share, usual), (share, times * times * usual)]
        }
    }

    /// Returns a broad mode for each law of swell: set as if it were one normal law.
    fn broad_modes(self, squeeze: Squeeze) -> Vec<WearMode> {
        let broad = |(share, swell_variance)| WearMode {
            log_weight: libm::log(share),
            swell_mean: self.swell_mean,
            swell_variance,
            set_mean: self.set_mean,
            set_variance: self.set_sd * self.set_sd + self.set_mean * self.set_mean,
            squeeze,
        };
        self.swells().into_iter().map(broad).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_modes_together_have_the_mean_and_spread_of_the_table() {
        for condition in [Condition::Used, Condition::Rough] {
            let wear = Wear::of(condition);
            let modes = wear.modes(Squeeze::Unknown);
            let share = |m: &WearMode| libm::exp(m.log_weight);
            let total: f64 = modes.iter().map(share).sum();
            let mean: f64 = modes.iter().map(|m| share(m) * m.set_mean).sum();
            let square: f64 = modes
                .iter()
                .map(|m| share(m) * (m.set_variance + m.set_mean * m.set_mean))
                .sum();
            let sd = libm::sqrt(square - mean * mean);
            assert!((total - 1.0).abs() < 1e-12);
            // Moments of a normal law cut at zero, with a = mean/sd and λ = φ(a)/Φ(a): mean + sd·λ and
            // sd²(1 − aλ − λ²). The modes end 4.2 standard deviations above the mean.
            let a = wear.set_mean / wear.set_sd;
            let lambda = libm::exp(normal_log_density(a, 1.0)) / normal_cdf(a);
            let cut_mean = wear.set_mean + wear.set_sd * lambda;
            let cut_sd = wear.set_sd * libm::sqrt(1.0 - a * lambda - lambda * lambda);
            assert!((mean / cut_mean - 1.0).abs() < 1e-3, "{mean} {cut_mean}");
            assert!((sd / cut_sd - 1.0).abs() < 1e-3, "{sd} {cut_sd}");
        }
    }
}
