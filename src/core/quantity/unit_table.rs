//! Units of pressure, mass, force, torque, temperature and time: one table (`data/quantity/units.csv`) and one reader of it.

use super::pressure::PressureReference;
use crate::core::data_table::shipped_rows;
use serde::Deserialize;
use std::collections::HashMap;
use std::sync::LazyLock;
use unicode_normalization::UnicodeNormalization as _;

/// Names what a table of units is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Measured {
    /// In pascals.
    Pressure,
    /// In grams.
    Mass,
    /// In newtons.
    Force,
    /// In newton metres.
    Torque,
    /// In degrees Celsius.
    Temperature,
    /// In seconds.
    Time,
}

/// One unit: a value in it less `zero`, times `factor`, is the value in the unit of the program.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Unit {
    pub(crate) zero: f64,
    pub(crate) factor: f64,
    /// What pressures in it are counted from, where the unit says so.
    pub(crate) reference: Option<PressureReference>,
}

impl Unit {
    pub(crate) fn value(self, number: f64) -> f64 {
        (number - self.zero) * self.factor
    }
}

#[derive(Deserialize)]
struct UnitRow {
    quantity: Measured,
    spellings: String,
    zero: f64,
    factor: f64,
    reference: Option<PressureReference>,
}

static UNITS: LazyLock<HashMap<(Measured, String), Unit>> = LazyLock::new(|| {
    let rows: Vec<UnitRow> = shipped_rows!("quantity/units.csv");
    let mut units = HashMap::new();
    for row in rows {
        let unit = Unit {
            zero: row.zero,
            factor: row.factor,
            reference: row.reference,
        };
        for spelling in row.spellings.split('|') {
            units.insert((row.quantity, spelling.to_owned()), unit);
        }
    }
    units
});

/// Writes a unit without the signs in which its spellings differ: "lbf·ft", "lbf-ft" and "LBF FT" are one; "N/mm²" is "n/mm2".
fn plain(word: &str) -> String {
    let letters = word
        .replace('º', "°")
        .nfkc()
        .collect::<String>()
        .to_lowercase();
    let bare = |c: &char| !c.is_whitespace() && !".·*^-()°º,".contains(*c);
    letters
        .replace(['"', '”', '″'], "in")
        .chars()
        .filter(bare)
        .collect()
}

/// What a unit of pressure may end with, and what pressures in it are then counted from.
const REFERENCES: [(&str, PressureReference); 6] = [
    ("absolute", PressureReference::Absolute),
    ("abs", PressureReference::Absolute),
    ("gauge", PressureReference::Gauge),
    ("gage", PressureReference::Gauge),
    ("a", PressureReference::Absolute),
    ("g", PressureReference::Gauge),
];

/// Finds a unit by its spelling. A milli that nobody means ("9.5 mPa" for megapascals) is no unit of pressure.
pub(crate) fn unit(of: Measured, word: &str) -> Option<Unit> {
    if of == Measured::Pressure && word.starts_with("mPa") {
        return None;
    }
    let plain = plain(word);
    let find = |spelling: &str| UNITS.get(&(of, spelling.to_owned())).copied();
    if let Some(found) = find(&plain) {
        return Some(found);
    }
    if of != Measured::Pressure {
        return None;
    }
    REFERENCES.iter().find_map(|(end, reference)| {
        let found = find(plain.strip_suffix(end)?)?;
        found.reference.is_none().then_some(Unit {
            reference: Some(*reference),
            ..found
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spellings_lead_to_their_unit_and_no_other() {
        let factor = |of, word| unit(of, word).map(|unit| unit.factor);
        assert_eq!(
            factor(Measured::Pressure, "lb/sq in."),
            factor(Measured::Pressure, "p.s.i.")
        );
        assert_eq!(factor(Measured::Pressure, "N/mm²"), Some(1e6));
        assert_eq!(
            factor(Measured::Torque, "lbf·ft"),
            factor(Measured::Torque, "ft-lb")
        );
        assert_eq!(factor(Measured::Pressure, "mPa"), None);
        assert_eq!(factor(Measured::Mass, "gr"), None);
        let reference = |word| unit(Measured::Pressure, word).and_then(|unit| unit.reference);
        assert_eq!(reference("ata"), Some(PressureReference::Absolute));
        assert_eq!(reference("bar abs"), Some(PressureReference::Absolute));
        assert_eq!(reference("psig"), Some(PressureReference::Gauge));
    }
}
