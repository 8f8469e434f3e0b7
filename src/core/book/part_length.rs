//! One length of a part, by its word in the note language.

use super::name::lengths_agree;
use crate::core::measurement::Measurand;
use crate::core::note::LengthName;
use crate::core::quantity::{Length, as_mm, from_mm};
use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize};

/// A word of the note language for a length.
type LengthWord = &'static str;

/// One length that the units agree on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct PartLength {
    /// Its word in a note: `od`, `thick`, `cs`.
    #[serde(deserialize_with = "known_word")]
    pub word: LengthWord,
    #[serde(rename = "mm", serialize_with = "as_mm", deserialize_with = "from_mm")]
    pub length: Length,
}

impl PartLength {
    /// Takes a pooled length to the hundredth of a millimetre that lists show; `None` where no part has such a length.
    pub fn pooled(word: &str, mm: f64) -> Option<Self> {
        Self::of(word, Length::from_mm((mm * 100.0).round() / 100.0)?)
    }

    /// Takes a length by its word; `None` where no part of a note has such a length.
    pub fn of(word: &str, length: Length) -> Option<Self> {
        let names = LengthName::ALL.iter().map(|(_, word)| *word);
        let read = Measurand::ALL.iter().map(|(_, word)| *word);
        let word = names.chain(read).find(|known| *known == word)?;
        Some(Self { word, length })
    }
}

fn known_word<'de, D: Deserializer<'de>>(deserializer: D) -> Result<LengthWord, D::Error> {
    let word = String::deserialize(deserializer)?;
    let known = Length::from_mm(0.0).and_then(|any| PartLength::of(&word, any));
    known
        .map(|known| known.word)
        .ok_or_else(|| D::Error::custom(format!("{word:?} is no length of a part")))
}

/// Tells whether two parts have the same lengths, as far as a worn part can be measured, in whatever order.
pub fn same_lengths(ours: &[PartLength], theirs: &[PartLength]) -> bool {
    let has = |length: &PartLength| {
        theirs
            .iter()
            .any(|other| other.word == length.word && lengths_agree(other.length, length.length))
    };
    ours.len() == theirs.len() && ours.iter().all(has)
}
