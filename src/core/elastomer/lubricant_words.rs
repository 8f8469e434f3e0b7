//! The words for a lubricant, read to its class.

use super::lubricant::LubricantClass;
use crate::core::data_table::shipped_rows;
use serde::Deserialize;
use std::sync::LazyLock;

#[derive(Debug, Deserialize)]
struct WordRow {
    words: String,
    /// None where the words say nothing of the class.
    class: Option<LubricantClass>,
}

static ROWS: LazyLock<Vec<WordRow>> = LazyLock::new(|| {
    let mut rows: Vec<WordRow> = shipped_rows!("elastomers/lubricant_words.csv");
    rows.sort_by_key(|row| std::cmp::Reverse(row.words.split(' ').count()));
    rows
});

/// What the words for a lubricant name.
#[derive(Debug, Default)]
pub(super) struct LubricantWords {
    pub(super) classes: Vec<LubricantClass>,
    pub(super) left_over: Vec<String>,
    pub(super) near: Option<&'static str>,
}

/// Reads the words for a lubricant; of known phrases the longest goes first.
pub(super) fn read_lubricant(text: &str) -> LubricantWords {
    let lower = text.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    let mut read = LubricantWords::default();
    let mut at = 0;
    while at < words.len() {
        let known = ROWS.iter().find_map(|row| {
            let phrase: Vec<&str> = row.words.split(' ').collect();
            words[at..]
                .starts_with(&phrase)
                .then_some((row.class, phrase.len()))
        });
        let (class, length) = known.unwrap_or_else(|| {
            read.left_over.push(words[at].to_owned());
            (None, 1)
        });
        read.classes.extend(class);
        at += length;
    }
    if !read.left_over.is_empty() {
        read.near = nearest(&words.join(" "));
    }
    read
}

/// Finds the known lubricant nearest to words: a letter in four may differ.
fn nearest(words: &str) -> Option<&'static str> {
    const LETTERS_A_SLIP: usize = 4;
    const LONGEST: usize = 40;
    let length = words.chars().count();
    let known = ROWS
        .iter()
        .filter(|row| row.class.is_some() && length <= LONGEST);
    known
        .map(|row| (strsim::osa_distance(&row.words, words), row.words.as_str()))
        .filter(|(distance, _)| *distance <= length / LETTERS_A_SLIP)
        .min()
        .map(|(_, words)| words)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_spelling_stands_once_and_leads_to_its_class() {
        for (at, row) in ROWS.iter().enumerate() {
            assert!(
                ROWS[at + 1..].iter().all(|other| other.words != row.words),
                "{}",
                row.words
            );
            let read = read_lubricant(&row.words);
            assert!(read.left_over.is_empty());
            assert_eq!(read.classes, Vec::from_iter(row.class), "{}", row.words);
        }
    }
}
