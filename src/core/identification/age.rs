//! What age has done to a ring, and what it was when it was moulded.

use super::candidates::Candidates;
use super::evidence::Evidence;
use super::likelihood::LinearModel;
use super::posterior::Contender;
use crate::core::uncertainty::{log_sum_exp, normal_cdf};

/// Holds an estimate with the interval that holds the truth in 95 of 100 cases.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Estimate {
    /// Mean.
    pub mean: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// Holds what age has done to a ring, averaged over the rings that it may be.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Age {
    /// Set in per cent of the height: how much flatter the section is than it was.
    pub set_pct: Estimate,
    /// Swell of every length in per cent; negative where the ring has shrunk.
    pub swell_pct: Estimate,
}

/// Holds the ring as it was moulded, in millimetres, whatever is listed.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Moulded {
    /// Inside diameter.
    pub id_mm: Estimate,
    /// Section.
    pub cs_mm: Estimate,
}

/// Rings that hold less than this share say nothing of the age.
const LEAST_SHARE: f64 = 1e-3;
/// A reading that is more likely a slip than not says nothing of the age.
const SLIPPED: f64 = 0.5;
const PER_CENT: f64 = 100.0;

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
            let models: Vec<_> = kept
                .wear
                .modes
                .iter()
                .filter_map(|mode| {
                    Some((mode, LinearModel::new(contender.candidate, &kept, mode)?))
                })
                .collect();
            let all = log_sum_exp(
                models
                    .iter()
                    .map(|(mode, m)| mode.log_weight + m.log_density),
            );
            for (mode, model) in &models {
                let weight = share * libm::exp(mode.log_weight + model.log_density - all);
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
            .filter(|c| c.at >= candidates.listed.len());
        let total = log_sum_exp(background.clone().map(|c| c.log_weight));
        let (mut ids, mut sections) = (Vec::new(), Vec::new());
        for contender in background {
            let share = libm::exp(contender.log_weight - total);
            let models = evidence.wear.modes.iter().filter_map(|mode| {
                Some((
                    mode.log_weight,
                    LinearModel::new(contender.candidate, evidence, mode)?,
                ))
            });
            let models: Vec<_> = models.collect();
            let all = log_sum_exp(models.iter().map(|(w, m)| w + m.log_density));
            for (log_weight, model) in &models {
                let weight = share * libm::exp(log_weight + model.log_density - all);
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
        const STEPS: usize = 50;
        const REACH: f64 = 6.0;
        let total: f64 = parts.iter().map(|(w, _, _)| w).sum();
        if total <= 0.0 {
            return None;
        }
        let sd = |variance: f64| libm::sqrt(variance.max(1e-12));
        let below = |x: f64| -> f64 {
            let parts = parts
                .iter()
                .map(|(w, mean, v)| w * normal_cdf((x - mean) / sd(*v)));
            parts.sum::<f64>() / total
        };
        let ends = parts.iter().fold(
            (f64::INFINITY, f64::NEG_INFINITY),
            |(low, high), (_, m, v)| (low.min(m - REACH * sd(*v)), high.max(m + REACH * sd(*v))),
        );
        let quantile = |share: f64| {
            let (mut low, mut high) = ends;
            for _ in 0..STEPS {
                let middle = 0.5 * (low + high);
                if below(middle) < share {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            0.5 * (low + high) * scale
        };
        Some(Self {
            mean: parts.iter().map(|(w, m, _)| w * m).sum::<f64>() / total * scale,
            low: quantile(TAIL),
            high: quantile(1.0 - TAIL),
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
}
