//! Rings written by their dimensions: ID x section, ID x OD x section, and nominal inch fractions.

use super::super::standard::Standard;
use super::super::table::{SizeId, SizeTable};
use super::codes::listed;
use super::{Designated, DesignationError, DesignationReading};
use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use crate::core::quantity::{
    Dimension, Length, LengthUnit, NM_PER_INCH, RawDimension, Span, resolve, scan_dimensions,
};
use serde::Deserialize;
use std::sync::LazyLock;

#[derive(Deserialize)]
struct NominalRow {
    first_dash: String,
    last_dash: String,
    nominal_in: String,
    section_in: f64,
}

impl NominalRow {
    /// Returns what stands above and below the line of the nominal section.
    fn fraction(&self) -> (i64, i64) {
        let (n, d) = self.nominal_in.split_once('/').unwrap_or(("0", "1"));
        (n.parse().unwrap_or(0), d.parse().unwrap_or(1))
    }
}

static NOMINAL: LazyLock<Vec<NominalRow>> =
    LazyLock::new(|| shipped_rows!("sizes/nominal_sections.csv"));

/// Sections of rings, from instrument rings to large flanges.
const SECTION_MM: std::ops::RangeInclusive<f64> = 0.3..=12.7;
/// A section of more of the inside diameter is an exchange, save of the few rings that a list has (up to 2.1, AS568-102).
const MOST_SECTION_OF_ID: f64 = 1.25;
/// Inside diameters of rings.
const ID_MM: std::ops::RangeInclusive<f64> = 0.3..=3000.0;
/// No tolerance of a listed ring is more than 0.14 of its dimension (AS568-001).
const MOST_TOLERANCE: f64 = 1.0 / 3.0;
/// A written outside diameter may differ from ID + 2 sections by this share of the section, being rounded.
const OD_SLACK: f64 = 0.12;

/// Tells whether a text holds dimensions parted by x.
pub(super) fn looks_like(text: &str) -> bool {
    let first = text.split_once(is_times).map(|(first, _)| first);
    first.is_some_and(|first| first.contains(char::is_numeric))
}

/// Tells whether a sign stands between two dimensions.
fn is_times(c: char) -> bool {
    matches!(c, 'x' | 'X' | '×' | '*')
}

/// Reads dimensions in every unit in which they can be a ring.
pub(super) fn read(
    text: &str,
    declared: Option<LengthUnit>,
    table: &SizeTable,
) -> Result<Vec<DesignationReading>, DesignationError> {
    let parts = scan_parts(text)?;
    if let Some(nominal) = nominal_inch(&parts, declared, table) {
        return Ok(nominal);
    }
    let has_unit = parts.iter().any(|p| p.unit().is_some());
    let units: Vec<LengthUnit> = match declared {
        Some(unit) => vec![unit],
        None if has_unit => vec![LengthUnit::Mm],
        None => vec![LengthUnit::Mm, LengthUnit::In],
    };
    let mut readings = Vec::new();
    let mut error = None;
    for unit in units {
        match ring_of(&parts, text, unit) {
            Ok((id, section)) => readings.push(by_dimensions(id, section, unit, has_unit, table)),
            Err(e) => {
                error.get_or_insert(e);
            }
        }
    }
    match error {
        Some(error) if readings.is_empty() => Err(error),
        _ => Ok(readings),
    }
}

fn by_dimensions(
    id: Dimension,
    section: Dimension,
    unit: LengthUnit,
    has_unit: bool,
    table: &SizeTable,
) -> DesignationReading {
    let understood = if has_unit {
        "dimensions".to_owned()
    } else {
        format!("dimensions, taken as {}", unit.symbol())
    };
    DesignationReading {
        size: Designated::Dimensions {
            id,
            section,
            same: table.same_dimensions(id.nominal, section.nominal),
        },
        understood,
        confidence: Confidence::Measured,
        polymer: None,
        hardness: None,
    }
}

/// Splits at x and gives every part without a unit the one unit that is written: "9.25 x 1.78 mm", "0.364 in x 0.07".
fn scan_parts(text: &str) -> Result<Vec<RawDimension>, DesignationError> {
    if begins_with_dash_number(text) {
        return Err(not_a_ring(
            text,
            "the first number may be a code and the fraction the first dimension; write one of the two alone",
        ));
    }
    let mut parts = Vec::new();
    let mut at = 0;
    for piece in text.split(is_times) {
        if piece.trim_end().ends_with([',', ';']) && at + piece.len() < text.len() {
            return Err(not_a_ring(text, "a comma stands before the sign of times"));
        }
        let scanned = scan_dimensions(piece).map_err(|e| e.shifted(at))?;
        let [one] = scanned.as_slice() else {
            return Err(not_a_ring(text, "two numbers stand side by side"));
        };
        let mut one = *one;
        one.span = one.span.shifted(at);
        parts.push(one);
        at += piece.len()
            + text[at + piece.len()..]
                .chars()
                .next()
                .map_or(0, char::len_utf8);
    }
    let mut units = parts.iter().filter_map(RawDimension::unit);
    let first = units.next();
    let bare = parts.iter().any(|p| p.unit().is_none());
    if bare && units.any(|unit| Some(unit) != first) {
        return Err(not_a_ring(
            text,
            "two units are written and a number stands without one; write the unit of each",
        ));
    }
    Ok(parts.into_iter().map(|p| p.or_unit(first)).collect())
}

/// Tells whether three digits or more stand before a fraction: "210 3/4 x 1 x 1/8" is a dash number with its nominal
/// dimensions, and no mixed number of a ring is so large.
fn begins_with_dash_number(text: &str) -> bool {
    let mut words = text.split_whitespace();
    let digits = |word: &str| {
        let word = word.trim_start_matches('+');
        word.len() >= 3 && word.bytes().all(|b| b.is_ascii_digit())
    };
    words.next().is_some_and(digits) && words.next().is_some_and(|word| word.contains('/'))
}

fn not_a_ring(text: &str, reason: &str) -> DesignationError {
    DesignationError::NotARing {
        found: text.chars().take(40).collect(),
        span: Span::new(0, text.len()),
        reason: reason.to_owned(),
    }
}

fn ring_of(
    parts: &[RawDimension],
    text: &str,
    unit: LengthUnit,
) -> Result<(Dimension, Dimension), DesignationError> {
    let lengths = resolve(parts, text, Some(unit))?;
    let (id, section) = match lengths.as_slice() {
        [id, section] => (*id, *section),
        [first, second, section] => {
            let (id, od) = if first.nominal <= second.nominal {
                (*first, *second)
            } else {
                (*second, *first)
            };
            let expected = id.nominal.mm() + 2.0 * section.nominal.mm();
            if (od.nominal.mm() - expected).abs() > OD_SLACK * section.nominal.mm() {
                return Err(not_a_ring(
                    text,
                    "the three do not agree as ID, OD and section",
                ));
            }
            (id, *section)
        }
        _ => return Err(not_a_ring(text, "two or three dimensions are asked for")),
    };
    let loose = |d: &Dimension| d.plus.max(d.minus).mm() > MOST_TOLERANCE * d.nominal.mm();
    if lengths.iter().any(loose) {
        return Err(not_a_ring(
            text,
            "a tolerance of more than a third of its dimension is no ring's",
        ));
    }
    if !SECTION_MM.contains(&section.nominal.mm()) {
        return Err(not_a_ring(text, "a section lies between 0.3 and 12.7 mm"));
    }
    let listed = || {
        let same = SizeTable::shipped().same_dimensions(id.nominal, section.nominal);
        !same.is_empty()
    };
    if section.nominal.mm() > MOST_SECTION_OF_ID * id.nominal.mm() && !listed() {
        return Err(not_a_ring(
            text,
            "the section is too large for the inside diameter: perhaps the two are exchanged; write ID x section",
        ));
    }
    if !ID_MM.contains(&id.nominal.mm()) {
        return Err(not_a_ring(
            text,
            "an inside diameter lies between 0.3 mm and 3 m",
        ));
    }
    Ok((id, section))
}

/// Reads nominal inch fractions: the last part is a nominal section such as 1/16, and no part is a decimal.
fn nominal_inch(
    parts: &[RawDimension],
    declared: Option<LengthUnit>,
    table: &SizeTable,
) -> Option<Vec<DesignationReading>> {
    let unit = parts.last()?.unit().or(declared);
    let inches = unit.is_none_or(|u| u == LengthUnit::In);
    let fractional = parts.iter().all(|p| {
        let below = p.number().denominator;
        !p.has_tolerance() && (below == 1 || (below > 1 && 64 % below == 0))
    });
    if !inches || !fractional || !(2..=3).contains(&parts.len()) {
        return None;
    }
    let section = parts.last()?.number();
    let row = NOMINAL.iter().find(|row| {
        let (n, d) = row.fraction();
        i128::from(n) * section.denominator == section.numerator * i128::from(d)
    })?;
    let id_nm = parts[0].number().times(i128::from(NM_PER_INCH));
    let nominal_id = Length::from_nm(i64::try_from(id_nm).ok()?);
    if parts.len() == 3 {
        let od_nm = parts[1].number().times(i128::from(NM_PER_INCH));
        let walls = section.times(i128::from(NM_PER_INCH)) * 2;
        if od_nm - id_nm != walls {
            return None;
        }
    }
    let id = nearest_size(row, nominal_id, table)?;
    let understood = format!(
        "nominal inch size: the real section is {:.3} in and the real ID {:.3} in",
        row.section_in,
        table.size(id).id.nominal.inch()
    );
    Some(vec![listed(id, &understood, Confidence::SupplierTable)])
}

/// Finds the AS568 ring that is sold by a nominal inside diameter: `section` is the nominal fraction (1/16 in) or the real one
/// (0.070 in, 1.78 mm).
pub(crate) fn nominal_ring(id: Length, section: Length, table: &SizeTable) -> Option<SizeId> {
    let row = NOMINAL.iter().find(|row| {
        let (n, d) = row.fraction();
        let real = Length::from_mm(row.section_in * MM_PER_INCH);
        let is_real = |real: Length| (real - section).nm().abs() <= SAME_SECTION_NM;
        n * NM_PER_INCH / d == section.nm() || real.is_some_and(is_real)
    })?;
    nearest_size(row, id, table)
}

/// A section in millimetres is rounded to the hundredth.
const SAME_SECTION_NM: i64 = 11_000;
const MM_PER_INCH: f64 = 25.4;

/// Finds the listed ring that a nominal inside diameter stands for: the real one is up to 0.03 in smaller (a few of
/// the smallest up to 0.01 in larger), and the listed steps are wider than that.
fn nearest_size(row: &NominalRow, nominal: Length, table: &SizeTable) -> Option<SizeId> {
    const SMALLER_IN: f64 = 0.030;
    const LARGER_IN: f64 = 0.010;
    let dashes = row.first_dash.as_str()..=row.last_dash.as_str();
    let size = table
        .sizes()
        .iter()
        .filter(|s| s.standard == Standard::As568 && dashes.contains(&s.short_code.as_str()))
        .filter(|s| {
            let smaller = (nominal - s.id.nominal).inch();
            (-LARGER_IN..=SMALLER_IN).contains(&smaller)
        })
        .min_by_key(|s| (nominal - s.id.nominal).nm().abs())?;
    table.find_code(&size.code())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nominal_sections_are_the_real_ones_of_their_dash_numbers() {
        let table = SizeTable::shipped();
        for row in NOMINAL.iter() {
            for dash in [&row.first_dash, &row.last_dash] {
                let id = table.find(Standard::As568, dash).expect("listed");
                let real = table.size(id).section.nominal.inch();
                assert!((real - row.section_in).abs() < 1e-9, "{dash}");
            }
        }
    }
}
