//! The words of rows: a sum, a price named when asked, a sales unit (`data/supply/row_words.csv`).

use super::column::Priced;
use super::head_word::{PRICE_WORDS, PriceRole, folded};
use crate::core::data_table::shipped_rows;
use serde::Deserialize;
use std::collections::HashMap;
use std::sync::LazyLock;

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum RowRole {
    Total,
    OnRequest,
    Each,
    Hundred,
    Thousand,
}

#[derive(Deserialize)]
struct RowWordRow {
    words: String,
    role: RowRole,
}

static ROW_WORDS: LazyLock<HashMap<String, RowRole>> = LazyLock::new(|| {
    let rows: Vec<RowWordRow> = shipped_rows(
        "supply/row_words.csv",
        include_str!("../../../../data/supply/row_words.csv"),
    );
    rows.into_iter()
        .map(|row| (plain(&row.words), row.role))
        .collect()
});

/// Writes words folded and with single spaces between them, without other signs.
fn plain(text: &str) -> String {
    let folded = folded(text);
    let words = folded.split(|c: char| !c.is_alphanumeric() && c != '%');
    words
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// Tells whether a line is a sum: its first cell begins with a word for total.
pub(super) fn begins_total(cell: &str) -> bool {
    let text = plain(cell);
    let mut words = text.split(' ');
    let first = words.next().unwrap_or("");
    let two = words.next().map(|second| format!("{first} {second}"));
    let total = |words: &str| ROW_WORDS.get(words) == Some(&RowRole::Total);
    total(first) || two.is_some_and(|two| total(&two))
}

/// Tells whether a cell says that the price is named when asked.
pub(super) fn is_on_request(cell: &str) -> bool {
    ROW_WORDS.get(&plain(cell)) == Some(&RowRole::OnRequest)
}

/// Reads a sales unit: "EA", "C" for a hundred, "PK" or "PK10" for a pack.
pub(super) fn sales_unit(cell: &str) -> Option<(Priced, Option<u32>)> {
    let text = plain(cell);
    match ROW_WORDS.get(&text) {
        Some(RowRole::Each) => return Some((Priced::Pieces(1), None)),
        Some(RowRole::Hundred) => return Some((Priced::Pieces(100), None)),
        Some(RowRole::Thousand) => return Some((Priced::Pieces(1000), None)),
        _ => {}
    }
    let roles = PRICE_WORDS.get(&text)?;
    if roles.contains(&PriceRole::Pack) {
        return Some((Priced::Pack, None));
    }
    roles
        .contains(&PriceRole::Piece)
        .then_some((Priced::Pieces(1), None))
}
