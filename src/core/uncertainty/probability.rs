//! Probabilities: sums of small ones, the normal law and its quantiles, chi-square.

#![allow(
    clippy::excessive_precision,
    reason = "the constants stand as published"
)]

/// Returns the logarithm of the sum of exponentials, without overflow; −∞ for nothing.
pub fn log_sum_exp(values: impl IntoIterator<Item = f64>) -> f64 {
    let values: Vec<f64> = values.into_iter().collect();
    let greatest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if greatest == f64::NEG_INFINITY {
        return greatest;
    }
    let sum: f64 = values.into_iter().map(|v| libm::exp(v - greatest)).sum();
    greatest + libm::log(sum)
}

/// Turns log weights into shares that sum to one; all zero where every weight is −∞.
pub fn shares_of_log_weights(weights: &[f64]) -> Vec<f64> {
    let total = log_sum_exp(weights.iter().copied());
    if total == f64::NEG_INFINITY {
        return vec![0.0; weights.len()];
    }
    weights.iter().map(|w| libm::exp(w - total)).collect()
}

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

const CENTRE: f64 = 0.425;
const CENTRE_SQUARED: f64 = 0.180_625;
const TAIL: f64 = 5.0;
const TAIL_SHIFT: f64 = 1.6;

/// Returns the standard normal quantile of a probability strictly between 0 and 1; ±∞ at the ends.
///
/// Algorithm AS 241 (PPND16), Wichura 1988, Applied Statistics 37, 477–484; relative accuracy about 1e-16. The constants
/// were recalled and are checked against the error function in the tests.
pub fn normal_quantile(p: f64) -> f64 {
    if p <= 0.0 {
        return f64::NEG_INFINITY;
    }
    if p >= 1.0 {
        return f64::INFINITY;
    }
    let q = p - 0.5;
    if q.abs() <= CENTRE {
        let r = CENTRE_SQUARED - q * q;
        return q * ratio(r, &CENTRE_ABOVE, &CENTRE_BELOW);
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    let r = libm::sqrt(-libm::log(tail));
    let value = if r <= TAIL {
        ratio(r - TAIL_SHIFT, &MIDDLE_ABOVE, &MIDDLE_BELOW)
    } else {
        ratio(r - TAIL, &FAR_ABOVE, &FAR_BELOW)
    };
    if q < 0.0 { -value } else { value }
}

/// Returns the ratio of two polynomials; the one below has constant term 1.
fn ratio(r: f64, above: &[f64; 8], below: &[f64; 7]) -> f64 {
    let horner = |c: &[f64]| c.iter().rev().fold(0.0, |sum, c| sum * r + c);
    horner(above) / (horner(below) * r + 1.0)
}

const CENTRE_ABOVE: [f64; 8] = [
    3.387_132_872_796_366_608,
    1.331_416_678_917_843_774_5e2,
    1.971_590_950_306_551_442_7e3,
    1.373_169_376_550_946_112_5e4,
    4.592_195_393_154_987_145_7e4,
    6.726_577_092_700_870_085_3e4,
    3.343_057_558_358_812_810_5e4,
    2.509_080_928_730_122_672_7e3,
];
const CENTRE_BELOW: [f64; 7] = [
    4.231_333_070_160_091_125_2e1,
    6.871_870_074_920_579_083e2,
    5.394_196_021_424_751_107_7e3,
    2.121_379_430_158_659_586_7e4,
    3.930_789_580_009_271_061e4,
    2.872_908_573_572_194_267_4e4,
    5.226_495_278_852_854_561e3,
];
const MIDDLE_ABOVE: [f64; 8] = [
    1.423_437_110_749_683_577_34,
    4.630_337_846_156_545_295_9,
    5.769_497_221_460_691_405_5,
    3.647_848_324_763_204_605_04,
    1.270_458_252_452_368_382_58,
    2.417_807_251_774_506_117_7e-1,
    2.272_384_498_926_918_458_33e-2,
    7.745_450_142_783_414_076_4e-4,
];
const MIDDLE_BELOW: [f64; 7] = [
    2.053_191_626_637_758_821_87,
    1.676_384_830_183_803_849_4,
    6.897_673_349_851_000_045_5e-1,
    1.481_039_764_274_800_745_9e-1,
    1.519_866_656_361_645_719_66e-2,
    5.475_938_084_995_344_946e-4,
    1.050_750_071_644_416_843_24e-9,
];
const FAR_ABOVE: [f64; 8] = [
    6.657_904_643_501_103_777_2,
    5.463_784_911_164_114_369_9,
    1.784_826_539_917_291_335_8,
    2.965_605_718_285_048_912_3e-1,
    2.653_218_952_657_612_309_3e-2,
    1.242_660_947_388_078_438_6e-3,
    2.711_555_568_743_487_578_15e-5,
    2.010_334_399_292_288_132_65e-7,
];
const FAR_BELOW: [f64; 7] = [
    5.998_322_065_558_879_376_9e-1,
    1.369_298_809_227_358_053_1e-1,
    1.487_536_129_085_061_485_25e-2,
    7.868_691_311_456_132_591e-4,
    1.846_318_317_510_054_681_8e-5,
    1.421_511_758_316_445_888_7e-7,
    2.044_263_103_389_939_785_64e-15,
];

/// Returns the probability that χ² with a number of degrees of freedom is at least `x`.
///
/// Exact finite sums (NIST Digital Library of Mathematical Functions, 8.4.6, 8.4.10 and 8.8.2, with a = n/2; the places
/// recalled): for even n, e^(−x/2) Σ (x/2)^k / k!; for odd n, erfc √(x/2) and the terms of half-integer order. 1 for `x` of
/// nought or less, or no degree of freedom.
///
/// ```
/// use ringwright::core::uncertainty::chi_square_survival;
/// // Three standard deviations of one value.
/// assert!((chi_square_survival(9.0, 1) - 0.0027).abs() < 1e-6);
/// ```
pub fn chi_square_survival(x: f64, degrees: usize) -> f64 {
    if degrees == 0 || x <= 0.0 {
        return 1.0;
    }
    let half = x / 2.0;
    let odd = degrees % 2 == 1;
    let (mut sum, mut order) = if odd {
        (libm::erfc(libm::sqrt(half)), 0.5)
    } else {
        (0.0, 0.0)
    };
    // Each term is half^order e^(−half) / Γ(order + 1), made in logarithms so that large x does not overflow.
    for _ in 0..degrees / 2 {
        sum += libm::exp(order * libm::log(half) - half - libm::lgamma(order + 1.0));
        order += 1.0;
    }
    sum.min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn very_small_weights_keep_their_ratio() {
        let shares = shares_of_log_weights(&[-2000.0, -2000.0 + libm::log(3.0)]);
        assert!((shares[0] - 0.25).abs() < 1e-12);
        assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        assert_eq!(shares_of_log_weights(&[f64::NEG_INFINITY]), [0.0]);
    }
}

#[cfg(test)]
mod normal_tests {
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

#[cfg(test)]
mod quantile_tests {
    use super::*;

    #[test]
    fn the_quantile_inverts_the_distribution_function() {
        // P(Z <= z) = erfc(-z/sqrt 2)/2; agreement to 1e-13 of p, the round-off of erfc.
        for p in [
            1e-12, 1e-6, 0.001, 0.025, 0.0749, 0.2, 0.5, 0.7, 0.975, 0.999_999,
        ] {
            let z = normal_quantile(p);
            let back = libm::erfc(-z / std::f64::consts::SQRT_2) / 2.0;
            assert!(
                (back - p).abs() <= 1e-12 * p.max(1e-3),
                "{p}: {z} gives {back}"
            );
        }
        // The 97.5 % quantile as every table prints it.
        assert!((normal_quantile(0.975) - 1.959_964).abs() < 5e-7);
    }
}

#[cfg(test)]
mod chi_square_tests {
    use super::*;

    #[test]
    fn critical_values_are_those_of_the_handbook() {
        // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4, upper critical values, recalled; three decimals: half
        // of the last digit moves the probability by less than 5e-4 of itself.
        for (degrees, probability, value) in [
            (1, 0.05, 3.841),
            (2, 0.05, 5.991),
            (3, 0.05, 7.815),
            (4, 0.05, 9.488),
            (9, 0.05, 16.919),
            (10, 0.05, 18.307),
            (1, 0.01, 6.635),
            (2, 0.01, 9.210),
            (3, 0.01, 11.345),
            (1, 0.001, 10.828),
            (3, 0.001, 16.266),
            (10, 0.001, 29.588),
        ] {
            let found = chi_square_survival(value, degrees);
            assert!(
                (found / probability - 1.0).abs() < 5e-4,
                "{degrees} degrees, {value}: {found}"
            );
        }
    }

    #[test]
    fn three_standard_deviations_are_the_published_ones() {
        // Particle Data Group, Review of Particle Physics, Statistics, table of Δχ² for 99.73 % coverage, recalled: 9.00,
        // 11.83, 14.16 for 1, 2 and 3 parameters; half of the last digit moves the probability by less than 1e-5.
        for (degrees, value) in [(1, 9.00), (2, 11.83), (3, 14.16)] {
            let found = chi_square_survival(value, degrees);
            assert!((found - 0.0027).abs() < 1e-5, "{degrees}: {found}");
        }
    }

    #[test]
    fn the_probability_falls_from_one_to_nothing() {
        for degrees in 1..40 {
            assert!((chi_square_survival(0.0, degrees) - 1.0).abs() < f64::EPSILON);
            let mut before = 1.0;
            for step in 1..200 {
                let now = chi_square_survival(f64::from(step), degrees);
                // Rounding near one is some ten times 1e-16.
                assert!(now <= before + 1e-14 && now >= 0.0, "{degrees}, {step}");
                before = now;
            }
            assert!(chi_square_survival(1e6, degrees) < 1e-12);
        }
    }
}
