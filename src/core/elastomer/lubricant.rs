//! Which class of lubricant suits a gas and a polymer, and which never.

use super::polymer::Polymer;
use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// Says what a lubricant is to a gas.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum LubricantVerdict {
    /// May be used, sparingly.
    Suits,
    /// Another is better.
    Avoid,
    /// Must not be used.
    Never,
}

/// Holds what one class of lubricant is to a gas, and to one polymer where that changes it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LubricantRule {
    /// The class.
    pub lubricant: String,
    /// The class in words.
    pub name: String,
    gas: LubricatedGas,
    /// The polymer that the rule is about; every polymer where `None`.
    pub polymer: Option<Polymer>,
    /// What it is.
    pub verdict: LubricantVerdict,
    /// Why.
    pub reason: String,
    /// Where it comes from.
    pub source: String,
    /// How well it is known.
    pub confidence: Confidence,
}

/// Names the gas by what it asks of a lubricant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum LubricatedGas {
    /// Not enriched.
    Air,
    /// More oxygen than the threshold in use.
    Enriched,
}

static ROWS: LazyLock<Vec<LubricantRule>> = LazyLock::new(|| {
    shipped_rows(
        "elastomers/lubricants.csv",
        include_str!("../../../data/elastomers/lubricants.csv"),
    )
});

/// Lists every class of lubricant once, as it is to a gas and a polymer; a rule for the polymer goes before the general one.
///
/// What suits stands first.
pub fn lubricants(gas: LubricatedGas, polymer: Option<Polymer>) -> Vec<&'static LubricantRule> {
    let mut chosen: Vec<&LubricantRule> = Vec::new();
    for rule in ROWS.iter().filter(|rule| rule.gas == gas) {
        if rule.polymer.is_some() && rule.polymer != polymer {
            continue;
        }
        match chosen.iter_mut().find(|c| c.lubricant == rule.lubricant) {
            Some(general) if rule.polymer.is_some() => *general = rule,
            Some(_) => {}
            None => chosen.push(rule),
        }
    }
    chosen.sort_by_key(|rule| rule.verdict);
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;

    fn verdict(gas: LubricatedGas, polymer: Option<Polymer>, class: &str) -> LubricantVerdict {
        let rules = lubricants(gas, polymer);
        rules
            .iter()
            .find(|r| r.lubricant == class)
            .expect("the class")
            .verdict
    }

    #[test]
    fn silicone_grease_is_for_air_alone_and_not_for_silicone_rubber() {
        use LubricatedGas::{Air, Enriched};
        assert_eq!(
            verdict(Air, Some(Polymer::Nbr), "silicone_grease"),
            LubricantVerdict::Suits
        );
        assert_eq!(
            verdict(Air, Some(Polymer::Vmq), "silicone_grease"),
            LubricantVerdict::Avoid
        );
        assert_eq!(
            verdict(Enriched, None, "silicone_grease"),
            LubricantVerdict::Never
        );
    }

    #[test]
    fn every_gas_has_one_class_that_suits_and_no_hydrocarbon() {
        for gas in [LubricatedGas::Air, LubricatedGas::Enriched] {
            assert_eq!(lubricants(gas, None)[0].verdict, LubricantVerdict::Suits);
            assert_eq!(verdict(gas, None, "hydrocarbon"), LubricantVerdict::Never);
        }
    }
}
