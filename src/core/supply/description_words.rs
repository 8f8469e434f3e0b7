//! The words that descriptions use beside sizes and materials.

use crate::core::data_table::shipped_rows;
use crate::core::note::PartKind;
use serde::Deserialize;
use std::collections::{HashMap, HashSet};
use std::sync::LazyLock;

/// Says what a word does in a description.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum WordRole {
    /// It says that the part is no ring of round section, or not one ring of one size.
    NotARing,
    /// It says nothing that is kept.
    PassOver,
    /// The number beside it counts the pieces in a pack.
    Pack,
    /// The number before it counts the pieces in a pack.
    Pieces,
    /// The part is sold singly.
    Each,
    /// The part is no longer sold.
    Discontinued,
}

#[derive(Deserialize)]
struct WordRow {
    word: String,
    role: WordRole,
}

static ROLES: LazyLock<HashMap<String, WordRole>> = LazyLock::new(|| {
    let rows: Vec<WordRow> = shipped_rows(
        "supply/description_words.csv",
        include_str!("../../../data/supply/description_words.csv"),
    );
    rows.into_iter().map(|row| (row.word, row.role)).collect()
});

static KINDS: LazyLock<HashMap<String, PartKind>> = LazyLock::new(|| {
    PartKind::spellings()
        .map(|(spelling, kind)| (spelling.to_uppercase(), kind))
        .collect()
});

/// First words of kinds that have two.
static BEGINNINGS: LazyLock<HashSet<String>> = LazyLock::new(|| {
    let two = KINDS.keys().filter_map(|words| words.split_once(' '));
    two.map(|(first, _)| first.to_owned()).collect()
});

/// Tells whether a kind of two words begins with this one, in capitals.
pub(super) fn begins_kind(word: &str) -> bool {
    word == "O" || BEGINNINGS.contains(word)
}

/// Finds what a word in capitals does.
pub(super) fn role(word: &str) -> Option<WordRole> {
    ROLES.get(word).copied()
}

/// Finds the kind of part that a word, or two words with one space, name in capitals.
pub(super) fn kind(words: &str) -> Option<PartKind> {
    match words {
        "O/RING" | "O-RING" | "ORING" | "O/RINGS" | "O-RINGS" | "ORINGS" | "O RING" | "O RINGS"
        | "OR" | "O-RG" => Some(PartKind::Ring),
        // Seals of many shapes are sold; only the words above name a ring of round section.
        "SEAL" | "RING" | "RINGS" => None,
        _ => KINDS.get(words).copied(),
    }
}
