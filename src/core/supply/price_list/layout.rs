//! Where the heads of a price list stand, and what its columns hold.

use super::cells::TableRow;
use super::column::{Column, Priced};
use super::column_map::ColumnMap;
use super::head::{HeadSays, PriceHead, goes_with_heads, read_head, said_of_prices};
use super::left_out::{LeftOut, LeftOutWhy};
use super::price_columns::{assign_prices, contradiction};
use super::price_text::parse_price;
use crate::core::quantity::Currency;

/// Says what the prices of a list are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ListTerms {
    pub currency: Currency,
    /// Whether tax is in the prices.
    pub tax_included: bool,
}

/// Returns the word for prices with tax in them or without, as it is typed, kept and shown.
pub const fn tax_word(included: bool) -> &'static str {
    if included { "included" } else { "excluded" }
}

/// Says why the columns of a list cannot be told.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LayoutError {
    /// The head of the price says another tax than was stated.
    #[error(
        "the head {head:?} says that tax is {says} in the prices: write --tax {says}, or name another column with --mapping"
    )]
    Tax {
        head: String,
        /// "included" or "excluded".
        says: &'static str,
    },
    /// The head of the price says another currency than was stated.
    #[error(
        "the head {head:?} names {found}: write --currency {found}, or name another column with --mapping"
    )]
    Currency {
        head: String,
        /// The currency.
        found: &'static str,
    },
    /// A line of text says what the prices are for, and the heads do not.
    #[error(
        "the line {line:?} says that prices are for {pieces} pieces: name their column with --mapping, as price-per-{pieces}=4"
    )]
    Pieces { line: String, pieces: u32 },
    /// Two lists stand side by side.
    #[error(
        "the head {head:?} stands twice: two lists side by side are imported as two files, or name the columns of one with --mapping"
    )]
    SideBySide { head: String },
}

/// Says how a list lies in its table.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Layout {
    /// The head of each column, over all rows of heads.
    pub heads: Vec<String>,
    /// How many of the first rows come before the list: titles, blank lines and the heads.
    pub rows_above: usize,
    /// How many of these are heads.
    pub head_rows: usize,
    /// What each column holds.
    pub map: ColumnMap,
    /// The columns that are left out, in their order.
    pub left_out: Vec<LeftOut>,
}

/// Heads stand at most on so many rows.
const MOST_HEAD_ROWS: usize = 3;

impl Layout {
    /// Finds the rows of heads among the first rows of a table; `hidden` names hidden columns, from 1.
    ///
    /// Of all rows, and of two or three rows one below the other, those are the heads whose words name most columns. `None`
    /// where no row names a price beside a number or a description.
    ///
    /// # Errors
    /// Fails where the only price is with another tax or in another currency than was stated.
    pub fn find(
        rows: &[TableRow],
        hidden: &[usize],
        terms: ListTerms,
    ) -> Result<Option<Self>, LayoutError> {
        let mut best: Option<(usize, usize, usize)> = None;
        for begin in 0..rows.len() {
            for height in 1..=MOST_HEAD_ROWS.min(rows.len() - begin) {
                let block = &rows[begin..begin + height];
                if !may_be_heads(block) {
                    break;
                }
                let score = score(&composed(block));
                // As many columns over more rows: the lower ones hold units or numbers, and are no offers.
                let wins = best
                    .is_none_or(|(found, at, _)| score > found || (score == found && at == begin));
                if score > 0 && wins {
                    best = Some((score, begin, height));
                }
            }
        }
        let Some((_, begin, height)) = best else {
            return Ok(None);
        };
        let heads = composed(&rows[begin..begin + height]);
        let Some((map, left_out)) = assign(&heads, hidden, terms)? else {
            return Ok(None);
        };
        let layout = Self {
            heads,
            rows_above: begin + height,
            head_rows: height,
            map,
            left_out,
        };
        for title in &rows[..begin] {
            layout.agrees(&title.cells.join(" "), terms)?;
        }
        Ok(Some(layout))
    }

    /// Checks that a line of text says nothing of the prices that contradicts what was stated, or what the heads leave open.
    ///
    /// # Errors
    /// Says what the line says.
    pub(super) fn agrees(&self, line: &str, terms: ListTerms) -> Result<(), LayoutError> {
        let Some(said) = said_of_prices(line) else {
            return Ok(());
        };
        if let Some(error) = contradiction(line.trim(), &said, terms) {
            return Err(error);
        }
        let open = self
            .map
            .price()
            .is_some_and(|(price, _)| price.priced == Priced::Pack);
        match said.priced {
            // Other numbers beside a stroke are days and years.
            Some(Priced::Pieces(pieces @ (10 | 100 | 1000))) if open => {
                let line = line.trim().to_owned();
                Err(LayoutError::Pieces { line, pieces })
            }
            _ => Ok(()),
        }
    }

    /// Takes a row for heads of what stands below it; `None` where it is none.
    ///
    /// # Errors
    /// The heads contradict what was stated, or name no price.
    pub(super) fn begun_by(
        &self,
        row: &TableRow,
        terms: ListTerms,
    ) -> Option<Result<Self, LayoutError>> {
        let block = std::slice::from_ref(row);
        if !may_be_heads(block) {
            return None;
        }
        let heads = composed(block);
        if score(&heads) == 0 {
            return None;
        }
        // What is hidden stays so under other heads.
        let hidden = self.left_out.iter();
        let hidden: Vec<usize> = hidden
            .filter(|one| one.why == LeftOutWhy::Hidden)
            .map(|one| one.place)
            .collect();
        match assign(&heads, &hidden, terms) {
            Ok(None) => None,
            Ok(Some((map, left_out))) => Some(Ok(Self {
                heads,
                map,
                left_out,
                ..self.clone()
            })),
            Err(error) => Some(Err(error)),
        }
    }

    /// Lays a given mapping over a table: the heads are those of the best row, if any.
    pub fn with_map(map: ColumnMap, found: Option<Self>, first: Option<&TableRow>) -> Self {
        let (heads, rows_above, head_rows) = if let Some(found) = found {
            (found.heads, found.rows_above, found.head_rows)
        } else {
            let is_head = first.is_some_and(|row| !has_price(&map, row));
            let heads = first.filter(|_| is_head).map(|row| row.cells.clone());
            let rows = usize::from(is_head);
            (heads.unwrap_or_default(), rows, rows)
        };
        let left_out = heads
            .iter()
            .enumerate()
            .filter(|(at, head)| {
                !head.trim().is_empty() && map.columns().all(|(_, place)| place != at + 1)
            })
            .map(|(at, head)| LeftOut {
                place: at + 1,
                head: head.clone(),
                why: LeftOutWhy::NotNeeded,
            })
            .collect();
        Self {
            heads,
            rows_above,
            head_rows,
            map,
            left_out,
        }
    }

    /// Tells whether a row is the heads again, as lists of many pages have them.
    pub(super) fn is_heads(&self, row: &TableRow) -> bool {
        let alike = |(at, cell): (usize, &str)| {
            let head = self.heads.get(at).map(|head| head.to_lowercase());
            head.is_some_and(|head| head.contains(&cell.to_lowercase()))
        };
        row.filled().nth(1).is_some() && row.filled().all(alike)
    }
}

fn has_price(map: &ColumnMap, row: &TableRow) -> bool {
    let cell = map.price().and_then(|(_, place)| row.cells.get(place - 1));
    cell.is_some_and(|cell| parse_price(cell, Currency::Eur, 1).is_ok())
}

/// Heads hold no prices, and the lower rows of heads hold nothing but what goes with heads.
fn may_be_heads(block: &[TableRow]) -> bool {
    let price = |(_, cell): (usize, &str)| {
        let figures = cell.bytes().filter(u8::is_ascii_digit).count();
        figures > 0 && cell.contains(['.', ',']) && parse_price(cell, Currency::Eur, 1).is_ok()
    };
    let first_of = |row: &TableRow| row.filled().next().map(|(at, _)| at);
    let is_lone = |row: &TableRow| row.filled().nth(1).is_none();
    let [top, lower @ ..] = block else {
        return false;
    };
    // A head that is merged over several rows stands in each.
    let goes = |row: &TableRow| {
        row.filled()
            .all(|(at, cell)| top.cells.get(at) == row.cells.get(at) || goes_with_heads(cell))
    };
    // A lone cell in the first column is a heading for the rows below, and no head.
    let heading = |row: &TableRow| is_lone(row) && first_of(row) <= first_of(top);
    // A title over the first columns is no head of theirs.
    let left = lower.iter().filter_map(first_of).min();
    let title = !lower.is_empty()
        && is_lone(top)
        && first_of(top).is_some_and(|lone| left.is_none_or(|left| lone <= left));
    first_of(top).is_some()
        && !title
        && !block.iter().any(|row| row.filled().any(price))
        && lower
            .iter()
            .all(|row| first_of(row).is_some() && goes(row) && !heading(row))
}

/// Joins the rows of heads; the head of a group goes with each column below it that says no more than a number or a unit.
fn composed(block: &[TableRow]) -> Vec<String> {
    let columns = block.iter().map(|row| row.cells.len()).max().unwrap_or(0);
    let cell = |row: usize, at: usize| block[row].cells.get(at).map_or("", |cell| cell.trim());
    let below = |row: usize, at: usize| (row + 1..block.len()).any(|row| !cell(row, at).is_empty());
    (0..columns)
        .map(|at| {
            let mut words: Vec<&str> = Vec::new();
            for row in 0..block.len() {
                let own = cell(row, at);
                let known = (row + 1..block.len()).any(|row| names_a_column(cell(row, at)));
                if own.is_empty() && below(row, at) && !known {
                    let group = (0..at)
                        .rev()
                        .map(|left| cell(row, left))
                        .find(|text| !text.is_empty());
                    words.extend(group);
                } else if !own.is_empty() && words.last() != Some(&own) {
                    words.push(own);
                }
            }
            words.join(" ")
        })
        .collect()
}

/// Tells whether a head names a column by itself, without the head of its group.
fn names_a_column(head: &str) -> bool {
    matches!(
        read_head(head),
        Some(HeadSays::Holds { whole: true, .. } | HeadSays::NotNeeded { whole: true })
    )
}

/// Counts the columns that heads name; nought where they name no price, or nothing that is sold.
fn score(heads: &[String]) -> usize {
    let mut priced = false;
    let mut named = false;
    let mut count = 0;
    for says in heads.iter().filter_map(|head| read_head(head)) {
        match says {
            HeadSays::Price(_) => priced = true,
            HeadSays::Holds { column, .. } => {
                named |= matches!(
                    column,
                    Column::Number
                        | Column::Description
                        | Column::Size
                        | Column::Id
                        | Column::IdInch
                );
            }
            HeadSays::NotNeeded { .. } => {}
        }
        count += 1;
    }
    if priced && named { count } else { 0 }
}

/// Gives each column what it holds, and says of the others why they are left out; `None` where no price is left.
fn assign(
    heads: &[String],
    hidden: &[usize],
    terms: ListTerms,
) -> Result<Option<(ColumnMap, Vec<LeftOut>)>, LayoutError> {
    let mut map = ColumnMap::default();
    let mut left_out = Vec::new();
    let mut prices: Vec<(usize, PriceHead)> = Vec::new();
    let mut parts: Vec<(usize, Column)> = Vec::new();
    for (at, head) in heads
        .iter()
        .enumerate()
        .filter(|(_, head)| !head.trim().is_empty())
    {
        let place = at + 1;
        let mut leave = |why| left_out.push(left(heads, place, why));
        match read_head(head) {
            _ if hidden.contains(&place) => leave(LeftOutWhy::Hidden),
            None => leave(LeftOutWhy::NotUnderstood),
            Some(HeadSays::NotNeeded { .. }) => leave(LeftOutWhy::NotNeeded),
            Some(HeadSays::Price(price)) => prices.push((place, price)),
            Some(HeadSays::Holds {
                column,
                whole: true,
            }) if map.place(column).is_none() || column.may_repeat() => {
                map.put(column, place);
            }
            Some(HeadSays::Holds { column, .. }) => parts.push((place, column)),
        }
    }
    for (place, column) in parts {
        // "Article" is the number in one list and, beside one, the name in another.
        let column = if column == Column::Number
            && map.place(Column::Number).is_some()
            && map.place(Column::Description).is_none()
        {
            Column::Description
        } else {
            column
        };
        if map.place(column).is_none() || column.may_repeat() {
            map.put(column, place);
        } else {
            left_out.push(left(heads, place, LeftOutWhy::SaidTwice));
        }
    }
    for (place, why) in assign_prices(&mut map, heads, prices, terms)? {
        left_out.push(left(heads, place, why));
    }
    left_out.sort_by_key(|one| one.place);
    Ok(map.complete().ok().map(|map| (map, left_out)))
}

fn left(heads: &[String], place: usize, why: LeftOutWhy) -> LeftOut {
    LeftOut {
        place,
        head: heads[place - 1].clone(),
        why,
    }
}
