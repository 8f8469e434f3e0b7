//! The normal distribution.

/// Half the logarithm of 2π.
pub(crate) const HALF_LN_TWO_PI: f64 = 0.918_938_533_204_672_8;

/// Returns the logarithm of the normal density with mean 0 and the given variance.
///
/// `variance` must be positive.
pub fn normal_log_density(deviation: f64, variance: f64) -> f64 {
    -HALF_LN_TWO_PI - 0.5 * libm::log(variance) - 0.5 * deviation * deviation / variance
}

/// Returns the standard normal distribution function, by erfc so that the lower tail keeps its digits.
pub fn normal_cdf(x: f64) -> f64 {
    0.5 * libm::erfc(-x * std::f64::consts::FRAC_1_SQRT_2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_distribution_function_agrees_with_published_values() {
        // Abramowitz and Stegun (1964), table 26.1: P(1) = .84134 47460 68543, P(2) = .97724 98680 51821,
        // P(3) = .99865 01019 68370. 1e-15 is the rounding of the printed digits.
        assert!((normal_cdf(1.0) - 0.841_344_746_068_543).abs() < 1e-15);
        assert!((normal_cdf(2.0) - 0.977_249_868_051_821).abs() < 1e-15);
        assert!((normal_cdf(3.0) - 0.998_650_101_968_370).abs() < 1e-15);
    }
}
