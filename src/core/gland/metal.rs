//! The metals of glands and how they expand.

use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use serde::Deserialize;
use std::sync::LazyLock;

#[derive(Debug, Deserialize)]
struct MetalRow {
    metal: String,
    cte_1e6_per_k: f64,
    source: String,
    confidence: Confidence,
}

static ROWS: LazyLock<Vec<MetalRow>> = LazyLock::new(|| {
    shipped_rows(
        "glands/metals.csv",
        include_str!("../../../data/glands/metals.csv"),
    )
});

/// Points at a metal of the shipped table; brass, of which most regulators are made, where nothing is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Metal(usize);

impl Metal {
    /// Finds a metal by its word.
    pub fn from_word(word: &str) -> Option<Self> {
        let lower = word.trim().to_lowercase();
        ROWS.iter().position(|row| row.metal == lower).map(Self)
    }

    /// Lists the words of the known metals.
    pub fn words() -> Vec<&'static str> {
        ROWS.iter().map(|row| row.metal.as_str()).collect()
    }

    /// Returns the word of the metal.
    pub fn word(self) -> &'static str {
        ROWS.get(self.0).map_or("", |row| row.metal.as_str())
    }

    /// Returns the linear expansion per kelvin.
    pub fn expansion(self) -> f64 {
        ROWS.get(self.0).map_or(0.0, |row| row.cte_1e6_per_k * 1e-6)
    }

    /// Returns where the figure comes from and how well it is known.
    pub fn source(self) -> (&'static str, Confidence) {
        ROWS.get(self.0).map_or(("", Confidence::Memory), |row| {
            (row.source.as_str(), row.confidence)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn brass_stands_first_and_metals_expand_like_metals() {
        assert_eq!(Metal::default().word(), "brass");
        for word in Metal::words() {
            let metal = Metal::from_word(word).expect("listed");
            assert!((10e-6..=25e-6).contains(&metal.expansion()), "{word}");
            assert!(!metal.source().0.is_empty());
        }
    }
}
