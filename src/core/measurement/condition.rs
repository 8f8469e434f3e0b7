//! The state a ring is in when it is measured.

use serde::{Deserialize, Serialize};

/// Names the state a ring is in; the figures behind each word stand in `data/measurement/conditions.csv`.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "lowercase")]
pub enum Condition {
    /// Never fitted.
    New,
    /// Taken out of service, still round and springy.
    #[default]
    Used,
    /// Flattened, hard, swollen or cracked.
    Rough,
}

impl Condition {
    /// Lists every condition with its word.
    pub const ALL: [(Self, &'static str); 3] = [
        (Self::New, "new"),
        (Self::Used, "used"),
        (Self::Rough, "rough"),
    ];

    /// Returns the word.
    pub fn word(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(c, _)| *c == self)
            .map_or("", |(_, word)| word)
    }

    /// Finds the condition of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        let lower = word.trim().to_lowercase();
        Self::ALL.iter().find(|(_, w)| *w == lower).map(|(c, _)| *c)
    }
}
