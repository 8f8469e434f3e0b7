//! How often a sum of squared deviations is as large by chance.

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
