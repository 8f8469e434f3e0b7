//! Lengths written as a range: "3.2–3.4 mm", "3 to 4 mm".

use super::number::scan_number;
use super::scalar::skip_about;
use super::shop::{RawDimension, scan_unit, skip_diameter_mark, skip_space};
use super::span::Span;

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
    use crate::core::quantity::{parse_dimension, parse_readings};

    fn nm(text: &str) -> (i64, i64, i64) {
        let d = parse_dimension(text, None)
            .unwrap_or_else(|e| panic!("{text}: {e}"))
            .value;
        (d.nominal.nm(), d.plus.nm(), d.minus.nm())
    }

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
