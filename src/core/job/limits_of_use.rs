//! The limits within which a unit is released: gas, supply, depth, temperature.

use super::mentioned::mentioned;
use crate::core::data_table::shipped_rows;
use crate::core::gas::{Doubt, GasService, OxygenThreshold};
use crate::core::quantity::Pressure;
use serde::Deserialize;
use std::sync::LazyLock;
use unicode_normalization::UnicodeNormalization;

/// What the limits of use say.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LimitsOfUse {
    /// The greatest pressure that they name.
    pub supply: Option<Pressure>,
    /// The gases that they name, each in its words.
    pub gases: Vec<(String, GasService)>,
    /// Numbers whose unit they do not give.
    pub unread: Vec<String>,
}

impl LimitsOfUse {
    /// Reads limits; pieces between commas and semicolons name a gas, or quantities.
    pub fn read(words: &str, threshold: &OxygenThreshold) -> Self {
        // Figures of other scripts are figures as well.
        let words: String = words.nfkc().collect();
        let mut limits = Self {
            supply: mentioned(&words).greatest(),
            ..Self::default()
        };
        for piece in words.split([',', ';']).map(str::trim) {
            match named_gas(piece, threshold) {
                Some(service) => limits.gases.push((piece.to_owned(), service)),
                None => limits.unread.extend(mentioned(piece).unread),
            }
        }
        limits
    }
}

/// The gas that words name, or nearly name; `None` where they are about something else.
fn named_gas(words: &str, threshold: &OxygenThreshold) -> Option<GasService> {
    let service = GasService::judge(Some(words), None, threshold);
    let GasService::Unsettled { doubts, .. } = &service else {
        return Some(service);
    };
    let names_none = |doubt: &Doubt| matches!(doubt, Doubt::NoGas | Doubt::NotRecorded);
    let nearly = |doubt: &Doubt| matches!(doubt, Doubt::LeftOver { near: Some(_), .. });
    let shares = service.share().is_some();
    let names_one = !doubts.iter().any(names_none) || doubts.iter().any(nearly);
    (names_one || shares).then_some(service)
}

/// Names a rule of data/jobs/release_rules.csv.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ReleaseRule {
    /// Least share of the supply of use that counts as a high supply.
    HighSupplyShare,
    /// Greatest share of the supply of use that counts as a low supply.
    LowSupplyShare,
    /// Latest begin of a watched series after the last purge, in seconds.
    CreepStartS,
    /// Greatest distance of its begin from a reading, in bar.
    CreepStartBar,
}

#[derive(Debug, Deserialize)]
struct RuleRow {
    rule: ReleaseRule,
    value: f64,
}

static ROWS: LazyLock<Vec<RuleRow>> = LazyLock::new(|| shipped_rows!("jobs/release_rules.csv"));

impl ReleaseRule {
    /// Returns the value: a share of the supply of use, seconds, or bar.
    ///
    /// # Panics
    /// Where the shipped table lacks the rule; a test reads it.
    pub fn value(self) -> f64 {
        let row = ROWS.iter().find(|row| row.rule == self);
        row.unwrap_or_else(|| panic!("shipped table jobs/release_rules.csv lacks {self:?}"))
            .value
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_name_gases_and_quantities_and_other_words_are_neither() {
        let read = |words: &str| LimitsOfUse::read(words, &OxygenThreshold::default());
        let usual = read("air, 200 bar, pool and shallow training to 10 m");
        assert_eq!(usual.gases, [("air".to_owned(), GasService::Air)]);
        assert!(usual.unread.is_empty() && usual.supply.is_some());
        for words in [
            "cold water to 4 C",
            "12 months",
            "200 bar",
            "with a second stage",
            "no ice diving",
        ] {
            assert!(
                read(words).gases.is_empty(),
                "{words}: {:?}",
                read(words).gases
            );
        }
        for words in [
            "oxygen",
            "EAN36",
            "air or EAN36",
            "oxigen",
            "nitrox",
            "50 % O2",
        ] {
            assert!(
                read(words)
                    .gases
                    .iter()
                    .any(|(_, gas)| gas.asks_oxygen_care()),
                "{words}"
            );
        }
    }

    #[test]
    fn a_low_supply_is_well_below_a_high_one() {
        let (low, high) = (
            ReleaseRule::LowSupplyShare.value(),
            ReleaseRule::HighSupplyShare.value(),
        );
        assert!(0.0 < low && low < high / 2.0 && high < 1.0);
        // Common practice, no source: 500 psi and 3000 psi of a unit for 3000 psi.
        assert!(500.0 / 3000.0 <= low && 2900.0 / 3000.0 >= high);
    }
}
