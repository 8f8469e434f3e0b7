//! What somebody found out about one part in the place of another.

use crate::core::confidence::Confidence;
use crate::core::sizes::SizeTable;
use crate::core::word::Word;
use serde::{Deserialize, Serialize};

/// Grades a part in the place of another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Grade {
    /// It was tried, and failed.
    #[serde(rename = "tried and failed")]
    Failed,
    /// It is the same part; so is the other in its place.
    #[serde(rename = "same")]
    Same,
    /// It goes in and works.
    #[serde(rename = "fits")]
    Fits,
    /// It goes in after work on it or on the unit.
    #[serde(rename = "fits with work")]
    FitsWithWork,
}

impl Grade {
    /// Every grade, best first.
    pub const ALL: [Self; 4] = [Self::Same, Self::Fits, Self::FitsWithWork, Self::Failed];

    /// Returns the words that are shown and stored.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Same => "same",
            Self::Fits => "fits",
            Self::FitsWithWork => "fits with work",
            Self::Failed => "tried and failed",
        }
    }

    /// Finds a grade by its words; "failed" alone is enough.
    pub fn from_words(words: &str) -> Option<Self> {
        let lower = words.trim().to_lowercase();
        if lower == "failed" {
            return Some(Self::Failed);
        }
        Self::ALL.into_iter().find(|grade| grade.words() == lower)
    }
}

impl Word for Grade {
    fn words() -> Vec<&'static str> {
        vec!["same", "fits", "fits with work", "failed"]
    }

    fn of_word(word: &str) -> Option<Self> {
        Self::from_words(word)
    }
}

/// What somebody says of one part in the place of another. It says nothing of the other way round, unless they are the
/// same.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Statement {
    /// The part whose place is taken.
    pub part: String,
    /// The part that takes it.
    pub stand_in: String,
    /// How well.
    pub grade: Grade,
    /// Model and place where it was tried; empty where it is said of the part in general.
    pub at: String,
    /// Who says so.
    pub person: String,
    /// On which evidence.
    pub evidence: String,
    /// When, ISO 8601.
    pub said_at: String,
}

impl Nickname {
    /// Tells whether a name is the whole code of a ring: as a nickname it would hide that ring.
    pub fn is_code(name: &str) -> bool {
        SizeTable::shipped().find_code(name.trim()).is_some()
    }
}

/// A name that people use for a part: a drawer's word or a dead maker's number.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Nickname {
    pub name: String,
    /// The part that it means.
    pub part: String,
    pub confidence: Confidence,
    /// Who says so.
    pub person: String,
    pub source: String,
    /// When, ISO 8601.
    pub said_at: String,
}
