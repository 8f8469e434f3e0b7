//! Codes of the families, and the old numbers that mean them.

use super::super::standard::Standard;
use super::super::table::{SizeId, SizeTable};
use super::{Designated, DesignationReading};
use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use crate::core::elastomer::Polymer;
use crate::core::quantity::Hardness;
use serde::Deserialize;
use std::sync::LazyLock;

/// A series of numbers that mean AS568 sizes.
#[derive(Debug, Deserialize)]
pub(crate) struct NotationRow {
    /// What stands before the number.
    pub(crate) prefix: Option<String>,
    digits: Option<usize>,
    from: u32,
    to: u32,
    as568_from: u32,
    /// The polymer that the series implies.
    pub(crate) polymer: Option<Polymer>,
    /// The hardness that it implies.
    pub(crate) hardness_shore_a: Option<f64>,
    source: String,
    confidence: Confidence,
}

/// Lists every series of numbers that mean AS568 sizes.
pub(crate) fn number_series() -> &'static [NotationRow] {
    &NOTATIONS
}

static NOTATIONS: LazyLock<Vec<NotationRow>> =
    LazyLock::new(|| shipped_rows!("sizes/notations.csv"));

/// Gives every listed size that the text can name as a code.
pub(super) fn read(text: &str, table: &SizeTable) -> Vec<DesignationReading> {
    let upper = text.trim().to_uppercase();
    if !numbers_are_whole(&upper) {
        return Vec::new();
    }
    if let Some(found) = full_code(&upper, table) {
        return vec![found];
    }
    let mut readings = dash_numbers(&upper, table);
    readings.extend(jis(&upper, table));
    readings.extend(bs4518(&upper, table));
    readings.extend(trade_metric(&upper, table));
    readings
}

/// Says what may have been meant by a text that names no size.
pub(super) fn hint(text: &str, table: &SizeTable) -> Option<String> {
    let upper = text.trim().to_uppercase();
    let (prefix, number) = prefix_and_number(&upper)?;
    if prefix == "8" && number.len() == 3 {
        return Some(
            "8- is the prefix of back-up rings, which are not in the ring tables".to_owned(),
        );
    }
    let value: u32 = number.parse().ok()?;
    let known = NOTATIONS
        .iter()
        .any(|row| same_prefix(&prefix, row.prefix.as_deref().unwrap_or("")));
    if !known {
        return None;
    }
    if number.len() < 3 && table.dash(value).is_some() {
        return Some(format!("zeros count: did you mean -{value:03}?"));
    }
    Some(format!("there is no dash number {number}"))
}

fn full_code(upper: &str, table: &SizeTable) -> Option<DesignationReading> {
    let squeezed = squeeze(upper);
    let rest = ["ISO3601-1", "ISO3601"]
        .iter()
        .find_map(|p| squeezed.strip_prefix(p))?;
    let short = rest
        .trim_start_matches('-')
        .to_lowercase()
        .replace(',', ".");
    let short = short.replace('×', "x");
    let id = table
        .find(Standard::Iso3601, &short)
        .or_else(|| table.find(Standard::Iso3601Metric, &short))?;
    Some(listed(id, "ISO 3601-1 code", Confidence::Published))
}

/// Names of families that end in a digit, beside the prefixes of [`NOTATIONS`].
const FAMILY_NAMES: [&str; 5] = ["BS4518", "JISB2401", "B2401", "ISO3601-1", "ISO3601"];

/// Tells whether white space parts no digits but those of a family's name from the number behind it: "AS 568 012" is a code,
/// and "P3 0" may be two things.
fn numbers_are_whole(upper: &str) -> bool {
    let of_a_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',');
    let mut from = 0;
    while let Some(gap) = upper[from..].find(char::is_whitespace) {
        let before = &upper[..from + gap];
        let behind = upper[from + gap..].trim_start();
        if before.ends_with(of_a_number) && behind.starts_with(of_a_number) {
            let name = squeeze(before);
            let mut prefixes = NOTATIONS.iter().filter_map(|row| row.prefix.as_deref());
            if !FAMILY_NAMES.contains(&name.as_str())
                && !prefixes.any(|prefix| same_prefix(&name, prefix))
            {
                return false;
            }
        }
        from = upper.len() - behind.len();
    }
    true
}

fn squeeze(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

/// Parts "AS568-012" into prefix and number; the number is the run of digits at the end.
fn prefix_and_number(upper: &str) -> Option<(String, String)> {
    let squeezed = squeeze(upper);
    let begin = squeezed
        .rfind(|c: char| !c.is_ascii_digit())
        .map_or(0, |at| {
            at + squeezed[at..].chars().next().map_or(1, char::len_utf8)
        });
    let (prefix, number) = squeezed.split_at(begin);
    if number.is_empty() {
        return None;
    }
    Some((prefix.trim_end_matches('-').to_owned(), number.to_owned()))
}

fn same_prefix(typed: &str, row: &str) -> bool {
    let revision = typed.strip_suffix(|c: char| ('A'..='E').contains(&c));
    typed == row || (!row.is_empty() && revision == Some(row))
}

fn dash_numbers(upper: &str, table: &SizeTable) -> Vec<DesignationReading> {
    let Some((prefix, number)) = spaced_prefix(upper).or_else(|| prefix_and_number(upper)) else {
        return Vec::new();
    };
    let Ok(value) = number.parse::<u32>() else {
        return Vec::new();
    };
    NOTATIONS
        .iter()
        .filter(|row| same_prefix(&prefix, row.prefix.as_deref().unwrap_or("")))
        .filter(|row| row.digits.is_none_or(|d| d == number.len()))
        .filter(|row| (row.from..=row.to).contains(&value))
        .filter_map(|row| {
            let dash = row.as568_from + (value - row.from);
            let id = table.dash(dash)?;
            let understood = format!("{}: AS568-{dash:03}", row.source);
            let mut reading = listed(id, &understood, row.confidence);
            reading.polymer = row.polymer;
            reading.hardness = row.hardness_shore_a.and_then(Hardness::shore_a);
            Some(reading)
        })
        .collect()
}

/// Parts "AS568 012" and "AS 568 012", where a space stands for the dash.
fn spaced_prefix(upper: &str) -> Option<(String, String)> {
    let (prefix, number) = upper.trim().rsplit_once(' ')?;
    let all_digits = !number.is_empty() && number.chars().all(|c| c.is_ascii_digit());
    all_digits.then(|| {
        (
            squeeze(prefix).trim_end_matches('-').to_owned(),
            number.to_owned(),
        )
    })
}

fn jis(upper: &str, table: &SizeTable) -> Option<DesignationReading> {
    let squeezed = squeeze(upper).replace(',', ".");
    let rest = ["JISB2401", "JISB-2401", "B2401", "JIS"]
        .iter()
        .find_map(|p| squeezed.strip_prefix(p))
        .unwrap_or(&squeezed);
    let rest = rest.trim_start_matches(['-', ':']);
    let family = rest.chars().next()?;
    let standard = match family {
        'P' => Standard::JisP,
        'G' => Standard::JisG,
        'V' => Standard::JisV,
        _ => return None,
    };
    let short = format!("{family}{}", rest[1..].trim_start_matches('-'));
    let id = table.find(standard, &short)?;
    let understood = format!("{standard} code");
    Some(listed(id, &understood, Confidence::Published))
}

fn bs4518(upper: &str, table: &SizeTable) -> Option<DesignationReading> {
    let squeezed = squeeze(upper);
    let rest = squeezed
        .strip_prefix("BS4518")
        .unwrap_or(&squeezed)
        .trim_start_matches('-');
    let id = table.find(Standard::Bs4518, rest)?;
    Some(listed(id, "BS 4518 code", Confidence::Published))
}

/// "metric 10x2": the code by which this program names a ring of the trade.
fn trade_metric(upper: &str, table: &SizeTable) -> Option<DesignationReading> {
    let short = squeeze(upper.strip_prefix("METRIC ")?).to_lowercase();
    let families = [Standard::TradeMetric, Standard::TradeImplied];
    let id = families
        .into_iter()
        .find_map(|family| table.find(family, &short))?;
    let understood = "metric ring of the trade";
    Some(listed(id, understood, Confidence::SupplierTable))
}

pub(super) fn listed(id: SizeId, understood: &str, confidence: Confidence) -> DesignationReading {
    DesignationReading {
        size: Designated::Listed(id),
        understood: understood.to_owned(),
        confidence,
        polymer: None,
        hardness: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_notation_table_leads_to_listed_sizes() {
        let table = SizeTable::shipped();
        for row in NOTATIONS.iter() {
            assert!(table.dash(row.as568_from).is_some(), "{:?}", row.prefix);
            assert!(row.from <= row.to);
            assert!(!row.source.is_empty());
        }
    }
}
