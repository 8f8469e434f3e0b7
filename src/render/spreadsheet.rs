//! Rows as CSV that survives a spreadsheet.

use super::number::{fixed, mm2, percent_of, rounded};
use super::reports::gland_check::verdict_word;
use super::visible::visible_page;
use super::words::day;
use crate::core::caution::Caution;
use crate::core::confidence::Confidence;
use crate::core::formula::defused;
use crate::core::gland::Verdict;
use crate::core::quantity::{Date, Length};
use std::collections::BTreeMap;

/// A header and rows for a CSV file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sheet {
    /// Column names; units stand in the name (`id_mm`).
    pub header: Vec<&'static str>,
    /// Rows of typed cells.
    pub rows: Vec<Vec<Cell>>,
}

/// One cell with what it is, so that a number stays a number and a code stays text.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Nothing known.
    Empty,
    /// A number, rounded already.
    Number(f64),
    Count(i64),
    Text(String),
    /// What a page writes in other words than rows, which machines read.
    Shown {
        page: String,
        row: Box<Self>,
    },
}

impl Cell {
    /// Makes a text cell.
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// Makes a number cell rounded to so many decimals, or an empty one.
    pub fn rounded(value: impl Into<Option<f64>>, places: u32) -> Self {
        value.into().map(|value| rounded(value, places)).into()
    }

    /// Makes a cell that a page writes in these words, and rows as what it is.
    pub fn shown(page: impl Into<String>, row: impl Into<Self>) -> Self {
        Self::Shown {
            page: page.into(),
            row: Box::new(row.into()),
        }
    }

    /// Makes a number cell with so many decimals on a page, and so many in rows.
    pub fn figure(value: f64, on_page: u32, in_rows: u32) -> Self {
        Self::shown(fixed(value, on_page), Self::rounded(value, in_rows))
    }

    /// Makes the cell of a probability: per cent on a page, a share of one in rows.
    pub fn share(share: f64) -> Self {
        Self::shown(percent_of(share), Self::rounded(share, 4))
    }

    /// Makes the cell of a moment, of which a page shows the day.
    pub fn moment(moment: &str) -> Self {
        Self::shown(day(moment), moment)
    }
}

impl std::fmt::Display for Cell {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Empty => Ok(()),
            Self::Number(value) => write!(f, "{value}"),
            Self::Count(value) => write!(f, "{value}"),
            Self::Text(text) | Self::Shown { page: text, .. } => f.write_str(text),
        }
    }
}

macro_rules! cell_of {
    ($($from:ty: $value:ident => $cell:expr;)*) => {
        $(impl From<$from> for Cell {
            fn from($value: $from) -> Self {
                $cell
            }
        })*
    };
}
cell_of! {
    String: text => Self::Text(text);
    &String: text => Self::Text(text.clone());
    &str: text => Self::Text(text.to_owned());
    &Vec<String>: list => Self::Text(list.join(" | "));
    bool: is => Self::text(if is { "yes" } else { "no" });
    f64: value => Self::Number(value);
    Length: length => Self::shown(mm2(length), length.mm_rounded());
    i64: count => Self::Count(count);
    u32: count => Self::Count(count.into());
    u64: count => Self::Count(i64::try_from(count).unwrap_or(i64::MAX));
    usize: count => Self::Count(i64::try_from(count).unwrap_or(i64::MAX));
    Date: day => Self::Text(day.to_string());
    Confidence: grade => Self::text(grade.word());
    Verdict: verdict => Self::shown(verdict_word(verdict), verdict.word());
}

impl<T: Into<Self>> From<Option<T>> for Cell {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self::Empty, Into::into)
    }
}

impl Sheet {
    /// Puts a last column behind the others.
    #[must_use]
    pub fn and(mut self, name: &'static str, cells: impl IntoIterator<Item = Cell>) -> Self {
        self.header.push(name);
        for (row, cell) in self.rows.iter_mut().zip(cells) {
            row.push(cell);
        }
        self
    }

    /// Puts the rows of another sheet below, each cell under its name; what one of the two does not have is empty there.
    #[must_use]
    pub fn below(mut self, other: Self) -> Self {
        let more = other
            .header
            .iter()
            .filter(|name| !self.header.contains(name));
        let more: Vec<&str> = more.copied().collect();
        self.header.extend(more);
        for row in &mut self.rows {
            row.resize(self.header.len(), Cell::Empty);
        }
        for row in other.rows {
            let mut named: BTreeMap<&str, Cell> = other.header.iter().copied().zip(row).collect();
            let cell = |name: &&str| named.remove(*name).unwrap_or(Cell::Empty);
            self.rows.push(self.header.iter().map(cell).collect());
        }
        self
    }
}

/// Makes the cell of a column "notice": what this row must say for itself, then what every row says, because rows are copied
/// out of their sheet.
pub fn notice(own: impl IntoIterator<Item = String>) -> Cell {
    let mut words: Vec<String> = own.into_iter().filter(|w| !w.is_empty()).collect();
    words.push(Caution::Row.words().to_owned());
    Cell::Text(words.join(" | "))
}

/// Writes the rows as CSV (RFC 4180, UTF-8, line feeds).
///
/// A text that a spreadsheet would take for a formula (it begins with =, +, -, @, a tab or a carriage return, or their
/// full-width forms) gets an apostrophe in front; a text of digits with a leading zero, which would lose it, gets one
/// too. A character that cannot be seen is written as its code, because CSV goes to terminals too. Numbers are written with
/// a decimal point.
pub fn csv(sheet: &Sheet) -> String {
    let mut writer = csv::WriterBuilder::new().from_writer(Vec::new());
    let written = write_rows(&mut writer, sheet);
    debug_assert!(written.is_ok(), "writing to memory cannot fail");
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

fn write_rows(writer: &mut csv::Writer<Vec<u8>>, sheet: &Sheet) -> csv::Result<()> {
    writer.write_record(&sheet.header)?;
    for row in &sheet.rows {
        writer.write_record(row.iter().map(cell_text))?;
    }
    Ok(())
}

fn cell_text(cell: &Cell) -> String {
    match cell {
        Cell::Text(text) => defused(&visible_page(text)),
        Cell::Shown { row, .. } => cell_text(row),
        other => other.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_keep_their_zeros_and_are_no_formulas() {
        let sheet = Sheet {
            header: vec!["code"],
            rows: vec![vec![Cell::text("012")], vec![Cell::text("=1+1")]],
        };
        assert_eq!(csv(&sheet), "code\n'012\n'=1+1\n");
    }

    #[test]
    fn a_text_cannot_steer_the_terminal_that_it_is_written_to() {
        let sheet = Sheet {
            header: vec!["name"],
            rows: vec![vec![Cell::text("a\u{1b}[31m\u{202e}b")]],
        };
        assert_eq!(csv(&sheet), "name\na\\u{1b}[31m\\u{202e}b\n");
    }

    #[test]
    fn a_comma_or_quote_in_a_text_is_quoted() {
        let sheet = Sheet {
            header: vec!["name", "id_mm"],
            rows: vec![vec![Cell::text("ring, \"thin\""), Cell::Number(9.25)]],
        };
        assert_eq!(csv(&sheet), "name,id_mm\n\"ring, \"\"thin\"\"\",9.25\n");
    }
}
