//! The polymers of rings and what is known of them.

use super::polymer_fitness::Rating;
use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use crate::core::word::Word;
use serde::{Deserialize, Serialize};
use std::collections::HashMap;
use std::sync::LazyLock;

/// Names a polymer by its ASTM D1418 letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "UPPERCASE")]
pub enum Polymer {
    /// Nitrile.
    Nbr,
    /// Hydrogenated nitrile.
    Hnbr,
    /// Fluorocarbon.
    Fkm,
    /// Ethylene propylene.
    Epdm,
    /// Silicone.
    Vmq,
    /// Fluorosilicone.
    Fvmq,
    /// Chloroprene.
    Cr,
    /// Perfluoro rubber.
    Ffkm,
    /// Polyurethane.
    Pu,
    /// Butyl.
    Iir,
    /// Natural rubber.
    Nr,
    /// Polytetrafluoroethylene, a plastic.
    Ptfe,
}

/// What is known of one polymer; a field is `None` where no figure is at hand.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PolymerFacts {
    pub polymer: Polymer,
    pub name: String,
    pub density_min_g_cm3: f64,
    pub density_max_g_cm3: f64,
    /// Linear thermal expansion in 10⁻⁶ per kelvin.
    pub cte_1e6_per_k: Option<f64>,
    /// Coldest temperature of use in °C, standard compounds.
    pub temp_min_c: Option<f64>,
    /// Hottest temperature of use in °C, standard compounds.
    pub temp_max_c: Option<f64>,
    pub breathing_air: Option<Rating>,
    pub enriched_gas: Option<Rating>,
    pub source: String,
    pub confidence: Confidence,
}

#[derive(Deserialize)]
struct SpellingRow {
    spelling: String,
    polymer: Polymer,
}

static FACTS: LazyLock<Vec<PolymerFacts>> =
    LazyLock::new(|| shipped_rows!("elastomers/polymers.csv"));

static SPELLINGS: LazyLock<Vec<SpellingRow>> =
    LazyLock::new(|| shipped_rows!("elastomers/spellings.csv"));

static BY_SPELLING: LazyLock<HashMap<&'static str, Polymer>> = LazyLock::new(|| {
    let rows = SPELLINGS.iter();
    rows.map(|row| (row.spelling.as_str(), row.polymer))
        .collect()
});

impl Word for Polymer {
    fn words() -> Vec<&'static str> {
        Self::all().map(|facts| facts.polymer.letters()).collect()
    }

    fn of_word(word: &str) -> Option<Self> {
        Self::from_word(word)
    }
}

impl Polymer {
    /// Finds the polymer of a word as lists write it: `NBR`, `Buna-N`, `FPM`, or a supplier's single letter.
    ///
    /// Colour never names a polymer.
    pub fn from_word(word: &str) -> Option<Self> {
        let word = word.trim();
        if word
            .bytes()
            .any(|byte| byte.is_ascii_lowercase() || !byte.is_ascii())
        {
            return BY_SPELLING.get(word.to_uppercase().as_str()).copied();
        }
        BY_SPELLING.get(word).copied()
    }

    /// Returns what is known of the polymer.
    ///
    /// # Panics
    /// Never: a test checks that the shipped table has a row for every polymer.
    pub fn facts(self) -> &'static PolymerFacts {
        FACTS
            .iter()
            .find(|facts| facts.polymer == self)
            .unwrap_or_else(|| panic!("no facts for {self}"))
    }

    /// Lists every polymer of the shipped table.
    pub fn all() -> impl Iterator<Item = &'static PolymerFacts> {
        FACTS.iter()
    }

    /// Returns the ASTM D1418 letters.
    pub const fn letters(self) -> &'static str {
        match self {
            Self::Nbr => "NBR",
            Self::Hnbr => "HNBR",
            Self::Fkm => "FKM",
            Self::Epdm => "EPDM",
            Self::Vmq => "VMQ",
            Self::Fvmq => "FVMQ",
            Self::Cr => "CR",
            Self::Ffkm => "FFKM",
            Self::Pu => "PU",
            Self::Iir => "IIR",
            Self::Nr => "NR",
            Self::Ptfe => "PTFE",
        }
    }
}

impl std::fmt::Display for Polymer {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.letters())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_spelling_leads_to_a_polymer_with_facts() {
        for row in SPELLINGS.iter() {
            assert_eq!(Polymer::from_word(&row.spelling), Some(row.polymer));
            assert!(row.polymer.facts().density_min_g_cm3 > 0.5);
        }
        assert_eq!(Polymer::from_word("buna-n"), Some(Polymer::Nbr));
        assert_eq!(Polymer::from_word("black"), None);
    }

    #[test]
    fn the_letters_are_those_of_the_table() {
        for facts in Polymer::all() {
            assert_eq!(
                Polymer::from_word(facts.polymer.letters()),
                Some(facts.polymer)
            );
            assert!(facts.density_max_g_cm3 > facts.density_min_g_cm3);
        }
    }
}
