//! The shop notation of lengths: numbers, units, tolerances and repeated readings in one text.
//!
//! ```text
//! ø9,25 mm      .364"      23/64"      1-1/16 in      364 thou
//! 0.070±0.003 in           25.40+0.05/-0 mm           9.20 9.25 9.30 mm
//! ```
//! A unit serves every number before it that has none. A number left without a unit takes the declared one, and
//! is refused where none was declared.

use super::dimension::{Dimension, RawTolerance, scan_range, scan_tolerance};
use super::error::{QuantityError, QuantityErrorKind as Kind};
use super::length::{Length, LengthUnit};
use super::number::{Exact, scan_number};
use super::scalar::skip_about;
use super::typed::{Span, Typed};

const EXAMPLE: &str = "9.25 mm or .364 in";
const DECLARE: &str = "--unit mm or --unit in (in a note: lengths mm)";
const RANGE: &str = "the lengths that are handled (0 to 1000 m)";

/// One number of a text before its unit is settled.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RawDimension {
    value: Exact,
    unit: Option<LengthUnit>,
    tolerance: Option<RawTolerance>,
    pub(crate) span: Span,
}

/// Reads one length with its tolerance.
///
/// # Errors
/// Says what cannot be read, where (bytes of `text`), and what to write: no unit and none declared, an unknown
/// unit, a second value, a malformed number, a length beyond 1000 m or below zero.
pub fn parse_dimension(
    text: &str,
    declared: Option<LengthUnit>,
) -> Result<Typed<Dimension>, QuantityError> {
    if let Some(range) = scan_range(text) {
        let value = resolve(&[range], text, declared)?[0];
        return Ok(Typed::new(value, text));
    }
    let raw = scan_dimensions(text)?;
    if let Some(second) = raw.get(1) {
        return Err(QuantityError::stray(
            text,
            second.span,
            "one length is asked for",
        ));
    }
    let value = resolve(&raw, text, declared)?[0];
    Ok(Typed::new(value, text))
}

/// Reads one or more repeated readings; a tolerance has no place among readings.
///
/// # Errors
/// As [`parse_dimension`], and where a reading carries a tolerance.
pub fn parse_readings(
    text: &str,
    declared: Option<LengthUnit>,
) -> Result<Typed<Vec<Length>>, QuantityError> {
    let raw = scan_dimensions(text)?;
    if let Some(toleranced) = raw.iter().find(|r| r.tolerance.is_some()) {
        let remedy =
            "a reading is a plain number; its doubt comes from the instrument (\"by caliper\")";
        return Err(QuantityError::stray(text, toleranced.span, remedy));
    }
    let values = resolve(&raw, text, declared)?;
    Ok(Typed::new(values.iter().map(|d| d.nominal).collect(), text))
}

/// Settles the unit of every number and makes lengths of them.
pub(crate) fn resolve(
    raw: &[RawDimension],
    text: &str,
    declared: Option<LengthUnit>,
) -> Result<Vec<Dimension>, QuantityError> {
    let mut later = None;
    let mut values = Vec::with_capacity(raw.len());
    for item in raw.iter().rev() {
        later = item.unit.or(later);
        let Some(unit) = later.or(declared) else {
            let kind = Kind::NoUnit {
                found: text[item.span.range()].to_owned(),
                missing: "unit",
                example: EXAMPLE,
                declare: DECLARE,
            };
            return Err(QuantityError {
                span: item.span,
                kind,
            });
        };
        values.push(item.with_unit(unit, text)?);
    }
    values.reverse();
    Ok(values)
}

/// The widest tolerance in inches that is believed without its own unit; wider ones are meant in millimetres. This program's.
const WIDEST_INCHES: f64 = 0.03;

impl RawDimension {
    /// Returns the number without a unit where it was typed as a plain fraction or decimal.
    pub(crate) fn number(&self) -> Exact {
        self.value
    }

    pub(crate) fn unit(&self) -> Option<LengthUnit> {
        self.unit
    }

    /// Tells whether a tolerance stands behind the number.
    pub(crate) fn has_tolerance(&self) -> bool {
        self.tolerance.is_some()
    }

    /// Makes a number with an even tolerance in its own unit.
    pub(super) fn about(value: Exact, off: Exact, unit: Option<LengthUnit>, span: Span) -> Self {
        Self {
            value,
            unit,
            tolerance: Some(RawTolerance {
                plus: off,
                minus: off,
                unit,
            }),
            span,
        }
    }

    /// Gives the number a unit that stands elsewhere, unless it has one.
    pub(crate) fn or_unit(mut self, unit: Option<LengthUnit>) -> Self {
        self.unit = self.unit.or(unit);
        self
    }

    fn with_unit(&self, unit: LengthUnit, text: &str) -> Result<Dimension, QuantityError> {
        let out_of_range = || QuantityError::out_of_range(text, self.span, RANGE);
        if self.value.numerator < 0 {
            return Err(out_of_range());
        }
        // Nobody writes a thousandth of a thousandth: "1,250 thou" has thousands.
        let small = matches!(unit, LengthUnit::Thou | LengthUnit::Micrometre);
        let value = if small && self.value.thousands_like {
            self.value.as_thousands()
        } else {
            self.value
        };
        let nominal = Length::from_exact(value, unit).ok_or_else(out_of_range)?;
        let Some(tolerance) = self.tolerance else {
            return Ok(Dimension::exact(nominal));
        };
        let widest = [tolerance.plus, tolerance.minus].map(Exact::to_f64);
        if unit == LengthUnit::In
            && tolerance.unit.is_none()
            && widest.iter().any(|inches| *inches > WIDEST_INCHES)
        {
            let remedy = "write the unit of the tolerance too, as 1 1/8 in +0.05 mm/-0 mm: so many inches are no tolerance";
            return Err(QuantityError::stray(text, self.span, remedy));
        }
        let unit = tolerance.unit.unwrap_or(unit);
        let plus = Length::from_exact(tolerance.plus, unit).ok_or_else(out_of_range)?;
        let minus = Length::from_exact(tolerance.minus, unit).ok_or_else(out_of_range)?;
        if minus > nominal {
            return Err(out_of_range());
        }
        Ok(Dimension {
            nominal,
            plus,
            minus,
        })
    }
}

/// Splits a text into numbers with their units and tolerances; settles no unit yet.
pub(crate) fn scan_dimensions(text: &str) -> Result<Vec<RawDimension>, QuantityError> {
    let mut items = Vec::new();
    let mut at = skip_diameter_mark(text, skip_about(text, 0));
    while at < text.len() {
        let begin = at;
        let Some((value, end)) = scan_number(text, at)? else {
            return Err(not_a_number(text, at));
        };
        at = end;
        let (mut unit, end) = scan_unit(text, at)?;
        at = end;
        let tolerance = scan_tolerance(text, at, value)?.map(|(tolerance, end)| {
            at = end;
            tolerance
        });
        unit = unit.or(tolerance.and_then(|t| t.unit));
        items.push(RawDimension {
            value,
            unit,
            tolerance,
            span: Span::new(begin, at),
        });
        at = skip_separator(text, at);
    }
    if items.is_empty() {
        return Err(QuantityError::new(
            0,
            text.len(),
            Kind::Empty { example: EXAMPLE },
        ));
    }
    Ok(items)
}

pub(super) fn skip_space(text: &str, at: usize) -> usize {
    text.len() - text[at..].trim_start().len()
}

/// Skips space and one comma between readings; `skip_space` comes first because "9.20 , 9.25" is written too.
fn skip_separator(text: &str, at: usize) -> usize {
    let at = skip_space(text, at);
    if text[at..].starts_with(',') || text[at..].starts_with(';') {
        skip_space(text, at + 1)
    } else {
        at
    }
}

pub(super) fn skip_diameter_mark(text: &str, at: usize) -> usize {
    let rest = &text[at..];
    for mark in ["ø", "Ø", "⌀", "∅", "dia.", "dia", "Dia.", "Dia"] {
        if let Some(after) = rest.strip_prefix(mark) {
            return text.len() - after.trim_start().len();
        }
    }
    at
}

/// Reads a unit with the space before it. What follows a number and is neither unit, tolerance, number nor
/// separator is an unknown unit.
pub(super) fn scan_unit(
    text: &str,
    at: usize,
) -> Result<(Option<LengthUnit>, usize), QuantityError> {
    let begin = skip_space(text, at);
    for mark in ["''", "\"", "″", "”"] {
        if text[begin..].starts_with(mark) {
            return Ok((Some(LengthUnit::In), begin + mark.len()));
        }
    }
    let end = text[begin..]
        .find(|c: char| !c.is_alphabetic())
        .map_or(text.len(), |n| begin + n);
    if end == begin {
        return Ok((None, at));
    }
    let word = &text[begin..end];
    let Some(unit) = LengthUnit::from_word(word) else {
        return Err(QuantityError::new(begin, end, LengthUnit::unknown(word)));
    };
    let dot = usize::from(unit == LengthUnit::In && text[end..].starts_with('.'));
    Ok((Some(unit), end + dot))
}

pub(super) fn not_a_number(text: &str, at: usize) -> QuantityError {
    let end = text[at..]
        .find(|c: char| c.is_whitespace())
        .map_or(text.len(), |n| at + n);
    let found: String = text[at..end].chars().take(24).collect();
    let end = at + found.len();
    if found.is_empty() {
        return QuantityError::new(at, at, Kind::Empty { example: EXAMPLE });
    }
    QuantityError::new(at, end, Kind::NotANumber { found })
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    /// Reads a dimension as nominal, plus and minus in nanometres.
    pub(in crate::core::quantity) fn nm(text: &str) -> (i64, i64, i64) {
        let d = parse_dimension(text, None)
            .unwrap_or_else(|e| panic!("{text}: {e}"))
            .value;
        (d.nominal.nm(), d.plus.nm(), d.minus.nm())
    }

    #[test]
    fn every_shop_spelling_reads_to_exact_nanometres() {
        let inch_fraction = 9_128_125; // 23/64 in
        for (text, expected) in [
            ("9.25mm", 9_250_000),
            ("9,25 mm", 9_250_000),
            ("ø9.25 mm", 9_250_000),
            ("Ø 9.25 MM", 9_250_000),
            ("dia 9.25 mm", 9_250_000),
            (".364 in", 9_245_600),
            (".364\"", 9_245_600),
            ("0.364″", 9_245_600),
            ("0.364''", 9_245_600),
            ("364 thou", 9_245_600),
            ("23/64\"", inch_fraction),
            ("23/64 in.", inch_fraction),
            ("1-1/16 in", 26_987_500),
            ("1 1/16\"", 26_987_500),
            ("50 µm", 50_000),
            ("50 um", 50_000),
            ("2 cm", 20_000_000),
        ] {
            assert_eq!(nm(text), (expected, 0, 0), "{text}");
        }
    }

    #[test]
    fn tolerances_are_read_in_every_form() {
        assert_eq!(nm("0.070±0.003 in"), (1_778_000, 76_200, 76_200));
        assert_eq!(nm("0.070 in ± 0.003 in"), (1_778_000, 76_200, 76_200));
        assert_eq!(nm("1.778 mm ± 0.003 in"), (1_778_000, 76_200, 76_200));
        assert_eq!(nm("9.25 +/- 0.13 mm"), (9_250_000, 130_000, 130_000));
        assert_eq!(nm("25.40+0.05/-0 mm"), (25_400_000, 50_000, 0));
        assert_eq!(nm("25.40 +0.05/0 mm"), (25_400_000, 50_000, 0));
        assert_eq!(nm("25.40 -0.02/+0.05 mm"), (25_400_000, 50_000, 20_000));
        assert_eq!(nm("25,40 +0,05 -0,02 mm"), (25_400_000, 50_000, 20_000));
        assert_eq!(nm("14 −0,1 mm"), (14_000_000, 0, 100_000));
    }

    #[test]
    fn repeated_readings_share_the_unit_behind_them() {
        let read = |t: &str| -> Vec<i64> {
            parse_readings(t, None)
                .unwrap_or_else(|e| panic!("{t}: {e}"))
                .value
                .iter()
                .map(|l| l.nm())
                .collect()
        };
        assert_eq!(read("9.20 9.25 9.30 mm"), [9_200_000, 9_250_000, 9_300_000]);
        assert_eq!(read("9,20, 9,25 mm"), [9_200_000, 9_250_000]);
        assert_eq!(read("9.20 mm .364 in"), [9_200_000, 9_245_600]);
        assert_eq!(
            read("16 15.9 16.0 mm"),
            [16_000_000, 15_900_000, 16_000_000]
        );
    }

    #[test]
    fn a_bare_number_is_refused_unless_its_unit_was_declared() {
        let error = parse_dimension("9.25", None).expect_err("no unit");
        assert!(matches!(error.kind, Kind::NoUnit { .. }));
        assert_eq!(error.span.range(), 0..4);
        let declared = parse_dimension("9.25", Some(LengthUnit::Mm)).expect("declared");
        assert_eq!(declared.value.nominal.nm(), 9_250_000);
        assert_eq!(declared.text, "9.25");
    }

    #[test]
    fn errors_name_the_bytes_and_the_remedy() {
        let at = |t: &str| {
            let e = parse_dimension(t, None).expect_err(t);
            (e.span.range(), e.to_string())
        };
        assert_eq!(at("9.25 mmm").0, 5..8);
        assert!(
            at("9.25 mmm").1.contains("did you mean \"mm\""),
            "{}",
            at("9.25 mmm").1
        );
        assert_eq!(at("9.25 mm 9.30 mm").0, 8..15);
        assert_eq!(at("--5 mm").0, 0..3);
        assert_eq!(at("5-5 mm").0, 1..6);
        assert_eq!(at("9.25 ± mm").0, 8..10);
        assert_eq!(at("-9.25 mm").0, 0..8);
        assert_eq!(at("99999999 m").0, 0..10);
        assert_eq!(at("").0, 0..0);
        assert_eq!(at("NaN mm").0, 0..3);
        assert_eq!(at("0.05±0.06 mm").0, 0..13);
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_refused_with_a_span_inside_it(text in "\\PC{0,40}") {
            if let Err(error) = parse_readings(&text, Some(LengthUnit::Mm)) {
                proptest::prop_assert!(text.get(error.span.range()).is_some());
            }
        }

        #[test]
        fn whole_micrometres_survive_a_round_trip(um in 0_i64..1_000_000_000) {
            let text = format!("{}.{:03} mm", um / 1000, um % 1000);
            let read = parse_dimension(&text, None).expect("readable").value.nominal;
            proptest::prop_assert_eq!(read.nm(), um * 1000);
        }
    }
}
