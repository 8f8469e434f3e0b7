//! Who somebody is, by the name that was written: the same person under another spelling is no second person.

use crate::core::data_table::shipped_rows;
use serde::Deserialize;
use std::collections::HashSet;
use std::sync::LazyLock;
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;
use unicode_security::skeleton;

/// A name as it is compared: plain letters, word by word, without what names nobody.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PersonName {
    /// Readings of the name, because letters that look alike can be told apart in more than one way.
    readings: Vec<Vec<String>>,
}

/// A word that stands beside a name and names nobody.
#[derive(Debug, Deserialize)]
struct NameWord {
    word: String,
}

static NAMING_NOBODY: LazyLock<HashSet<String>> = LazyLock::new(|| {
    let rows: Vec<NameWord> = shipped_rows!("people/name_words.csv");
    rows.into_iter().map(|row| row.word).collect()
});

/// Letters that the words of a name have at least: an initial alone may be anybody's.
const LEAST_LETTERS: usize = 2;

impl PersonName {
    /// Reads a name; `None` where the words name no one: ".", "-", "none", "Mr.", "(self)".
    ///
    /// Compatible forms are one (Unicode NFKC), and so are letters that look alike (the skeleton of UTS 39), capital and small
    /// letters, and letters with and without accents. Titles and words such as "self" or "nobody" (data/people/name_words.csv)
    /// are no part of a name.
    ///
    /// ```
    /// use ringwright::core::job::PersonName;
    /// let name = |words: &str| PersonName::read(words);
    /// assert!(name(" - ").is_none() && name("n/a").is_none());
    /// assert!(name("OKAFOR, Mary (self)").unwrap().may_be(&name("Mary Okafor").unwrap()));
    /// ```
    pub fn read(words: &str) -> Option<Self> {
        let compatible: String = words.nfkc().collect();
        let lower = compatible.to_lowercase();
        let mut readings: Vec<Vec<String>> = vec![name_words(&lower)];
        for text in [&compatible, &lower] {
            let plain: String = skeleton(text).collect::<String>().to_lowercase();
            readings.push(name_words(&plain));
        }
        readings.dedup();
        // What names nobody in plain letters names nobody in letters that look like them.
        let somebody = readings.iter().all(|words| letters(words) > 0);
        somebody.then_some(Self { readings })
    }

    /// Tells whether the name has letters enough to stand for one person.
    pub fn is_full(&self) -> bool {
        self.readings
            .iter()
            .all(|words| letters(words) >= LEAST_LETTERS)
    }

    /// Tells whether both may be one person: each word of the shorter name stands in the longer one, in any order; an initial
    /// stands for every word that begins with it, and words run together for their parts.
    pub fn may_be(&self, other: &Self) -> bool {
        self.readings
            .iter()
            .any(|a| other.readings.iter().any(|b| same_words(a, b)))
    }
}

fn letters(words: &[String]) -> usize {
    words
        .iter()
        .flat_map(|w| w.chars())
        .filter(|c| c.is_alphabetic())
        .count()
}

/// The words of a name in plain letters; an apostrophe or a hyphen joins, any other sign parts.
fn name_words(lower: &str) -> Vec<String> {
    let plain = lower.nfkd().filter(|c| !is_combining_mark(*c));
    let joined: String = plain
        .filter(|c| !matches!(c, '\'' | '’' | '‘' | '`' | 'ʼ' | '-' | '‐' | '‑'))
        .collect();
    // "n/a" and "no-one" are one word.
    if NAMING_NOBODY.contains(&joined.replace(|c: char| !c.is_alphanumeric(), "")) {
        return Vec::new();
    }
    joined
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| word.chars().any(char::is_alphabetic))
        .filter(|word| !NAMING_NOBODY.contains(*word))
        .map(str::to_owned)
        .collect()
}

fn same_words(a: &[String], b: &[String]) -> bool {
    let run = |words: &[String]| {
        let mut sorted: Vec<char> = words.concat().chars().collect();
        sorted.sort_unstable();
        sorted
    };
    if a.concat() == b.concat() || run(a) == run(b) {
        return true;
    }
    let (short, long) = if a.len() <= b.len() { (a, b) } else { (b, a) };
    let mut left: Vec<&String> = long.iter().collect();
    // Whole words find their like first, so that an initial does not take it from them.
    let mut order: Vec<&String> = short.iter().collect();
    order.sort_by_key(|word| std::cmp::Reverse(word.chars().count()));
    order.into_iter().all(|word| {
        let like = |other: &&String| {
            *other == word
                || (other.chars().count() == 1 && word.starts_with(other.as_str()))
                || (word.chars().count() == 1 && other.starts_with(word.as_str()))
        };
        let exact = left.iter().position(|other| *other == word);
        match exact.or_else(|| left.iter().position(like)) {
            Some(at) => {
                left.remove(at);
                true
            }
            None => false,
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn name(words: &str) -> PersonName {
        PersonName::read(words).unwrap_or_else(|| panic!("{words} names somebody"))
    }

    #[test]
    fn one_person_is_known_under_every_spelling() {
        for other in [
            "m. okafor",
            "Okafor, M.",
            "OKAFOR M",
            "Mr. M. Okafor",
            "M. Okafor (self)",
            "M.Okafor",
            "M Okafor, tech.",
            "Mary Okafor",
            "Okafor",
            // Cyrillic о, а and М; full-width letters; a zero for an O; accents; an apostrophe.
            "М. Оkаfоr",
            "Ｍ． Ｏｋａｆｏｒ",
            "M. 0kafor",
            "M. Ókàfor",
            "M. O'Kafor",
            "MOkafor",
            "M.  Oka\u{200d}for",
        ] {
            assert!(name("M. Okafor").may_be(&name(other)), "{other}");
            assert!(name(other).may_be(&name("M. Okafor")), "{other}");
        }
    }

    #[test]
    fn another_person_is_another_person() {
        for other in ["J. Lind", "M. Lind", "Okafer Jo", "Ada", "李明", "Bo"] {
            assert!(!name("M. Okafor").may_be(&name(other)), "{other}");
        }
        assert!(!name("Ada").may_be(&name("Bo")));
        assert!(!name("Iris Lund").may_be(&name("Nils Lund")));
    }

    #[test]
    fn what_names_nobody_is_no_name() {
        for words in [
            "",
            " ",
            ".",
            "-",
            "—",
            "none",
            "None.",
            "n/a",
            "N.A.",
            "no one",
            "nobody",
            "(self)",
            "Mr.",
            "me",
            "?",
            "42",
            "no-one",
            "ｎｏｎｅ",
            "nоne",
            "x x",
            "tbd",
        ] {
            assert!(
                PersonName::read(words).is_none_or(|name| !name.is_full()),
                "{words}"
            );
        }
        assert!(name("Bo").is_full() && !name("J").is_full());
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_somebody_or_nobody_and_is_itself(text in "\\PC{0,24}") {
            if let Some(name) = PersonName::read(&text) {
                proptest::prop_assert!(name.may_be(&name));
            }
        }
    }
}
