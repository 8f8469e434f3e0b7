//! The likelihood of readings from a worked-out block: a quadratic form, with slips summed in where they matter.
//!
//! A block holds, for one candidate in one wear mode: the predicted readings; the inverse covariance Λ by rows of its lower
//! triangle; for each reading the constant of its slip term; and the log density of readings that agree exactly.

use super::evidence::Evidence;
use super::likelihood::{LinearModel, most_slips};
use super::small_matrix::MOST;
use crate::core::uncertainty::HALF_LN_TWO_PI;

/// The values of one set of readings, as the quadratic forms need them.
#[derive(Debug)]
pub(crate) struct Seen {
    pub(crate) count: usize,
    pub(crate) values: [f64; MOST],
    odds: [f64; MOST],
    /// How many slips are thought of.
    pub(crate) most_slips: usize,
}

impl Seen {
    pub(crate) fn new(evidence: &Evidence) -> Self {
        let mut values = [0.0; MOST];
        for (value, observation) in values.iter_mut().zip(&evidence.observations) {
            *value = observation.value;
        }
        let count = evidence.observations.len();
        Self {
            count,
            values,
            odds: evidence.slip_log_odds,
            most_slips: most_slips(count),
        }
    }
}

/// Returns how many numbers the block of `count` readings has.
pub(crate) const fn block_size(count: usize) -> usize {
    count + count * (count + 1) / 2 + count + 1
}

/// Writes the block of a model; `log_weight` goes into its front.
pub(crate) fn block_cells(model: &LinearModel, log_weight: f64, cells: &mut Vec<f64>) {
    let count = model.count();
    cells.extend(model.predicted());
    for row in 0..count {
        cells.extend((0..=row).map(|column| model.precision(row, column)));
    }
    for row in 0..count {
        cells.push(HALF_LN_TWO_PI - 0.5 * libm::log(model.precision(row, row)));
    }
    cells.push(model.log_peak + log_weight);
}

/// A term whose logarithm lies this far below the leading one is left out: it changes the odds by less than a
/// hundredth of a thousandth.
const NEGLIGIBLE: f64 = -11.5;

/// Gathers what several wear modes make of the readings.
#[derive(Debug)]
pub(crate) struct Gathering {
    greatest: f64,
    sum: f64,
    slips: [f64; MOST],
    /// Least squared misfit, no slip assumed.
    pub(crate) square: f64,
    /// In a first look the greatest term stands for the sum, so that no exponential is needed.
    first_look: bool,
}

impl Gathering {
    pub(crate) fn new(first_look: bool) -> Self {
        Self {
            greatest: f64::NEG_INFINITY,
            sum: 0.0,
            slips: [0.0; MOST],
            square: f64::INFINITY,
            first_look,
        }
    }

    /// Adds the term in which the two readings (or one, or none) are slips.
    fn add(&mut self, term: f64, slipped: [Option<usize>; 2]) {
        if self.first_look {
            self.greatest = self.greatest.max(term);
            return;
        }
        let mut part = 1.0;
        if term > self.greatest {
            let less = libm::exp(self.greatest - term);
            self.sum *= less;
            for slip in &mut self.slips {
                *slip *= less;
            }
            self.greatest = term;
        } else if term > self.greatest + NEGLIGIBLE {
            part = libm::exp(term - self.greatest);
        } else {
            return;
        }
        self.sum += part;
        for reading in slipped.into_iter().flatten() {
            self.slips[reading] += part;
        }
    }

    /// Returns the log likelihood.
    pub(crate) fn log_likelihood(&self) -> f64 {
        if self.first_look {
            self.greatest
        } else {
            self.greatest + libm::log(self.sum)
        }
    }

    /// Returns the probability of each reading being a slip.
    pub(crate) fn slips(&self) -> [f64; MOST] {
        self.slips.map(|slip| slip / self.sum)
    }

    /// Weighs the readings with blocks, one a wear mode.
    pub(crate) fn take(&mut self, cells: &[f64], seen: &Seen) {
        for block in cells.chunks_exact(block_size(seen.count)) {
            match seen.count {
                0 => self.weigh::<0>(block, seen),
                1 => self.weigh::<1>(block, seen),
                2 => self.weigh::<2>(block, seen),
                3 => self.weigh::<3>(block, seen),
                4 => self.weigh::<4>(block, seen),
                5 => self.weigh::<5>(block, seen),
                6 => self.weigh::<6>(block, seen),
                7 => self.weigh::<7>(block, seen),
                _ => self.weigh::<8>(block, seen),
            }
        }
    }

    fn weigh<const N: usize>(&mut self, cells: &[f64], seen: &Seen) {
        let (predicted, rest) = cells.split_at(N);
        let (lower, rest) = rest.split_at(N * (N + 1) / 2);
        let (constants, front) = rest.split_at(N);
        let mut away = [0.0; N];
        for ((away, value), predicted) in away.iter_mut().zip(&seen.values).zip(predicted) {
            *away = value - predicted;
        }
        let mut weighted = [0.0; N];
        let mut at = 0;
        for row in 0..N {
            for column in 0..row {
                weighted[row] += lower[at] * away[column];
                weighted[column] += lower[at] * away[row];
                at += 1;
            }
            weighted[row] += lower[at] * away[row];
            at += 1;
        }
        let mut square = 0.0;
        let mut likeliest = f64::NEG_INFINITY;
        for row in 0..N {
            square += weighted[row] * away[row];
            likeliest = likeliest.max(constants[row] + seen.odds[row]);
        }
        let honest = front[0] - 0.5 * square;
        self.square = self.square.min(square);
        self.add(honest, [None, None]);
        // No slip term exceeds its constant by more than half the whole square.
        let ceiling = 0.5 * square + likeliest;
        if seen.most_slips > 0
            && ceiling > NEGLIGIBLE
            && honest + ceiling > self.greatest + NEGLIGIBLE
        {
            self.add_slips(honest, lower, constants, &weighted, seen);
        }
    }

    /// Adds the terms in which one or two readings are slips.
    ///
    /// With Λ the inverse covariance and e = Λr, the readings without the j-th have log density
    /// `whole − log N(e_j/Λ_jj; 0, 1/Λ_jj)`; for two left out the same holds with the 2×2 block of Λ.
    fn add_slips(
        &mut self,
        honest: f64,
        lower: &[f64],
        constants: &[f64],
        weighted: &[f64],
        seen: &Seen,
    ) {
        let cell = |row: usize, column: usize| lower[row * (row + 1) / 2 + column];
        for (j, x) in weighted.iter().enumerate() {
            let own = 0.5 * x * x / cell(j, j);
            self.add(honest + constants[j] + seen.odds[j] + own, [Some(j), None]);
            for k in 0..j * usize::from(seen.most_slips >= 2) {
                let (a, b, c) = (cell(j, j), cell(j, k), cell(k, k));
                let determinant = a * c - b * b;
                let y = weighted[k];
                let half_square = 0.5 * (c * x * x - 2.0 * b * x * y + a * y * y) / determinant;
                // Λ_jj Λ_kk is at least the determinant, so that this bound needs no logarithm.
                let odds = seen.odds[j] + seen.odds[k] + half_square;
                if honest + constants[j] + constants[k] + odds + COUPLED
                    < self.greatest + NEGLIGIBLE
                {
                    continue;
                }
                let constant = 2.0 * HALF_LN_TWO_PI - 0.5 * libm::log(determinant);
                self.add(honest + constant + odds, [Some(j), Some(k)]);
            }
        }
    }
}

/// Two readings so strongly coupled that their precisions' product exceeds the determinant by more than e^(2·6) would lose
/// their double slip term; instruments that scatter keep far from that.
const COUPLED: f64 = 6.0;
