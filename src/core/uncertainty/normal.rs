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

/// Returns the standard normal quantile of a probability strictly between 0 and 1; ±∞ at the ends.
///
/// Acklam's rational approximation (relative error 1.15e-9) sharpened by one step of Halley's method.
pub fn normal_quantile(p: f64) -> f64 {
    if p <= 0.0 {
        return f64::NEG_INFINITY;
    }
    if p >= 1.0 {
        return f64::INFINITY;
    }
    let x = acklam(p);
    let error = normal_cdf(x) - p;
    let step = error * libm::exp(0.5 * x * x + HALF_LN_TWO_PI);
    x - step / (1.0 + 0.5 * x * step)
}

fn acklam(p: f64) -> f64 {
    const A: [f64; 6] = [
        -3.969_683_028_665_376e1,
        2.209_460_984_245_205e2,
        -2.759_285_104_469_687e2,
        1.383_577_518_672_69e2,
        -3.066_479_806_614_716e1,
        2.506_628_277_459_239,
    ];
    const B: [f64; 6] = [
        -5.447_609_879_822_406e1,
        1.615_858_368_580_409e2,
        -1.556_989_798_598_866e2,
        6.680_131_188_771_972e1,
        -1.328_068_155_288_572e1,
        1.0,
    ];
    const C: [f64; 6] = [
        -7.784_894_002_430_293e-3,
        -3.223_964_580_411_365e-1,
        -2.400_758_277_161_838,
        -2.549_732_539_343_734,
        4.374_664_141_464_968,
        2.938_163_982_698_783,
    ];
    const D: [f64; 5] = [
        7.784_695_709_041_462e-3,
        3.224_671_290_700_398e-1,
        2.445_134_137_142_996,
        3.754_408_661_907_416,
        1.0,
    ];
    const TAIL: f64 = 0.024_25;
    let horner = |coefficients: &[f64], x: f64| coefficients.iter().fold(0.0, |sum, c| sum * x + c);
    if p < TAIL {
        let q = libm::sqrt(-2.0 * libm::log(p));
        horner(&C, q) / horner(&D, q)
    } else if p > 1.0 - TAIL {
        let q = libm::sqrt(-2.0 * libm::log1p(-p));
        -horner(&C, q) / horner(&D, q)
    } else {
        let q = p - 0.5;
        let r = q * q;
        q * horner(&A, r) / horner(&B, r)
    }
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

    #[test]
    fn the_quantile_undoes_the_distribution_function() {
        for p in [1e-12, 1e-6, 0.01, 0.025, 0.3, 0.5, 0.8, 0.975, 1.0 - 1e-9] {
            let back = normal_cdf(normal_quantile(p));
            assert!((back - p).abs() <= 1e-13 * p.max(1e-3), "{p}: {back}");
        }
        // Abramowitz and Stegun (1964), table 26.5: Q = 0.025 at x = 1.95996.
        assert!((normal_quantile(0.975) - 1.959_964).abs() < 1e-6);
    }
}
