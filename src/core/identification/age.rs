//! What age has done to a ring, and what it was when it was moulded.

use super::candidates::{Candidates, Stand};
use super::evidence::Evidence;
use super::forecast::Forecast;
use super::posterior::Contender;
use crate::core::uncertainty::{log_sum_exp, normal_cdf, normal_quantile};

/// An estimate with the interval that holds the truth in 95 of 100 cases.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Estimate {
    pub mean: f64,
    pub low: f64,
    pub high: f64,
}

/// What age has done to a ring, averaged over the rings that it may be.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Age {
    /// Set in per cent of the height: how much flatter the section is than it was.
    pub set_pct: Estimate,
    /// Swell of every length in per cent; negative where the ring has shrunk.
    pub swell_pct: Estimate,
}

/// The ring as it was moulded, in millimetres, whatever is listed.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Moulded {
    pub id_mm: Estimate,
    pub cs_mm: Estimate,
}

/// Rings that hold less than this share say nothing of the age.
const LEAST_SHARE: f64 = 1e-3;
/// A reading that is more likely a slip than not says nothing of the age.
const SLIPPED: f64 = 0.5;
const PER_CENT: f64 = 100.0;
const ROOT_TWO_PI: f64 = 2.506_628_274_631_000_7;

impl Age {
    /// Averages set and swell over contenders and wear modes; `None` without a reading.
    pub(crate) fn of(
        contenders: &[Contender<'_>],
        evidence: &Evidence,
        slips: &[f64],
    ) -> Option<Self> {
        let kept = evidence.keeping(|at| slips[at] <= SLIPPED)?;
        let total = log_sum_exp(contenders.iter().map(|c| c.log_weight));
        let (mut sets, mut swells) = (Vec::new(), Vec::new());
        for contender in contenders {
            let share = libm::exp(contender.log_weight - total);
            if share < LEAST_SHARE {
                continue;
            }
            for (of_mode, mode, model) in Forecast::new(contender.candidate, &kept).modes {
                let weight = share * of_mode;
                let (mean, covariance) = model.latents();
                swells.push((weight, mode.swell_mean + mean[2], covariance[2][2]));
                sets.push((weight, mode.set_mean + mean[3], covariance[3][3]));
            }
        }
        Some(Self {
            set_pct: Estimate::of_mixture(&sets, PER_CENT)?.not_below_zero(),
            swell_pct: Estimate::of_mixture(&swells, PER_CENT)?,
        })
    }
}

impl Moulded {
    /// Takes the estimate of the broad densities, which know no list; `None` without a reading.
    pub(crate) fn of(
        contenders: &[Contender<'_>],
        candidates: &Candidates,
        evidence: &Evidence,
    ) -> Option<Self> {
        if evidence.observations.is_empty() {
            return None;
        }
        let background = contenders
            .iter()
            .filter(|c| candidates.stand(c.at) == Stand::Broad);
        let total = log_sum_exp(background.clone().map(|c| c.log_weight));
        let (mut ids, mut sections) = (Vec::new(), Vec::new());
        for contender in background {
            let share = libm::exp(contender.log_weight - total);
            for (of_mode, _, model) in Forecast::new(contender.candidate, evidence).modes {
                let weight = share * of_mode;
                let (mean, covariance) = model.latents();
                ids.push((weight, contender.candidate.d1 + mean[0], covariance[0][0]));
                sections.push((weight, contender.candidate.d2 + mean[1], covariance[1][1]));
            }
        }
        Some(Self {
            id_mm: Estimate::of_mixture(&ids, 1.0)?,
            cs_mm: Estimate::of_mixture(&sections, 1.0)?,
        })
    }
}

impl Estimate {
    /// Takes mean and interval of a mixture of normal laws (weight, mean, variance), times a scale.
    fn of_mixture(parts: &[(f64, f64, f64)], scale: f64) -> Option<Self> {
        const TAIL: f64 = 0.025;
        let mixture = Mixture::of(parts)?;
        Some(Self {
            mean: mixture.mean * scale,
            low: mixture.quantile(TAIL) * scale,
            high: mixture.quantile(1.0 - TAIL) * scale,
        })
    }

    fn not_below_zero(self) -> Self {
        Self {
            mean: self.mean.max(0.0),
            low: self.low.max(0.0),
            high: self.high.max(0.0),
        }
    }
}

/// A mixture of normal laws: share, mean and standard deviation of each.
struct Mixture {
    parts: Vec<(f64, f64, f64)>,
    mean: f64,
    sd: f64,
}

impl Mixture {
    /// Takes parts as (weight, mean, variance); `None` where nothing weighs anything.
    fn of(parts: &[(f64, f64, f64)]) -> Option<Self> {
        // Parts this light, all of them together, move an interval by less than it is printed with.
        const LIGHT: f64 = 1e-6;
        const LEAST_VARIANCE: f64 = 1e-12;
        let whole: f64 = parts.iter().map(|(w, _, _)| w).sum();
        let heavy = |(w, _, _): &&(f64, f64, f64)| *w > LIGHT * whole;
        let total: f64 = parts.iter().filter(heavy).map(|(w, _, _)| w).sum();
        if total <= 0.0 {
            return None;
        }
        let parts: Vec<_> = parts
            .iter()
            .filter(heavy)
            .map(|(w, mean, v)| (w / total, *mean, libm::sqrt(v.max(LEAST_VARIANCE))))
            .collect();
        let mean: f64 = parts.iter().map(|(w, m, _)| w * m).sum();
        let spread = |(w, m, sd): &(f64, f64, f64)| w * (sd * sd + (m - mean) * (m - mean));
        let sd = libm::sqrt(parts.iter().map(spread).sum());
        Some(Self { parts, mean, sd })
    }

    /// Finds the value that a share of the mixture lies below, to a ten-millionth of its spread, by Newton's method
    /// inside a bracket that halves whenever a step would leave it.
    fn quantile(&self, share: f64) -> f64 {
        const STEPS: usize = 60;
        const CLOSE: f64 = 1e-7;
        // At least this many spreads hold 2.5 % on each side of any law (Chebyshev: 1/k² = 0.025 at 6.3).
        const REACH: f64 = 6.4;
        let (mut low, mut high) = (self.mean - REACH * self.sd, self.mean + REACH * self.sd);
        let mut x = self.mean + normal_quantile(share) * self.sd;
        for _ in 0..STEPS {
            let (below, density) = self.law(x);
            if below < share {
                low = x;
            } else {
                high = x;
            }
            let step = (share - below) / density;
            if step.abs() < CLOSE * self.sd {
                break;
            }
            let next = x + step;
            x = if next > low && next < high {
                next
            } else {
                0.5 * (low + high)
            };
        }
        x
    }

    /// Returns the share below a value and the density there.
    fn law(&self, x: f64) -> (f64, f64) {
        const FAR: f64 = 7.0;
        let (mut below, mut density) = (0.0, 0.0);
        for (weight, mean, sd) in &self.parts {
            let z = (x - mean) / sd;
            if z > FAR {
                below += weight;
            } else if z > -FAR {
                below += weight * normal_cdf(z);
                density += weight * libm::exp(-0.5 * z * z) / (sd * ROOT_TWO_PI);
            }
        }
        (below, density)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_interval_of_one_normal_law_is_its_own() {
        // 95 % of a normal law lies within 1.959964 standard deviations.
        let estimate = Estimate::of_mixture(&[(0.3, 2.0, 4.0)], 1.0).expect("a weight");
        assert!((estimate.mean - 2.0).abs() < 1e-12);
        assert!((estimate.low - (2.0 - 2.0 * 1.959_964)).abs() < 1e-5);
        assert!((estimate.high - (2.0 + 2.0 * 1.959_964)).abs() < 1e-5);
    }

    #[test]
    fn the_interval_of_two_laws_far_apart_is_found_between_them() {
        // 2 % of the weight lies far below; the lower end then cuts 0.5 / 98 off the main law, whose standard normal
        // quantile is -2.5688357 (quantile of 0.005 / 0.98), and the upper end 2.5 / 98, which is 1.9513081 (1 - 0.025 / 0.98);
        // both by Python's statistics.NormalDist. A density near zero between the laws must not throw the search out.
        let parts = [(0.02, -50.0, 1e-4), (0.98, 1.0, 0.25), (1e-9, 900.0, 1.0)];
        let estimate = Estimate::of_mixture(&parts, 1.0).expect("a weight");
        assert!(
            (estimate.low - (1.0 - 0.5 * 2.568_835_7)).abs() < 1e-4,
            "{estimate:?}"
        );
        assert!(
            (estimate.high - (1.0 + 0.5 * 1.951_308_1)).abs() < 1e-4,
            "{estimate:?}"
        );
    }
}
