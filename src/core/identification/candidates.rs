//! The rings that compete: every listed one, and a smooth background for those that are not listed.

use super::evidence::BAND_95;
use super::prior::Prior;
use crate::core::sizes::{ListedRing, SizeTable};

/// Holds one competing ring, lengths in millimetres.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Candidate {
    /// Nominal inside diameter.
    pub(crate) d1: f64,
    /// Nominal section.
    pub(crate) d2: f64,
    /// Variance of a ring's inside diameter about nominal.
    pub(crate) var1: f64,
    /// Variance of a ring's section about nominal.
    pub(crate) var2: f64,
    /// Logarithm of the prior probability.
    pub(crate) log_prior: f64,
}

/// Holds every ring that competes, with its prior.
#[derive(Debug, Clone)]
pub struct Candidates {
    /// In the order of [`SizeTable::rings`].
    pub(crate) listed: Vec<Candidate>,
    /// Broad normal densities that together follow the density of the listed rings.
    pub(crate) background: Vec<Candidate>,
}

impl Candidates {
    /// Takes the listed rings with a prior.
    pub fn new(table: &SizeTable, prior: &Prior) -> Self {
        let weight = |ring: &ListedRing| -> f64 {
            prior.of_ring(ring.sizes().iter().map(|id| table.size(*id).standard))
        };
        let weights: Vec<f64> = table.rings().iter().map(weight).collect();
        let mut listed: Vec<Candidate> = table
            .rings()
            .iter()
            .map(|ring| {
                let sd1 = ring.id.plus.mm() / BAND_95;
                let sd2 = ring.section.plus.mm() / BAND_95;
                Candidate {
                    d1: ring.id.nominal.mm(),
                    d2: ring.section.nominal.mm(),
                    var1: sd1 * sd1,
                    var2: sd2 * sd2,
                    log_prior: 0.0,
                }
            })
            .collect();
        let background = background(&listed, &weights, prior.unlisted);
        let total: f64 = weights.iter().sum();
        for (candidate, weight) in listed.iter_mut().zip(weights) {
            candidate.log_prior = libm::log((1.0 - prior.unlisted) * weight / total);
        }
        Self { listed, background }
    }
}

/// The ratio between neighbouring broad densities. It is coarse on purpose: a density that knew the gaps between listed
/// sizes would only repeat them.
const RATIO: f64 = 1.35;
/// Its natural logarithm.
const LOG_RATIO: f64 = 0.300_104_592_450_338_3;
/// Standard deviation of a broad density as a share of its centre: the spacing of the grid, so that the sum is smooth.
const SPREAD: f64 = 0.30;
/// The smallest inside diameter and section of the grid, and how many steps it has each way.
const GRID: [(f64, usize); 2] = [(0.8, 24), (0.8, 10)];

/// Lays broad densities on a grid of equal ratios; each takes its share of the listed rings around it.
fn background(listed: &[Candidate], of_ring: &[f64], share: f64) -> Vec<Candidate> {
    let [(least_d1, columns), (least_d2, rows)] = GRID;
    let mut weights = vec![0.0; columns * rows];
    for (ring, weight) in listed.iter().zip(of_ring) {
        let (column, right) = grid_place(ring.d1, least_d1, columns);
        let (row, below) = grid_place(ring.d2, least_d2, rows);
        for (r, row_share) in [(row, 1.0 - below), (row + 1, below)] {
            for (c, column_share) in [(column, 1.0 - right), (column + 1, right)] {
                weights[r * columns + c] += weight * row_share * column_share;
            }
        }
    }
    let total: f64 = of_ring.iter().sum();
    let centre = |least: f64, step: usize| least * libm::pow(RATIO, step as f64);
    weights
        .iter()
        .enumerate()
        .filter(|(_, weight)| **weight > 0.0)
        .map(|(at, weight)| {
            let (d1, d2) = (
                centre(least_d1, at % columns),
                centre(least_d2, at / columns),
            );
            Candidate {
                d1,
                d2,
                var1: SPREAD * SPREAD * d1 * d1,
                var2: SPREAD * SPREAD * d2 * d2,
                log_prior: libm::log(share * weight / total),
            }
        })
        .collect()
}

/// Finds the grid step below a value and how far the value lies towards the next (0 to 1), on the scale of ratios.
fn grid_place(value: f64, least: f64, steps: usize) -> (usize, f64) {
    let place = (libm::log(value / least) / LOG_RATIO).clamp(0.0, (steps - 2) as f64 + 0.999);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the place is clamped to the grid"
    )]
    let step = place as usize;
    (step, place - step as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_logarithm_of_the_ratio_is_right() {
        assert!((libm::log(RATIO) - LOG_RATIO).abs() < 1e-15);
    }

    #[test]
    fn the_priors_sum_to_one_with_the_unlisted_share() {
        let candidates = Candidates::new(SizeTable::shipped(), &Prior::default());
        let sum = |list: &[Candidate]| list.iter().map(|c| libm::exp(c.log_prior)).sum::<f64>();
        assert!((sum(&candidates.listed) - 0.97).abs() < 1e-12);
        assert!((sum(&candidates.background) - 0.03).abs() < 1e-12);
        assert!(candidates.background.len() > 20 && candidates.background.len() < 400);
    }
}
