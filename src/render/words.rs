//! Phrases that many pages share.

use super::number::mm2;
use crate::core::quantity::Length;

/// Joins words; empty ones are left out.
pub(in crate::render) fn joined<W: AsRef<str>>(
    words: impl IntoIterator<Item = W>,
    between: &str,
) -> String {
    let mut out = String::new();
    for word in words {
        let word = word.as_ref();
        if !out.is_empty() && !word.is_empty() {
            out.push_str(between);
        }
        out.push_str(word);
    }
    out
}

/// Gathers what stands under the same thing, in the order in which each comes first.
pub(in crate::render) fn grouped<K: PartialEq, V>(
    pairs: impl IntoIterator<Item = (K, V)>,
) -> Vec<(K, Vec<V>)> {
    let mut groups: Vec<(K, Vec<V>)> = Vec::new();
    for (key, value) in pairs {
        match groups.iter_mut().find(|(known, _)| *known == key) {
            Some((_, values)) => values.push(value),
            None => groups.push((key, vec![value])),
        }
    }
    groups
}

/// Writes inside diameter and section of a ring: "9.25 x 1.78 mm".
pub(in crate::render) fn ring_size(id: Length, section: Length) -> String {
    format!("{} x {} mm", mm2(id), mm2(section))
}

/// Writes what is known; a dash where nothing is.
pub(in crate::render) fn or_dash<W: ToString>(known: Option<W>) -> String {
    known.map_or_else(|| "-".to_owned(), |known| known.to_string())
}

/// Writes what is known; nothing where nothing is.
pub(in crate::render) fn or_empty<W: ToString>(known: Option<W>) -> String {
    known.map_or_else(String::new, |known| known.to_string())
}

/// Returns the day of a moment.
pub(in crate::render) fn day(moment: &str) -> &str {
    moment.get(..10).unwrap_or(moment)
}
