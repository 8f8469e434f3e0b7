//! The points at which a tolerance stack is sampled.

/// Holds a Kronecker sequence on the generalised golden ratio: x_n = frac(1/2 + n/φ^(i+1)), φ^(d+1) = φ + 1.
///
/// No seed, no order of threads, the same answer always; its first n points are spread evenly for every n.
#[derive(Debug, Clone)]
pub(super) struct Sequence {
    steps: Vec<f64>,
}

impl Sequence {
    /// Makes the sequence in a number of dimensions.
    pub(super) fn new(dimensions: usize) -> Self {
        const ROUNDS: usize = 64;
        let exponent = 1.0 / (dimensions as f64 + 1.0);
        let ratio = (0..ROUNDS).fold(2.0, |x, _| libm::pow(1.0 + x, exponent));
        let mut step = 1.0;
        let steps = (0..dimensions)
            .map(|_| {
                step /= ratio;
                step
            })
            .collect();
        Self { steps }
    }

    /// Writes the n-th point, kept off 0 and 1.
    pub(super) fn point(&self, n: usize, shares: &mut [f64]) {
        for (share, step) in shares.iter_mut().zip(&self.steps) {
            *share = Self::share(n, *step);
        }
    }

    fn share(n: usize, step: f64) -> f64 {
        const HALF: f64 = 0.5;
        const EDGE: f64 = 1e-12;
        let x = HALF + n as f64 * step;
        (x - libm::floor(x)).clamp(EDGE, 1.0 - EDGE)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mean_of_a_product_is_found_much_closer_than_by_chance() {
        // E[u1 u2 u3] = 1/8; plain chance would miss by about 0.1/√4096 = 0.0023 (the deviation of the product is 0.146).
        let sequence = Sequence::new(3);
        let mut u = [0.0; 3];
        let sum: f64 = (1..=4096)
            .map(|n| {
                sequence.point(n, &mut u);
                u.iter().product::<f64>()
            })
            .sum();
        assert!((sum / 4096.0 - 0.125).abs() < 5e-4, "{}", sum / 4096.0);
    }
}
