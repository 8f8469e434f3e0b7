//! The gases that are known by name.

use crate::core::data_table::shipped_rows;
use serde::Deserialize;
use std::sync::LazyLock;

/// Says what a named gas is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum GasKind {
    Air,
    /// Oxygen, pure unless a share is said.
    Oxygen,
    /// A mix with more oxygen than air, unless its share says else.
    Enriched,
    /// A mix with helium, whose share of oxygen must be said.
    #[serde(rename = "helium mix")]
    HeliumMix,
    /// Nitrogen, which with oxygen makes air.
    Nitrogen,
    /// A gas that neither burns nor feeds a fire.
    Inert,
    /// A gas that burns.
    Fuel,
    /// A known gas that is none of these.
    Other,
    /// A gas without free oxygen that feeds a fire as oxygen does.
    Oxidizer,
}

impl GasKind {
    /// Tells whether it is one gas, or air, rather than a mix that is named by its share.
    pub(super) const fn is_plain(self) -> bool {
        !matches!(self, Self::Enriched | Self::HeliumMix)
    }

    /// Tells whether mixes of such gases alone can be air.
    pub(super) const fn is_of_air(self) -> bool {
        matches!(
            self,
            Self::Air | Self::Oxygen | Self::Enriched | Self::Nitrogen
        )
    }
}

/// Says what a figure directly behind a name means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum Behind {
    /// Its share of oxygen in per cent.
    Oxygen,
    /// Two figures: oxygen and helium.
    #[serde(rename = "oxygen/helium")]
    OxygenHelium,
    /// One figure: oxygen; of two, either.
    Either,
    /// How pure it is, as 4.8 for 99.998 %.
    Grade,
}

/// One gas of the list.
#[derive(Debug, Deserialize)]
pub(super) struct GasName {
    pub(super) name: String,
    spellings: String,
    pub(super) kind: GasKind,
    pub(super) oxygen: Option<f64>,
    pub(super) behind: Option<Behind>,
    beside: Option<String>,
}

static GASES: LazyLock<Vec<GasName>> = LazyLock::new(|| shipped_rows!("gas/gases.csv"));

impl GasName {
    /// Lists every known gas.
    pub(super) fn all() -> &'static [Self] {
        &GASES
    }

    /// Lists how it is written, in lower case.
    pub(super) fn spellings(&self) -> impl Iterator<Item = &str> {
        self.spellings.split('|')
    }

    /// Lists the words that say of it nothing that matters here.
    pub(super) fn beside(&self) -> impl Iterator<Item = &str> {
        self.beside.iter().flat_map(|words| words.split('|'))
    }

    /// Tells whether such words may stand beside it.
    pub(super) fn takes(&self, words: &str) -> bool {
        self.beside().any(|known| known == words)
    }

    /// Finds the known name nearest to a word: one slip in words of three to five letters, two in longer ones.
    pub(super) fn nearest(word: &str) -> Option<&'static str> {
        const LONGEST: usize = 24;
        let length = word.chars().count();
        let slips = match length {
            3..=5 => 1,
            6..=LONGEST => 2,
            _ => return None,
        };
        let spellings = Self::all().iter().flat_map(Self::spellings);
        spellings
            .filter(|known| known.chars().count() > 2)
            .map(|known| (strsim::osa_distance(known, word), known))
            .filter(|(distance, _)| *distance <= slips)
            .min()
            .map(|(_, known)| known)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn no_spelling_stands_for_two_gases() {
        let mut seen = HashSet::new();
        for gas in GasName::all() {
            assert!(gas.oxygen.is_none_or(|share| (0.0..=1.0).contains(&share)));
            for spelling in gas.spellings() {
                assert!(seen.insert(spelling), "{spelling}");
                assert_eq!(spelling, spelling.to_lowercase());
            }
        }
    }

    #[test]
    fn a_slip_leads_to_the_name_that_was_meant() {
        assert_eq!(GasName::nearest("oxigen"), Some("oxygen"));
        assert_eq!(GasName::nearest("nitrogn"), Some("nitrogen"));
        assert_eq!(GasName::nearest("hose"), None);
    }
}
