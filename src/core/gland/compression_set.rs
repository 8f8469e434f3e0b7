//! Compression set: what a squeezed ring does not spring back.

use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use crate::core::elastomer::Polymer;
use serde::Deserialize;
use std::sync::LazyLock;

/// A compression set by method B in per cent of the squeeze, and the age in years at which it is expected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CompressionSet {
    /// Per cent of the squeeze that is not recovered, 100 (t0 − ti)/(t0 − tn).
    pub percent: f64,
    /// Age in years, where one was stated.
    pub years: Option<f64>,
}

/// The typical set of a polymer's compounds after 22 h at 100 °C.
#[derive(Debug, Clone, Deserialize)]
pub struct TypicalSet {
    pub polymer: Polymer,
    pub low_pct: f64,
    pub high_pct: f64,
    pub source: String,
    pub confidence: Confidence,
}

static ROWS: LazyLock<Vec<TypicalSet>> =
    LazyLock::new(|| shipped_rows!("elastomers/compression_set.csv"));

impl CompressionSet {
    /// Returns the name of the state for the report.
    pub(super) fn state_name(self) -> String {
        let age = self
            .years
            .map_or_else(String::new, |y| format!(" after {y} years"));
        format!("{} % set{age}", self.percent)
    }

    /// Returns the section before use from the height of the used ring (mm) and the gland depth (mm).
    ///
    /// W0 = (Wr − CB L)/(1 − CB), the definition of method B (ASTM D395) solved for the original thickness; `None` for a
    /// ring that is wholly set, whose height is the gland depth whatever it was.
    ///
    /// ```
    /// use ringwright::core::gland::CompressionSet;
    /// let set = CompressionSet { percent: 25.0, years: None };
    /// // W0 3.526 mm squeezed by 20 % to 2.8208 mm, a quarter of it not recovered: 3.35 mm.
    /// assert!((set.original_section(3.35, 2.8208).unwrap() - 3.526).abs() < 0.001);
    /// ```
    pub fn original_section(self, height: f64, depth: f64) -> Option<f64> {
        let set = self.percent / 100.0;
        (set < 1.0).then(|| (height - set * depth) / (1.0 - set))
    }
}

impl TypicalSet {
    /// Finds the typical set of a polymer, where one is published.
    pub fn of(polymer: Polymer) -> Option<&'static Self> {
        ROWS.iter().find(|row| row.polymer == polymer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worked_example_of_method_b_is_reproduced() {
        // t0 12.5 mm, spacer 9.375 mm, recovered 11.875 mm -> 20 % (gioanggasket.com, compression set test, W14).
        let set = CompressionSet {
            percent: 20.0,
            years: None,
        };
        let original = set.original_section(11.875, 9.375).expect("not wholly set");
        assert!((original - 12.5).abs() < 1e-12);
        let whole = CompressionSet {
            percent: 100.0,
            years: None,
        };
        assert_eq!(whole.original_section(2.8, 2.8), None);
    }

    #[test]
    fn typical_sets_have_a_range_and_a_source() {
        for row in ROWS.iter() {
            assert!(row.low_pct < row.high_pct && !row.source.is_empty());
        }
        assert_eq!(TypicalSet::of(Polymer::Nbr).map(|r| r.high_pct), Some(40.0));
    }
}
