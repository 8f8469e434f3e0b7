//! The one place where numbers are rounded for the eye and for machines.

use crate::core::quantity::Length;

/// A decimal half such as 2.345 is stored a little below itself; one part in 10^12 lifts it back.
const LIFT: f64 = 1e-12;

/// Rounds to `places` decimals, halves away from zero, and never gives a negative zero.
///
/// ```
/// assert_eq!(ringwright::render::rounded(2.345, 2), 2.35);
/// assert!(ringwright::render::rounded(-0.0001, 2).is_sign_positive());
/// ```
pub fn rounded(value: f64, places: u32) -> f64 {
    if !value.is_finite() {
        return value;
    }
    let scale = 10_f64.powi(i32::try_from(places).unwrap_or(0));
    let scaled = value * scale;
    let result = (scaled + scaled.signum() * scaled.abs().max(1.0) * LIFT).round() / scale;
    if result == 0.0 { 0.0 } else { result }
}

/// Prints with a fixed number of decimals.
pub fn fixed(value: f64, places: u32) -> String {
    let digits = places as usize;
    format!("{:.digits$}", rounded(value, places))
}

/// Prints millimetres to the hundredth, the way the trade writes ring sizes.
pub fn mm2(length: Length) -> String {
    fixed(length.mm(), 2)
}

/// Prints millimetres to the thousandth.
pub fn mm3(length: Length) -> String {
    fixed(length.mm(), 3)
}

/// Prints inches to the thousandth.
pub fn inch3(length: Length) -> String {
    fixed(length.inch(), 3)
}

/// Prints a share (0 to 1) as a percentage that never claims certainty: "<0.1 %" and ">99.9 %" at the ends.
pub fn percent_of(share: f64) -> String {
    const LEAST: f64 = 0.001;
    if share < LEAST {
        "<0.1 %".to_owned()
    } else if share > 1.0 - LEAST {
        ">99.9 %".to_owned()
    } else {
        format!("{} %", fixed(share * 100.0, 1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halves_round_away_from_zero() {
        for (value, places, printed) in [
            (2.345, 2, "2.35"),
            (-2.345, 2, "-2.35"),
            (0.5, 0, "1"),
            (1.005, 2, "1.01"),
            (-0.001, 2, "0.00"),
            (9.2456, 2, "9.25"),
        ] {
            assert_eq!(fixed(value, places), printed);
        }
    }

    #[test]
    fn a_share_never_prints_as_certainty() {
        assert_eq!(percent_of(0.9999), ">99.9 %");
        assert_eq!(percent_of(0.0), "<0.1 %");
        assert_eq!(percent_of(0.5), "50.0 %");
    }
}
