//! The four designs of a pressure stage.

use crate::core::word::Word;
use serde::{Deserialize, Serialize};

/// Names the design of a pressure stage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum StageDesign {
    /// A piston whose seat is pushed open by the supply.
    #[serde(rename = "unbalanced piston")]
    UnbalancedPiston,
    /// A hollow piston through which the gas flows.
    #[serde(rename = "balanced piston")]
    BalancedPiston,
    /// A diaphragm that opens a poppet against the supply.
    #[serde(rename = "unbalanced diaphragm")]
    UnbalancedDiaphragm,
    /// A diaphragm with a poppet that the supply neither opens nor shuts.
    #[serde(rename = "balanced diaphragm")]
    BalancedDiaphragm,
}

impl StageDesign {
    /// Every design, in the order of the words.
    pub const ALL: [Self; 4] = [
        Self::UnbalancedPiston,
        Self::BalancedPiston,
        Self::UnbalancedDiaphragm,
        Self::BalancedDiaphragm,
    ];

    /// Returns the words of a design.
    pub const fn words(self) -> &'static str {
        match self {
            Self::UnbalancedPiston => "unbalanced piston",
            Self::BalancedPiston => "balanced piston",
            Self::UnbalancedDiaphragm => "unbalanced diaphragm",
            Self::BalancedDiaphragm => "balanced diaphragm",
        }
    }

    /// Reads a design, with spaces or hyphens between its words.
    pub fn from_words(words: &str) -> Option<Self> {
        let plain = words.trim().to_lowercase().replace(['-', '_'], " ");
        Self::ALL.into_iter().find(|design| design.words() == plain)
    }
}

impl Word for StageDesign {
    fn words() -> Vec<&'static str> {
        vec![
            "unbalanced-piston",
            "balanced-piston",
            "unbalanced-diaphragm",
            "balanced-diaphragm",
        ]
    }

    fn of_word(word: &str) -> Option<Self> {
        Self::from_words(word)
    }
}

impl std::fmt::Display for StageDesign {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.words())
    }
}
