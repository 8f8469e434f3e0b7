//! Words that are sizes only in a list of rings: "012", "P10A".

use super::dimension_run::{Piece, pieces};
use crate::core::sizes::is_times;

/// Words behind which a number counts something else, whatever sign ends them.
const BEFORE: [&str; 10] = [
    "NO", "NR", "PAGE", "ITEM", "POS", "DN", "D", "CYLINDER", "FOR", "CODE",
];
/// Words before which it does.
const BEHIND: [&str; 8] = ["KG", "G", "G/MOL", "BAR", "PSI", "THREAD", "GEWINDE", "OF"];
/// Units of length; a run takes the last two where it can be read.
const UNITS: [&str; 6] = ["CM", "DM", "M", "FT", "MM", "IN"];
/// Signs that part words and say nothing of a number beside them.
const SEPARATORS: [&str; 6] = ["-", ",", ";", ":", "|", "/"];

/// Signs of a diameter, in capitals.
pub(super) const DIAMETER_SIGNS: [char; 4] = ['Ø', 'Φ', '⌀', '∅'];

/// Tells whether a letter begins a word in capitals; the signs of a diameter begin a dimension.
pub(super) fn is_letter(c: char) -> bool {
    c.is_alphabetic() && !DIAMETER_SIGNS.contains(&c)
}

/// The word without the signs that end it.
fn without_sign(word: &str) -> &str {
    word.trim_end_matches(|c: char| !c.is_alphanumeric())
}

/// The place of the word before, dashes passed over.
fn place_before(words: &[&str], at: usize) -> Option<usize> {
    words[..at].iter().rposition(|word| *word != "-")
}

/// Tells whether the letter of a metric family stands before a word, so that a number there is one of that family.
pub(super) fn is_behind_family_letter(words: &[&str], at: usize) -> bool {
    place_before(words, at).is_some_and(|place| ends_in_family_letter(words[place]))
}

/// "P", "P-", "B2401P".
fn ends_in_family_letter(word: &str) -> bool {
    let rest = without_sign(word).strip_suffix(['P', 'G', 'V', 'S']);
    rest.is_some_and(|rest| !rest.ends_with(char::is_alphabetic))
}

/// "CM", "MMX0.5CM": a unit of length that was not read; "M83248/1" and "IN-LINE" are words of another kind.
pub(super) fn begins_unit(word: &str) -> bool {
    let mut rests = UNITS.iter().filter_map(|unit| word.strip_prefix(unit));
    rests.any(|rest| {
        let ends = |text: &str| {
            text.chars()
                .next()
                .is_none_or(|c| !c.is_alphanumeric() && c != '-')
        };
        let times = rest.strip_prefix(is_times);
        ends(rest) || times.is_some_and(|behind| !behind.starts_with(is_letter))
    })
}

/// Tells whether a word in capitals has the form of a dash number or of a code of a metric family.
pub(super) fn is_bare_size(word: &str) -> bool {
    let dash = word.len() == 3 && word.bytes().all(|b| b.is_ascii_digit());
    let metric = word.starts_with(['P', 'G'])
        && word[1..].starts_with(|c: char| c.is_ascii_digit())
        && word.len() <= 6;
    dash || metric
}

/// A number right behind a word of another count or before a unit is no size: "118 mm", "OD 118", "page 118", "for G25
/// thread"; nor is one beside another number or sign that was not read ("210 ± 0.5 x 3 mm").
pub(super) fn counts_something_else(words: &[&str], used: &[bool], at: usize) -> bool {
    let [before, behind] = [place_before(words, at), Some(at + 1)]
        .map(|place| place.and_then(|p| Some((*words.get(p)?, *used.get(p)?))));
    let number = |(word, used): (&str, bool)| {
        // Two sizes that follow each other are both given.
        let other = SEPARATORS.contains(&word) || is_bare_size(word);
        let behind_times = word.strip_prefix(is_times).unwrap_or(word);
        let letter = behind_times.chars().next().is_none_or(is_letter);
        !used && !other && !letter
    };
    let label = |piece: &Piece<'_>| matches!(piece, Piece::Label(_) | Piece::Times);
    let unit = |piece: &Piece<'_>| label(piece) || matches!(piece, Piece::Unit(_));
    before.is_some_and(|(word, used)| {
        number((word, used))
            || BEFORE.contains(&without_sign(word))
            || word.ends_with(DIAMETER_SIGNS)
            || ends_in_family_letter(word)
            || pieces(word).is_some_and(|p| p.last().is_some_and(label))
    }) || behind.is_some_and(|(word, used)| {
        number((word, used))
            || BEHIND.contains(&word)
            || begins_unit(word)
            || pieces(word).is_some_and(|p| p.first().is_some_and(unit))
    })
}
