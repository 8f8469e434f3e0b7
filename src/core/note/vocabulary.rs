//! The words of the note language; the table `data/notes/keys.csv` holds them all.

use super::piece::Piece;
use crate::core::data_table::shipped_rows;
use crate::core::measurement::Condition;
use crate::core::near_word::nearest_of;
use crate::core::quantity::Span;
use serde::Deserialize;
use std::sync::LazyLock;

/// Names where a word may stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Context {
    /// Begins a line of the header.
    #[default]
    Header,
    /// Begins a field of a part.
    Part,
    /// Begins a field of a gland.
    Gland,
    /// Stands behind `gland`.
    #[serde(rename = "gland kind")]
    GlandKind,
    /// Says how parts move.
    Duty,
    /// Says whence the pressure comes.
    Side,
    /// Says what is to become of a part.
    Fate,
    /// Says in which state a part is.
    Condition,
    /// Begins a position.
    Position,
    /// Names an instrument behind `by`.
    Method,
    /// Names a tool; a field that ends with one says what the part was taken off with.
    Tool,
}

#[derive(Debug, Deserialize)]
struct KeyRow {
    context: Context,
    spelling: String,
    key: String,
}

static ROWS: LazyLock<Vec<KeyRow>> = LazyLock::new(|| shipped_rows!("notes/keys.csv"));

/// A field split into its key and what stands behind it.
#[derive(Debug, Clone)]
pub(super) struct Keyed {
    pub(super) key: &'static str,
    pub(super) key_span: Span,
    pub(super) value: Piece,
}

impl Keyed {
    /// Takes a whole piece as the value of a key that is not written in it.
    pub(super) fn whole(key: &'static str, value: Piece) -> Self {
        Self {
            key,
            key_span: value.span(),
            value,
        }
    }
}

/// Finds the key that a field begins with; the longest spelling wins. A colon or an equals sign behind it is dropped.
pub(super) fn split_key(context: Context, field: &Piece) -> Option<Keyed> {
    let text = field.text();
    let row = rows(context)
        .filter(|row| begins_with(text, &row.spelling))
        .max_by_key(|row| row.spelling.len())?;
    let key_end = row.spelling.len();
    let rest = text[key_end..].trim_start();
    let rest = rest.strip_prefix([':', '=']).unwrap_or(rest);
    Some(Keyed {
        key: row.key.as_str(),
        key_span: field.place(Span::new(0, key_end)),
        value: field.part(text.len() - rest.len()..text.len()),
    })
}

/// Finds the key of a text that is nothing but one of its spellings.
pub(super) fn whole(context: Context, text: &str) -> Option<&'static str> {
    let lower = text.trim().to_lowercase();
    rows(context)
        .find(|row| row.spelling == lower)
        .map(|row| row.key.as_str())
}

/// Finds the condition of a word in any of the spellings of a note: `rough`, `flattened`, `worn`.
pub fn condition_of(word: &str) -> Option<Condition> {
    whole(Context::Condition, word).and_then(Condition::from_word)
}

/// Tells whether a text begins with a word of the context.
pub(super) fn begins(context: Context, text: &str) -> bool {
    rows(context).any(|row| begins_with(text, &row.spelling))
}

/// Tells whether a text ends with a word of the context.
pub(super) fn ends(context: Context, text: &str) -> bool {
    let lower = text.to_lowercase();
    rows(context).any(|row| {
        let before = lower.strip_suffix(row.spelling.as_str());
        before.is_some_and(|before| before.is_empty() || before.ends_with(' '))
    })
}

/// Finds the spelling nearest to a word, if one is near enough to have been meant.
pub(super) fn nearest(contexts: &[Context], word: &str) -> Option<&'static str> {
    let candidates = ROWS
        .iter()
        .filter(|row| contexts.contains(&row.context))
        .map(|row| row.spelling.as_str());
    nearest_of(candidates, word)
}

/// Lists the keys of a context, each once, in the order of the table.
pub(super) fn keys(context: Context) -> Vec<&'static str> {
    let mut keys: Vec<&'static str> = Vec::new();
    for row in rows(context) {
        if !keys.contains(&row.key.as_str()) {
            keys.push(&row.key);
        }
    }
    keys
}

fn rows(context: Context) -> impl Iterator<Item = &'static KeyRow> {
    ROWS.iter().filter(move |row| row.context == context)
}

/// Tells whether a text begins with a spelling that ends there or before a space, a colon or an equals sign.
fn begins_with(text: &str, spelling: &str) -> bool {
    let Some(head) = text.get(..spelling.len()) else {
        return false;
    };
    let ends = text[spelling.len()..]
        .chars()
        .next()
        .is_none_or(|c| c == ' ' || c == ':' || c == '=');
    ends && head.eq_ignore_ascii_case(spelling)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn piece(text: &str) -> Piece {
        Piece::tidied(text, Span::new(0, text.len()))
    }

    #[test]
    fn no_spelling_stands_twice_in_a_context_and_all_are_lower_case() {
        for (at, row) in ROWS.iter().enumerate() {
            assert_eq!(row.spelling, row.spelling.to_lowercase());
            assert!(row.spelling.is_ascii(), "{row:?}");
            let twin = ROWS[..at]
                .iter()
                .any(|r| r.context == row.context && r.spelling == row.spelling);
            assert!(!twin, "{row:?}");
        }
    }

    #[test]
    fn every_key_is_among_its_own_spellings() {
        for row in ROWS.iter().filter(|row| row.context != Context::Position) {
            assert_eq!(
                whole(row.context, &row.key),
                Some(row.key.as_str()),
                "{row:?}"
            );
        }
    }

    #[test]
    fn the_longest_spelling_wins_and_a_colon_is_dropped() {
        let read = |text: &str| {
            let keyed = split_key(Context::Part, &piece(text)).expect(text);
            (keyed.key, keyed.value.text().to_owned())
        };
        assert_eq!(read("Cross Section: 1.7"), ("cs", "1.7".to_owned()));
        assert_eq!(read("o.d. = .364\""), ("od", ".364\"".to_owned()));
        assert_eq!(read("cut length 33"), ("cut", "33".to_owned()));
        assert!(split_key(Context::Part, &piece("odd 3")).is_none());
    }

    #[test]
    fn one_slip_finds_the_word_and_nonsense_finds_none() {
        let near = |word: &str| nearest(&[Context::Part, Context::Fate], word);
        assert_eq!(near("repalce"), Some("replace"));
        assert_eq!(near("hardnes"), Some("hardness"));
        assert_eq!(near("xylophone"), None);
        assert_eq!(near("ab"), None);
    }
}
