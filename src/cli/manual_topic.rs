//! The manual pages that are no command's: the guide and the list of words, written as roff from their files in `data`.

use crate::core::data_table::shipped_rows;
use clap_mangen::roff::{Inline, Roff, bold, roman};
use serde::Deserialize;

const GUIDE: &str = include_str!("../../data/guide.md");
const WORDS: &str = include_str!("../../data/words.csv");
/// Section of the manual for what is neither a command nor a file.
const SECTION: &str = "7";

/// Gives each page with the name of its file.
pub(super) fn topic_pages() -> [(String, Vec<u8>); 2] {
    [
        ("ringwright-guide.7".to_owned(), guide()),
        ("ringwright-words.7".to_owned(), words()),
    ]
}

fn page(name: &str, about: &str) -> Roff {
    let mut page = Roff::new();
    page.control("TH", [name, SECTION]);
    page.control("SH", ["NAME"]);
    page.text([roman(format!("{name} - {about}"))]);
    page
}

/// Lays the guide out: headings, paragraphs, points and what is typed, the forms of Markdown that it uses.
fn guide() -> Vec<u8> {
    let mut page = page(
        "ringwright-guide",
        "every topic of ringwright, in the order of the work",
    );
    let mut typed = false;
    let mut ended = true;
    for line in GUIDE.lines() {
        if line.starts_with("```") {
            typed = !typed;
            page.control(if typed { "EX" } else { "EE" }, []);
        } else if typed {
            page.text([roman(line)]);
        } else if line.is_empty() {
            ended = true;
        } else if let Some(title) = line.strip_prefix("## ") {
            page.control("SH", [title.to_uppercase().as_str()]);
        } else if let Some(point) = line.strip_prefix("- ") {
            page.control("IP", ["\u{2022}", "2"]);
            page.text(inlines(point));
        } else if !line.starts_with("# ") {
            if ended {
                page.control("PP", []);
            }
            ended = false;
            page.text(inlines(line.trim_start()));
        }
        ended |= line.starts_with('#') || line.starts_with("```");
    }
    page.render().into_bytes()
}

/// Sets what stands between back quotes in bold; other marks of emphasis fall away.
fn inlines(text: &str) -> Vec<Inline> {
    let pieces = text.split('`').enumerate();
    let inline = |(number, piece): (usize, &str)| match number % 2 {
        1 => bold(piece),
        _ => roman(piece.replace('*', "")),
    };
    pieces.map(inline).collect()
}

#[derive(Deserialize)]
struct WordRow {
    word: String,
    meaning: String,
    not_called: String,
}

/// Lays the list of words out: each word with its meaning, and what is not said for it.
fn words() -> Vec<u8> {
    let mut page = page(
        "ringwright-words",
        "the words of ringwright, each with its one meaning",
    );
    page.control("SH", ["WORDS"]);
    for row in shipped_rows::<WordRow>("words.csv", WORDS) {
        page.control("TP", []);
        page.text([bold(row.word)]);
        let instead = if row.not_called.is_empty() {
            String::new()
        } else {
            format!(" (not: {})", row.not_called)
        };
        page.text([roman(format!("{}{instead}.", row.meaning))]);
    }
    page.render().into_bytes()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_word_has_one_meaning_and_none_is_another_ones_wrong_name() {
        let rows: Vec<WordRow> = shipped_rows("words.csv", WORDS);
        let words: BTreeSet<&str> = rows.iter().map(|row| row.word.as_str()).collect();
        assert_eq!(words.len(), rows.len());
        assert!(rows.is_sorted_by_key(|row| row.word.as_str()));
        for row in &rows {
            assert!(!row.meaning.is_empty(), "{}", row.word);
            let mut names = row.not_called.split(", ");
            assert!(names.all(|name| !words.contains(name)), "{}", row.word);
        }
    }
}
