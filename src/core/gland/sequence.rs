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

/// Walks along one axis of a Halton sequence with multiplied digits (Halton 1960; digit multipliers after Faure).
///
/// No seed, no order of threads, the same answer always; its first n points are spread evenly for every n. The arithmetic
/// is whole numbers up to the last multiplication. The lowest digits repeat after a period, so that their part is looked up;
/// what the higher digits add is the same for a whole period.
#[derive(Debug, Clone)]
pub(super) struct Axis {
    base: i64,
    factor: i64,
    /// The part of the lowest digits for each place in the period.
    lowest: Vec<f64>,
    /// The part of the higher digits.
    carried: i64,
    /// The higher digits, the lowest of them first, with the value of one step of each.
    higher: Vec<(i64, i64)>,
    place: usize,
    step: f64,
}

/// Points that follow each other within one period.
#[derive(Debug, Clone, Copy)]
pub(super) struct Run {
    /// Place of the first in the period.
    pub(super) start: usize,
    pub(super) length: usize,
    carried: f64,
}

impl Axis {
    /// Makes the axis of a base with a period of at most `longest` points (but at least one digit), at its first point.
    fn new(base: i64, factor: i64, longest: usize) -> Self {
        /// Below this the numerator is exact as a floating-point number.
        const EXACT: i64 = 1 << 50;
        let longest = i64::try_from(longest).unwrap_or(EXACT);
        let mut weights = vec![1];
        while weights[0] < EXACT / base {
            weights.insert(0, weights[0] * base);
        }
        let whole = weights[0] * base;
        let (mut lowest, mut period, mut digits) = (vec![0], 1, 0);
        while digits == 0 || period * base <= longest {
            let weight = weights[digits];
            let scaled = (0..base).map(|digit| digit * factor % base * weight);
            lowest = scaled
                .flat_map(|part| lowest.iter().map(move |low| low + part))
                .collect();
            period *= base;
            digits += 1;
        }
        Self {
            base,
            factor,
            lowest: lowest.into_iter().map(|low| low as f64).collect(),
            carried: 0,
            higher: weights
                .split_off(digits)
                .into_iter()
                .map(|w| (0, w))
                .collect(),
            place: 1,
            step: 1.0 / whole as f64,
        }
    }

    /// Takes the next run of at most `room` points.
    pub(super) fn run(&mut self, room: usize) -> Run {
        let run = Run {
            start: self.place,
            length: room.min(self.lowest.len() - self.place),
            carried: self.carried as f64,
        };
        self.place += run.length;
        if self.place == self.lowest.len() {
            self.place = 0;
            self.carry();
        }
        run
    }

    fn carry(&mut self) {
        for (digit, weight) in &mut self.higher {
            let before = *digit * self.factor % self.base;
            *digit += 1;
            if *digit < self.base {
                let after = *digit * self.factor % self.base;
                self.carried += (after - before) * *weight;
                break;
            }
            *digit = 0;
            self.carried -= before * *weight;
        }
    }

    /// Returns the coordinate of one place of a run; it lies between 0 and 1.
    pub(super) fn share(&self, run: Run, place: usize) -> f64 {
        (self.lowest[place] + run.carried) * self.step
    }

    /// Writes the coordinates of a run.
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    pub(super) fn fill(&self, run: Run, shares: &mut [f64]) {
        let lowest = &self.lowest[run.start..run.start + run.length];
        for (share, low) in shares.iter_mut().zip(lowest) {
            *share = (low + run.carried) * self.step;
        }
    }

    /// Returns how far the points of a run lie from the middles of the cells into which a period cuts the unit interval.
    pub(super) fn past_middle(&self, run: Run) -> f64 {
        run.carried * self.step - 0.5 / self.lowest.len() as f64
    }

    /// Lists the number of the cell of each place in the period.
    pub(super) fn cells(&self) -> Vec<usize> {
        let cells = self.lowest.len() as f64;
        let number = |low: &f64| (low * self.step * cells).round();
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a whole number from 0 to the number of cells"
        )]
        self.lowest.iter().map(|low| number(low) as usize).collect()
    }
}

/// The longest period: its tables fit into the second cache of a processor.
const LONGEST: usize = 5000;
/// A period is at most this share of the samples, so that few samples do not wait for large tables.
const SAMPLES_A_PLACE: usize = 8;

/// Makes the axes of a sequence in up to twelve dimensions, more than any gland with its ring has, for so many samples.
pub(super) fn axes(dimensions: usize, samples: usize) -> Vec<Axis> {
    debug_assert!(dimensions <= BASES.len());
    let longest = LONGEST.min(samples / SAMPLES_A_PLACE);
    let bases = BASES.iter().cycle().take(dimensions);
    bases
        .map(|(base, factor)| Axis::new(*base, *factor, longest))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::uncertainty::normal_quantile;

    fn points<const D: usize>(count: usize, samples: usize) -> Vec<[f64; D]> {
        let mut found = vec![[0.0; D]; count];
        for (d, mut axis) in axes(D, samples).into_iter().enumerate() {
            let mut column = vec![0.0; count];
            let mut done = 0;
            while done < count {
                let run = axis.run((count - done).min(100));
                axis.fill(run, &mut column[done..]);
                assert!((axis.share(run, run.start) - column[done]).abs() < f64::EPSILON);
                done += run.length;
            }
            for (point, value) in found.iter_mut().zip(column) {
                point[d] = value;
            }
        }
        found
    }

    #[test]
    fn the_first_points_are_those_of_the_definition() {
        // Base 2, factor 1: 1/2, 1/4, 3/4, 1/8; base 3, factor 2: 2/3, 1/3, 2/9, 8/9.
        let expected = [
            [0.5, 2.0 / 3.0],
            [0.25, 1.0 / 3.0],
            [0.75, 2.0 / 9.0],
            [0.125, 8.0 / 9.0],
        ];
        for (found, expected) in points::<2>(4, 1).into_iter().zip(expected) {
            assert!(
                (found[0] - expected[0]).abs() < 1e-12 && (found[1] - expected[1]).abs() < 1e-12
            );
        }
    }

    #[test]
    fn every_point_is_that_of_the_definition_whatever_the_period() {
        // The definition: the n-th coordinate is the sum of multiplied digits of n, the lowest weighing most.
        const N: usize = 30_000;
        for samples in [1, 4096, 1_000_000] {
            let found = points::<12>(N, samples);
            for (n, point) in (1_i64..).zip(&found) {
                for (value, (base, factor)) in point.iter().zip(BASES) {
                    let (mut rest, mut weight, mut sum) = (n, 1.0, 0.0);
                    while rest > 0 {
                        weight /= base as f64;
                        sum += (rest % base * factor % base) as f64 * weight;
                        rest /= base;
                    }
                    assert!((value - sum).abs() < 1e-13, "{n} base {base}");
                }
            }
        }
    }

    #[test]
    fn no_two_coordinates_go_together() {
        // Normal deviates of 4096 points in nine dimensions; by plain chance one correlation in three would pass 1/√4096 = 1.6 %.
        const N: usize = 4096;
        let mut sums = [[0.0; 9]; 9];
        for u in points::<9>(N, N) {
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
