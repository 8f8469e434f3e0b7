//! A length with its tolerance, and ranges of lengths.

use super::error::QuantityError;
use super::length::{Length, LengthUnit};
use super::number::{Exact, scan_number};
use super::scalar::skip_about;
use super::shop::{RawDimension, not_a_number, scan_unit, skip_diameter_mark, skip_space};
use super::typed::Span;
use serde::{Deserialize, Serialize};

/// A nominal length with the tolerance that was stated beside it, if any.
///
/// `25.40+0.05/-0 mm` has nominal 25.40, `plus` 0.05 and `minus` 0; both are magnitudes and never negative.
///
/// ```
/// use ringwright::core::quantity::parse_dimension;
/// let bore = parse_dimension("25.40+0.05/-0 mm", None).unwrap().value;
/// assert_eq!(bore.greatest().mm(), 25.45);
/// assert_eq!(bore.least().mm(), 25.40);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Dimension {
    pub nominal: Length,
    /// How much longer it may be.
    pub plus: Length,
    /// How much shorter it may be.
    pub minus: Length,
}

impl Dimension {
    /// Makes a length without tolerance.
    pub const fn exact(nominal: Length) -> Self {
        Self::symmetric(nominal, Length::ZERO)
    }

    /// Makes a length with the same tolerance both ways.
    pub const fn symmetric(nominal: Length, tolerance: Length) -> Self {
        Self {
            nominal,
            plus: tolerance,
            minus: tolerance,
        }
    }

    /// Returns the greatest length that the tolerance allows.
    pub fn greatest(self) -> Length {
        self.nominal + self.plus
    }

    /// Returns the least length that the tolerance allows.
    pub fn least(self) -> Length {
        self.nominal - self.minus
    }

    /// Tells whether a tolerance was stated.
    pub fn has_tolerance(self) -> bool {
        self.plus != Length::ZERO || self.minus != Length::ZERO
    }
}

/// A tolerance before its unit is settled.
#[derive(Debug, Clone, Copy)]
pub(super) struct RawTolerance {
    pub(super) plus: Exact,
    pub(super) minus: Exact,
    pub(super) unit: Option<LengthUnit>,
}

/// Tells whether a limit is small enough beside its length to be a tolerance to one side ("14 -0.1").
fn is_small(limit: Exact, length: Exact) -> bool {
    const TIMES: f64 = 20.0;
    limit.to_f64() * TIMES <= length.to_f64()
}

/// Reads `±t`, `+/-t`, `+a/-b`, `+a -b` or `-b/+a`, each with an optional unit.
pub(super) fn scan_tolerance(
    text: &str,
    at: usize,
    value: Exact,
) -> Result<Option<(RawTolerance, usize)>, QuantityError> {
    let begin = skip_space(text, at);
    let rest = &text[begin..];
    for mark in ["±", "+/-", "+/−", "+-", "+−"] {
        if rest.starts_with(mark) {
            let (value, unit, end) = scan_limit(text, begin + mark.len())?;
            let tolerance = RawTolerance {
                plus: value,
                minus: value,
                unit,
            };
            return Ok(Some((tolerance, end)));
        }
    }
    let first_is_plus = rest.starts_with('+');
    let Some(after) = strip_sign(text, begin) else {
        return Ok(None);
    };
    let (first, first_unit, end) = scan_limit(text, after)?;
    let mut second_at = skip_space(text, end);
    if text[second_at..].starts_with('/') {
        second_at = skip_space(text, second_at + 1);
    }
    let alone = second_at == text.len() && is_small(first, value);
    let (second, second_unit, end) = if alone {
        (Exact::ZERO, None, end)
    } else {
        scan_second_limit(text, begin, second_at, first_is_plus)?
    };
    let (plus, minus) = if first_is_plus {
        (first, second)
    } else {
        (second, first)
    };
    let tolerance = RawTolerance {
        plus,
        minus,
        unit: second_unit.or(first_unit),
    };
    Ok(Some((tolerance, end)))
}

/// Reads the second half of a two-sided tolerance: the opposite sign, or a bare 0.
fn scan_second_limit(
    text: &str,
    begin: usize,
    at: usize,
    first_is_plus: bool,
) -> Result<(Exact, Option<LengthUnit>, usize), QuantityError> {
    let signed = strip_sign(text, at);
    let is_opposite = signed.is_some() && text[at..].starts_with('+') != first_is_plus;
    if let Some(after) = signed.filter(|_| is_opposite) {
        return scan_limit(text, after);
    }
    let zero = scan_number(text, at)?.filter(|(n, _)| n.numerator == 0);
    if signed.is_none() && zero.is_some() {
        return scan_limit(text, at);
    }
    let found = Span::new(begin, begin + text[begin..at].trim_end().len());
    Err(QuantityError::stray(
        text,
        found,
        "write a tolerance as ±0.05 or +0.05/-0",
    ))
}

fn strip_sign(text: &str, at: usize) -> Option<usize> {
    let sign = text[at..]
        .chars()
        .next()
        .filter(|c| matches!(c, '+' | '-' | '−'))?;
    Some(at + sign.len_utf8())
}

fn scan_limit(text: &str, at: usize) -> Result<(Exact, Option<LengthUnit>, usize), QuantityError> {
    let begin = skip_space(text, at);
    match scan_number(text, begin)? {
        Some((value, end)) if value.numerator >= 0 && strip_sign(text, begin).is_none() => {
            let (unit, end) = scan_unit(text, end)?;
            Ok((value, unit, end))
        }
        _ => Err(not_a_number(text, begin)),
    }
}

/// What stands between the two ends of a range, the longest first.
const BETWEEN: [&str; 8] = ["...", "..", "…", "to ", "bis ", "–", "-", "−"];

/// Reads a text that is a range, "3.2–3.4 mm", "3 to 4 mm": its middle is the nominal. `None` where it is no range, or none that
/// rises.
pub(super) fn scan_range(text: &str) -> Option<RawDimension> {
    let begin = skip_diameter_mark(text, skip_about(text, 0));
    let (least, end) = scan_number(text, begin).ok()??;
    let sign_at = |at: usize| {
        let at = skip_space(text, at);
        let sign = BETWEEN.iter().find(|sign| text[at..].starts_with(**sign))?;
        Some((at, sign))
    };
    let (first, (at, sign)) = if let Some(found) = sign_at(end) {
        (None, found)
    } else {
        let (unit, end) = scan_unit(text, end).ok()?;
        (unit, sign_at(end)?)
    };
    let (greatest, end) = scan_number(text, skip_space(text, at + sign.len())).ok()??;
    let (second, end) = scan_unit(text, end).ok()?;
    let (middle, half) = least.middle(greatest)?;
    let unit = second.or(first);
    (skip_space(text, end) == text.len() && (first.is_none() || first == unit)).then_some(
        RawDimension::about(middle, half, unit, Span::new(begin, end)),
    )
}

#[cfg(test)]
mod tests {
    use super::super::shop::tests::nm;
    use crate::core::quantity::{parse_dimension, parse_readings};

    #[test]
    fn a_range_is_its_middle_and_half_of_what_lies_between_its_ends() {
        for text in [
            "3.2–3.4 mm",
            "3.2 to 3.4 mm",
            "3,2..3,4 mm",
            "3.2 - 3.4 mm",
            "3.2 mm - 3.4 mm",
        ] {
            assert_eq!(nm(text), (3_300_000, 100_000, 100_000), "{text}");
        }
        for wrong in ["4 to 3 mm", "3 to mm", "5 - 5 mm"] {
            assert!(parse_dimension(wrong, None).is_err(), "{wrong}");
        }
        assert!(
            parse_readings("3.2 - 3.4 mm", None).is_err(),
            "a reading is one number"
        );
    }
}
