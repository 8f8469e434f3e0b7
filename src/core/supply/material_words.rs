//! Words of a description, and those that name a polymer or a hardness.

use super::bare_size::DIAMETER_SIGNS;
use super::dimension_run::begins_dimension;
use crate::core::elastomer::Polymer;
use crate::core::quantity::{Hardness, HardnessScale};
use crate::core::sizes::is_times;

/// The hardness values that compounds are sold in.
const SOLD_HARDNESS: [f64; 12] = [
    30.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0, 75.0, 80.0, 85.0, 90.0,
];

pub(super) fn plain_signs(text: &str) -> String {
    if text.is_ascii() {
        return text.to_ascii_uppercase();
    }
    let plain = |c| match c {
        '×' | '✕' | '∗' => 'X',
        '”' | '“' | '″' => '"',
        '–' | '−' => '-',
        other => other,
    };
    text.chars()
        .flat_map(char::to_uppercase)
        .map(plain)
        .collect()
}

/// Tells whether a tolerance stands behind this sign: "9.25 ± 0.13", "+/- 0.13".
pub(super) fn is_tolerance(c: char) -> bool {
    matches!(c, '±' | '+' | '-')
}

fn parts_always(c: char) -> bool {
    c.is_whitespace() || matches!(c, ';' | '(' | ')' | '[' | ']' | '|')
}

/// Splits at white space and at the signs that part words; a comma between digits is a decimal mark, and so is one between a sign
/// of times or tolerance and a digit ("9,5x,139"). One that opens a word of dimensions (",95x,6") may be either and stays with it.
pub(super) fn split_words(text: &str) -> Vec<&str> {
    let bytes = text.as_bytes();
    let digit = |at: Option<usize>| {
        at.and_then(|a| bytes.get(a))
            .is_some_and(u8::is_ascii_digit)
    };
    let parts = |(at, c): &(usize, char)| match c {
        ',' => {
            let sign = text[..*at]
                .trim_end()
                .ends_with(|c| is_times(c) || is_tolerance(c));
            let opens = *at == 0
                || text[..*at].ends_with(parts_always)
                || text[..*at].ends_with(DIAMETER_SIGNS);
            let decimal = digit(at.checked_sub(1)) || sign;
            !(digit(Some(at + 1)) && (decimal || opens && begins_dimension(&text[at + 1..])))
        }
        _ => parts_always(*c),
    };
    let mut words = Vec::new();
    let mut begin = 0;
    for (at, c) in text.char_indices().filter(parts) {
        push_word(&mut words, &text[begin..at]);
        begin = at + c.len_utf8();
    }
    push_word(&mut words, &text[begin..]);
    words
}

/// Parts words that hold material and size together: "012/FKM/90", "N70-012", "012-70-NBR".
fn push_word<'t>(words: &mut Vec<&'t str>, word: &'t str) {
    if word.is_empty() {
        return;
    }
    for sign in ['/', '-'] {
        if !word.contains(sign) {
            continue;
        }
        let split: Vec<&str> = word.split(sign).collect();
        let full = split.len() > 1 && split.iter().all(|piece| !piece.is_empty());
        let whole = Polymer::from_word(word).is_some();
        if full
            && !whole
            && split
                .iter()
                .any(|piece| is_polymer_word(piece) || has_both(piece))
        {
            // What is left when the materials are taken out must be one size, or nothing.
            for piece in split {
                push_word(words, piece);
            }
            return;
        }
    }
    words.push(word);
}

pub(super) fn is_polymer_word(word: &str) -> bool {
    word.len() > 1 && Polymer::from_word(word).is_some()
}

fn has_both(word: &str) -> bool {
    matches!(material(word), Some((Some(_), Some(_))))
}

/// Reads a word of material: "NBR", "N70", "70NBR", "70D", "70SHA".
pub(super) fn material(word: &str) -> Option<(Option<Polymer>, Option<Hardness>)> {
    if is_polymer_word(word) {
        return Some((Polymer::from_word(word), None));
    }
    let digits = word.trim_matches(|c: char| !c.is_ascii_digit());
    let value = sold_hardness(digits)?;
    let (before, after) = word.split_once(digits)?;
    let shore_a = Hardness::shore_a(value)?;
    let before = before.trim_end_matches(['-', ':', '=']);
    let after = after.trim_start_matches('-');
    match (before, after) {
        ("", "") => None,
        // "70D" in a ring list is a durometer reading of rubber, which is Shore A; no rubber ring is 70 Shore D.
        ("", "D" | "°") => Some((None, Some(shore_a))),
        ("", word) => match (scale_word(word), Polymer::from_word(word)) {
            (Some(scale), _) => Some((None, Hardness::new(value, scale))),
            (None, Some(polymer)) => Some((Some(polymer), Some(shore_a))),
            (None, None) => None,
        },
        (word, "") => match (Polymer::from_word(word), scale_word(word)) {
            (Some(polymer), _) => Some((Some(polymer), Some(shore_a))),
            (None, Some(scale)) if word.len() > 1 => Some((None, Hardness::new(value, scale))),
            _ => None,
        },
        (word, scale) => {
            let scale = scale_word(scale)?;
            Some((Some(Polymer::from_word(word)?), Hardness::new(value, scale)))
        }
    }
}

pub(super) fn sold_hardness(word: &str) -> Option<f64> {
    let value: f64 = (word.len() == 2).then(|| word.parse().ok()).flatten()?;
    SOLD_HARDNESS.contains(&value).then_some(value)
}

pub(super) fn scale_word(word: &str) -> Option<HardnessScale> {
    match word {
        "A" | "SH" | "SHA" | "SHORE" | "SHORE-A" | "SHOREA" | "SH-A" | "DURO" | "DUR"
        | "DUROMETER" | "SH." => Some(HardnessScale::ShoreA),
        "D" | "SHORED" | "SHD" | "SHORE-D" => Some(HardnessScale::ShoreD),
        "IRHD" => Some(HardnessScale::Irhd),
        _ => None,
    }
}
