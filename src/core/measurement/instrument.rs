//! Instruments: how far a reading of rubber lies from the truth, and how it scatters.

use super::reading::Measurand;
use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// How one method reads one measurand. Lengths in millimetres, masses in grams.
///
/// A reading is truth + `bias` + an error that stays the same for one ring (`sd_between`) + an error that is new at every
/// repetition (`sd_repeat`).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Instrument {
    /// The word that names the method; empty for "not stated".
    pub method: &'static str,
    pub measurand: Measurand,
    /// How much it reads too large (negative: too small).
    pub bias: f64,
    /// Standard deviation of the error that repeats do not remove.
    pub sd_between: f64,
    /// Standard deviation of the error of one repetition.
    pub sd_repeat: f64,
    /// Bench time of one reading in minutes.
    pub minutes: f64,
    /// The method in words.
    pub label: &'static str,
    pub source: &'static str,
    pub confidence: Confidence,
}

impl Instrument {
    /// Returns the variance of a mean of `count` repetitions about the true value plus bias.
    pub fn variance_of_mean(&self, count: usize) -> f64 {
        let repeats = count.max(1) as f64;
        self.sd_between * self.sd_between + self.sd_repeat * self.sd_repeat / repeats
    }
}

/// Says that a method is unknown or does not measure what it is said to have measured.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{method:?} is not a method for the {}: write one of {known}, or leave it out", .measurand.name())]
pub struct InstrumentError {
    pub method: String,
    pub measurand: Measurand,
    pub known: String,
}

/// The instruments that are known.
#[derive(Debug, Clone)]
pub struct Instruments {
    rows: Vec<Instrument>,
}

static SHIPPED: LazyLock<Instruments> = LazyLock::new(|| Instruments {
    rows: shipped_rows!("measurement/instruments.csv"),
});

impl Instruments {
    /// Returns the instruments of the shipped table.
    pub fn shipped() -> &'static Self {
        &SHIPPED
    }

    /// Finds how a method reads a measurand; an empty word means "not stated".
    ///
    /// # Errors
    /// Lists the methods that measure it.
    pub fn find(&self, method: &str, measurand: Measurand) -> Result<&Instrument, InstrumentError> {
        let word = method.trim().to_lowercase();
        let word = match word.as_str() {
            "calliper" | "calipers" | "callipers" => "caliper",
            other => other,
        };
        self.of(measurand)
            .find(|row| row.method.eq_ignore_ascii_case(word))
            .ok_or_else(|| InstrumentError {
                method: method.to_owned(),
                measurand,
                known: self.methods_of(measurand),
            })
    }

    /// Lists the methods of a measurand; the first is "not stated".
    pub fn of(&self, measurand: Measurand) -> impl Iterator<Item = &Instrument> {
        self.rows
            .iter()
            .filter(move |row| row.measurand == measurand)
    }

    /// Returns every row.
    pub fn rows(&self) -> &[Instrument] {
        &self.rows
    }

    /// Returns the table with further rows; a row of a method and measurand that is there already takes its place.
    #[must_use]
    pub fn with_rows(&self, rows: impl IntoIterator<Item = Instrument>) -> Self {
        let mut all = self.rows.clone();
        for row in rows {
            let twin = all
                .iter_mut()
                .find(|r| r.method == row.method && r.measurand == row.measurand);
            match twin {
                Some(twin) => *twin = row,
                None => all.push(row),
            }
        }
        Self { rows: all }
    }

    fn methods_of(&self, measurand: Measurand) -> String {
        let words: Vec<&str> = self
            .of(measurand)
            .map(|row| row.method)
            .filter(|word| !word.is_empty())
            .collect();
        words.join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_measurand_has_a_method_that_is_not_stated() {
        for (measurand, _) in Measurand::ALL {
            let plain = Instruments::shipped().find("", measurand).expect("a row");
            assert!(plain.sd_between > 0.0 && plain.minutes > 0.0);
        }
    }

    #[test]
    fn no_instrument_is_listed_twice_and_all_scatter() {
        let rows = &Instruments::shipped().rows;
        for (at, row) in rows.iter().enumerate() {
            assert!(row.sd_between > 0.0 && row.sd_repeat > 0.0, "{row:?}");
            let twin = rows[..at]
                .iter()
                .any(|r| r.method == row.method && r.measurand == row.measurand);
            assert!(!twin, "{row:?}");
        }
    }

    #[test]
    fn an_unknown_method_is_refused_with_those_that_are_known() {
        let error = Instruments::shipped()
            .find("laser", Measurand::Id)
            .expect_err("unknown");
        assert!(error.to_string().contains("caliper"));
    }
}
