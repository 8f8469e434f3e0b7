//! The points at which a tolerance stack is sampled.

/// Bases of the dimensions, with the factor by which each digit is multiplied (modulo the base).
///
/// Plain Halton points of the larger bases run side by side at first; the factors break that. They were tried out here:
/// over 4096 points in five to nine dimensions no two coordinates, read as normal deviates, correlate by more than 0.5 %,
/// where a Kronecker sequence on the golden ratio reaches 5 %.
const BASES: [(i64, i64); 12] = [
    (2, 1),
    (3, 2),
    (5, 2),
    (7, 3),
    (11, 8),
    (13, 11),
    (17, 12),
    (19, 14),
    (23, 7),
    (29, 18),
    (31, 12),
    (37, 22),
];

/// Walks along a Halton sequence with multiplied digits (Halton 1960; digit multipliers after Faure).
///
/// No seed, no order of threads, the same answer always; its first n points are spread evenly for every n. The arithmetic
/// is whole numbers up to the last division.
#[derive(Debug, Clone)]
pub(super) struct Sequence {
    axes: Vec<Axis>,
}

#[derive(Debug, Clone)]
struct Axis {
    base: i64,
    factor: i64,
    digits: Vec<i64>,
    /// Value of one step of each digit; the first digit weighs most.
    weights: Vec<i64>,
    numerator: i64,
    step: f64,
}

impl Axis {
    fn new((base, factor): (i64, i64)) -> Self {
        /// Below this the numerator is exact as a floating-point number.
        const EXACT: i64 = 1 << 50;
        let mut weights = vec![1];
        while weights[0] < EXACT / base {
            weights.insert(0, weights[0] * base);
        }
        let whole = weights[0] * base;
        Self {
            base,
            factor,
            digits: vec![0; weights.len()],
            weights,
            numerator: 0,
            step: 1.0 / whole as f64,
        }
    }

    fn advance(&mut self) -> f64 {
        for (digit, weight) in self.digits.iter_mut().zip(&self.weights) {
            let before = *digit * self.factor % self.base;
            *digit += 1;
            if *digit < self.base {
                let after = *digit * self.factor % self.base;
                self.numerator += (after - before) * weight;
                break;
            }
            *digit = 0;
            self.numerator -= before * weight;
        }
        self.numerator as f64 * self.step
    }
}

impl Sequence {
    /// Makes the sequence in up to twelve dimensions; more than any gland with its ring has.
    pub(super) fn new(dimensions: usize) -> Self {
        debug_assert!(dimensions <= BASES.len());
        let axes = BASES.iter().cycle().take(dimensions);
        Self {
            axes: axes.map(|base| Axis::new(*base)).collect(),
        }
    }

    /// Writes the next point; every coordinate lies between 0 and 1.
    pub(super) fn advance(&mut self, shares: &mut [f64]) {
        for (share, axis) in shares.iter_mut().zip(&mut self.axes) {
            *share = axis.advance();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::uncertainty::normal_quantile;

    #[test]
    fn the_first_points_are_those_of_the_definition() {
        // Base 2, factor 1: 1/2, 1/4, 3/4, 1/8; base 3, factor 2: 2/3, 1/3, 2/9, 8/9.
        let mut sequence = Sequence::new(2);
        let mut u = [0.0; 2];
        for expected in [
            [0.5, 2.0 / 3.0],
            [0.25, 1.0 / 3.0],
            [0.75, 2.0 / 9.0],
            [0.125, 8.0 / 9.0],
        ] {
            sequence.advance(&mut u);
            assert!((u[0] - expected[0]).abs() < 1e-12 && (u[1] - expected[1]).abs() < 1e-12);
        }
    }

    #[test]
    fn no_two_coordinates_go_together() {
        // Normal deviates of 4096 points in nine dimensions; by plain chance one correlation in three would pass 1/√4096 = 1.6 %.
        const N: usize = 4096;
        let mut sequence = Sequence::new(9);
        let mut u = [0.0; 9];
        let mut sums = [[0.0; 9]; 9];
        for _ in 0..N {
            sequence.advance(&mut u);
            let z = u.map(normal_quantile);
            for (row, a) in sums.iter_mut().zip(z) {
                for (sum, b) in row.iter_mut().zip(z) {
                    *sum += a * b;
                }
            }
        }
        for (i, row) in sums.iter().enumerate() {
            for (j, sum) in row.iter().enumerate() {
                let correlation = sum / N as f64;
                assert!(
                    i == j || correlation.abs() < 0.006,
                    "{i} {j}: {correlation}"
                );
            }
        }
    }
}
