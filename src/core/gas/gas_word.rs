//! The words beside the names of gases: what joins, bounds, denies, and what says nothing of the gas.

use super::gas_name::GasName;
use crate::core::data_table::shipped_rows;
use serde::Deserialize;
use std::sync::LazyLock;

/// Says what a word does beside the name of a gas.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum WordRole {
    /// Puts two gases together.
    Blend,
    /// Names another gas instead.
    Either,
    /// The gas behind it fills up to the whole.
    Rest,
    /// The share behind it is the most.
    Most,
    /// The share behind it is the least.
    Least,
    /// Denies.
    Negation,
    /// Joins a share to its gas.
    Share,
    /// Stands for the per cent sign.
    #[serde(rename = "per cent")]
    PerCent,
    /// Says nothing of the gas.
    Neutral,
    /// A unit for which the program has no reader of its own.
    Unit,
}

#[derive(Debug, Deserialize)]
struct WordRow {
    role: WordRole,
    words: String,
}

static ROWS: LazyLock<Vec<WordRow>> = LazyLock::new(|| shipped_rows!("gas/words.csv"));

/// Says what a known phrase means.
#[derive(Debug, Clone, Copy)]
pub(super) enum Meaning {
    Gas(&'static GasName),
    /// A word of the grammar.
    Role(WordRole),
    /// Words that may stand beside some gases.
    Beside(&'static str),
}

/// A known phrase, word by word.
#[derive(Debug)]
pub(super) struct Phrase {
    pub(super) words: Vec<&'static str>,
    pub(super) meaning: Meaning,
}

static PHRASES: LazyLock<Vec<Phrase>> = LazyLock::new(|| {
    let phrase = |text: &'static str, meaning| Phrase {
        words: text.split(' ').collect(),
        meaning,
    };
    let mut phrases: Vec<Phrase> = Vec::new();
    for gas in GasName::all() {
        phrases.extend(gas.spellings().map(|text| phrase(text, Meaning::Gas(gas))));
        phrases.extend(gas.beside().map(|text| phrase(text, Meaning::Beside(text))));
    }
    for row in ROWS.iter() {
        let words = row.words.split('|');
        phrases.extend(words.map(|text| phrase(text, Meaning::Role(row.role))));
    }
    // Stable, so that of phrases of one length the name of a gas goes first.
    phrases.sort_by_key(|phrase| std::cmp::Reverse(phrase.words.len()));
    phrases
});

/// Lists the known phrases, the longest first.
pub(super) fn phrases() -> &'static [Phrase] {
    &PHRASES
}

/// Tells whether a word with letters and digits is one of a known phrase, as `o2`.
pub(super) fn is_formula(word: &str) -> bool {
    PHRASES.iter().any(|phrase| phrase.words.contains(&word))
}
