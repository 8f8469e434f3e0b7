//! How near to use, and from when on, a unit is read before it is released.

use crate::core::data_table::shipped_rows;
use serde::Deserialize;
use std::sync::LazyLock;

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

static ROWS: LazyLock<Vec<RuleRow>> = LazyLock::new(|| {
    shipped_rows(
        "jobs/release_rules.csv",
        include_str!("../../../data/jobs/release_rules.csv"),
    )
});

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
