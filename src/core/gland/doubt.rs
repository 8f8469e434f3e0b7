//! Which dimension carries the doubt about a figure.

use super::column::{Column, Moments, ZERO, dot};
use super::figure::Figure;
use super::judgement::Service;
use super::law::Spread;
use super::ring::GlandRing;
use super::survey::{FIGURES, FigureSpread};
use serde::Serialize;

/// The shares of the variance of one figure.
#[derive(Debug, Clone, Serialize)]
pub struct Doubt {
    /// The figure by its key in machine output.
    pub figure: &'static str,
    #[serde(skip)]
    pub words: &'static str,
    #[serde(skip)]
    pub(super) kind: Figure,
    /// Shares, the greatest first; what is missing to 1 comes from dimensions acting together.
    pub shares: Vec<DoubtShare>,
}

/// The share of one dimension.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DoubtShare {
    /// Word of the dimension.
    pub dimension: &'static str,
    /// Share of the variance, 0 to 1.
    pub share: f64,
    #[serde(skip)]
    of_ring: bool,
}

const RING_ID: &str = "ring inside diameter";
const RING_SECTION: &str = "ring section";
const SECTION_LAW: &str = "law of section loss";

impl DoubtShare {
    /// Returns what to do about it.
    pub(super) fn remedy(&self) -> String {
        if self.dimension == SECTION_LAW {
            "the published laws of how a stretched ring loses section disagree".to_owned()
        } else if self.of_ring {
            format!(
                "measure the {} of that ring",
                self.dimension.trim_start_matches("ring ")
            )
        } else {
            format!("measure the {} again", self.dimension)
        }
    }
}

/// Only so many samples go into the shares; more would not move them by a per cent.
const ENOUGH: usize = 16_384;

/// Gathers the sums from which means, deviations and first-order shares follow.
///
/// The share of a dimension is the part of the variance that a parabola in its deviate explains (deviate and its square made
/// orthogonal): first-order in the sense of Sobol, exact for figures that bend no more than a parabola.
#[derive(Debug)]
pub(super) struct DoubtSums {
    names: Vec<(&'static str, bool)>,
    spreads: Vec<Spread>,
    origin: [f64; FIGURES.len()],
    count: usize,
    moments: [Moments; FIGURES.len()],
    /// Whether the batch that was begun goes into the shares.
    regressing: bool,
    /// Samples that went into the shares.
    regressed: usize,
    regressed_moments: [Moments; FIGURES.len()],
    /// For each dimension: sums of z, z², z³, z⁴.
    powers: Vec<[f64; 4]>,
    /// For each dimension and figure: sums of z y, z² y.
    products: Vec<[[f64; 2]; FIGURES.len()]>,
}

impl DoubtSums {
    pub(super) fn new(spreads: &[Spread], ring: &GlandRing, service: &Service<'_>) -> Self {
        let mut names: Vec<(&'static str, bool)> = service
            .geometry
            .dimensions()
            .iter()
            .map(|(d, _)| (d.word(), false))
            .collect();
        names.extend([(RING_ID, true), (RING_SECTION, true), (SECTION_LAW, true)]);
        let nominal = super::figure::Figures::nominal(service.geometry, ring, &service.states()[0]);
        Self {
            origin: FIGURES.map(|(figure, _, _)| nominal.get(figure)),
            powers: vec![[0.0; 4]; names.len()],
            products: vec![[[0.0; 2]; FIGURES.len()]; names.len()],
            names,
            spreads: spreads.to_vec(),
            count: 0,
            moments: [Moments::NONE; FIGURES.len()],
            regressing: false,
            regressed: 0,
            regressed_moments: [Moments::NONE; FIGURES.len()],
        }
    }

    /// Begins a batch of so many samples with the deviates of every dimension.
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    pub(super) fn begin(&mut self, deviates: &[Column], length: usize) {
        self.regressing = self.count < ENOUGH;
        self.count += length;
        if !self.regressing {
            return;
        }
        self.regressed = self.count;
        for (z, powers) in deviates.iter().zip(&mut self.powers) {
            let (z, squares) = (&z[..length], z.map(|z| z * z));
            let squares = &squares[..length];
            powers[0] += z.iter().sum::<f64>();
            powers[1] += dot(z, z);
            powers[2] += dot(squares, z);
            powers[3] += dot(squares, squares);
        }
    }

    /// Takes the values of one of [`FIGURES`] in for the batch that was begun.
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    pub(super) fn add(&mut self, figure: usize, values: &[f64], deviates: &[Column]) {
        self.moments[figure].add(values, self.origin[figure]);
        if self.regressing {
            self.regress(figure, values, deviates);
        }
    }

    #[cold]
    fn regress(&mut self, figure: usize, values: &[f64], deviates: &[Column]) {
        let mut y = ZERO;
        for (y, value) in y.iter_mut().zip(values) {
            *y = value - self.origin[figure];
        }
        let y = &y[..values.len()];
        for (z, products) in deviates.iter().zip(&mut self.products) {
            let squares = z.map(|z| z * z);
            products[figure][0] += dot(&z[..y.len()], y);
            products[figure][1] += dot(&squares[..y.len()], y);
        }
        self.regressed_moments[figure] = self.moments[figure];
    }

    /// Returns mean and deviation of every figure that the gland has.
    pub(super) fn spreads(&self) -> Vec<FigureSpread> {
        let n = self.count as f64;
        let rows = FIGURES.iter().enumerate().map(|(i, (_, key, _))| {
            let moments = self.moments[i];
            let mean = moments.sum / n;
            FigureSpread {
                figure: key,
                mean: self.origin[i] + mean,
                deviation: libm::sqrt((moments.squares / n - mean * mean).max(0.0)),
                least: self.origin[i] + moments.least,
                greatest: self.origin[i] + moments.greatest,
            }
        });
        rows.filter(|row| row.mean.is_finite()).collect()
    }

    /// Returns the shares of every figure that varies.
    pub(super) fn doubts(&self, service: &Service<'_>) -> Vec<Doubt> {
        const TOO_LITTLE: f64 = 1e-12;
        let loose = |d: usize| {
            let gland = service.geometry.dimensions().len();
            d >= gland + 2 || self.spreads[d].is_loose()
        };
        let mut doubts = Vec::new();
        for (i, (kind, key, words)) in FIGURES.iter().enumerate() {
            let n = self.regressed as f64;
            let Moments { sum, squares, .. } = self.regressed_moments[i];
            let variance = squares / n - sum * sum / (n * n);
            if variance.is_nan() || variance < TOO_LITTLE || *key == "squeeze_mm" {
                continue;
            }
            let mut shares: Vec<DoubtShare> = (0..self.names.len())
                .filter(|d| loose(*d))
                .map(|d| DoubtShare {
                    dimension: self.names[d].0,
                    share: (self.explained(d, i) / variance).clamp(0.0, 1.0),
                    of_ring: self.names[d].1,
                })
                .collect();
            shares.sort_by(|a, b| b.share.total_cmp(&a.share));
            doubts.push(Doubt {
                figure: key,
                words,
                kind: *kind,
                shares,
            });
        }
        doubts
    }

    /// Returns the variance of figure `i` that a parabola in the deviate of dimension `d` explains.
    fn explained(&self, d: usize, i: usize) -> f64 {
        let n = self.regressed as f64;
        let [m1, m2, m3, m4] = self.powers[d].map(|sum| sum / n);
        let y = self.regressed_moments[i].sum / n;
        let [zy, z2y] = self.products[d][i].map(|sum| sum / n);
        let (var_z, cov_z) = (m2 - m1 * m1, zy - m1 * y);
        if var_z <= 0.0 {
            return 0.0;
        }
        let (cov_z_z2, var_z2) = (m3 - m1 * m2, m4 - m2 * m2);
        let slope = cov_z_z2 / var_z;
        let left = var_z2 - slope * cov_z_z2;
        let cov_left = (z2y - m2 * y) - slope * cov_z;
        let bent = if left > 0.0 {
            cov_left * cov_left / left
        } else {
            0.0
        };
        cov_z * cov_z / var_z + bent
    }
}
