//! The words of rows: a sum, a price named when asked, a sales unit (`data/supply/row_words.csv`).

use super::column::Priced;
use super::head_word::{PRICE_WORDS, PriceRole, folded};
use crate::core::data_table::shipped_rows;
use serde::Deserialize;
use std::collections::HashMap;
use std::sync::LazyLock;

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum RowRole {
    Total,
    /// It begins the line of a charge: carriage, a surcharge.
    Charge,
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
    let rows: Vec<RowWordRow> = shipped_rows!("supply/row_words.csv");
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

/// Tells whether the first word of a cell, or its first two or three, have a role: a line that begins so is a sum, or a charge.
pub(super) fn begins(cell: &str, role: RowRole) -> bool {
    let text = plain(cell);
    let ends = text.match_indices(' ').map(|(at, _)| at);
    let mut ends = ends.chain([text.len()]).take(3);
    ends.any(|end| ROW_WORDS.get(&text[..end]) == Some(&role))
}

/// Tells whether a cell says that the price is named when asked.
pub(super) fn is_on_request(cell: &str) -> bool {
    ROW_WORDS.get(&plain(cell)) == Some(&RowRole::OnRequest)
}

/// Reads a sales unit: "EA", "C" for a hundred, "PK" or "PK10" for a pack.
pub(super) fn sales_unit(cell: &str) -> Option<(Priced, Option<u32>)> {
    let text = plain(cell);
    match ROW_WORDS.get(&text) {
        // A small m is a metre.
        Some(RowRole::Thousand) if cell.trim() == "m" => return None,
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
