//! Tolerances behind a length: `±t`, `+a/-b`, `-t` to one side.

use super::error::{QuantityError, QuantityErrorKind as Kind};
use super::length::LengthUnit;
use super::number::{Exact, scan_number};
use super::shop::{not_a_number, scan_unit, skip_space};

/// Holds a tolerance before its unit is settled.
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
    let found = text[begin..at].trim_end().to_owned();
    Err(QuantityError::new(
        begin,
        begin + found.len(),
        Kind::Stray {
            found,
            remedy: "write a tolerance as ±0.05 or +0.05/-0",
        },
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
