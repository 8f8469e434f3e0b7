//! The rows of a price list, from CSV in its broken forms or from a spreadsheet.

use super::csv_rows::{CsvRows, MOST_COLUMNS};
use super::workbook::Sheet;
use super::workbook_parts::look_through;
use super::workbook_sheets::{SheetShape, WorkbookSheet, sheets};
use crate::core::supply::TableRow;
use std::io::{Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};

/// Says why a price list cannot be read.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PriceTableError {
    /// The file cannot be opened or read.
    #[error("{path} cannot be read: {source}")]
    Io {
        path: String,
        source: std::io::Error,
    },
    /// The file is no table.
    #[error("{path}: {reason}")]
    NoTable {
        path: String,
        /// Why, and what to do.
        reason: String,
    },
}

impl PriceTableError {
    fn io(path: &Path, source: std::io::Error) -> Self {
        let path = path.display().to_string();
        Self::Io { path, source }
    }

    fn no_table(path: &Path, reason: String) -> Self {
        let path = path.display().to_string();
        Self::NoTable { path, reason }
    }
}

/// Bytes in which delimiter and encoding are looked for.
const LOOK: usize = 65_536;

/// Guesses the delimiter: the sign that stands equally often in most of the first lines; titles above a list have none.
fn delimiter(sample: &str) -> u8 {
    let lines: Vec<&str> = sample
        .lines()
        .filter(|l| !l.trim().is_empty())
        .take(60)
        .collect();
    let score = |sign: char| {
        let counts: Vec<usize> = lines
            .iter()
            .map(|line| unquoted(line, sign))
            .filter(|n| *n > 0)
            .collect();
        let alike = |n: usize| counts.iter().filter(|other| **other == n).count();
        counts
            .iter()
            .map(|n| (alike(*n), *n))
            .max()
            .unwrap_or((0, 0))
    };
    let (sign, _) = [(b'\t', '\t'), (b';', ';'), (b',', ','), (b'|', '|')]
        .map(|(byte, sign)| (byte, score(sign)))
        .into_iter()
        // At equal evenness tab and semicolon win, because commas also stand in decimals.
        .rev()
        .max_by_key(|(_, score)| *score)
        .unwrap_or((b',', (0, 0)));
    sign
}

fn unquoted(line: &str, sign: char) -> usize {
    let mut quoted = false;
    line.chars()
        .filter(|c| {
            if *c == '"' {
                quoted = !quoted;
            }
            *c == sign && !quoted
        })
        .count()
}

/// The characters of Windows-1252 from 0x80 to 0x9f; the code page of the WHATWG "Encoding" standard.
const WINDOWS_1252: [char; 32] = [
    '€', '\u{81}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{8d}', 'Ž', '\u{8f}',
    '\u{90}', '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{9d}', 'ž', 'Ÿ',
];

/// Reads bytes as UTF-8, or as Windows-1252 where they are not.
fn text_into(bytes: &[u8], text: &mut String) {
    text.clear();
    match std::str::from_utf8(bytes) {
        Ok(utf8) => text.push_str(utf8),
        Err(_) => text.extend(bytes.iter().map(|byte| match byte {
            0x80..=0x9f => WINDOWS_1252[usize::from(byte - 0x80)],
            _ => char::from(*byte),
        })),
    }
}

/// A file with one table, or a workbook with several.
pub struct PriceFile {
    path: PathBuf,
    kind: FileKind,
    /// Bytes of the file.
    pub size: u64,
}

enum FileKind {
    Csv { skip: u64, delimiter: u8 },
    Workbook(Vec<WorkbookSheet>),
}

/// A workbook with more sheets than this is no price list.
const MOST_SHEETS: usize = 100;

impl PriceFile {
    /// Opens a price list and finds out what it is: a workbook, or text with a sign between its cells.
    pub fn open(path: &Path) -> Result<Self, PriceTableError> {
        let io = |source| PriceTableError::io(path, source);
        let no_table = |reason| PriceTableError::no_table(path, reason);
        let file = crate::app::file::open(path).map_err(io)?;
        let size = file.metadata().map_err(io)?.len();
        let mut look = Vec::new();
        file.take(LOOK as u64).read_to_end(&mut look).map_err(io)?;
        let kind = if look.starts_with(b"PK\x03\x04") {
            look_through(path).map_err(no_table)?;
            let sheets = sheets(path).map_err(no_table)?;
            if sheets.is_empty() || sheets.len() > MOST_SHEETS {
                return Err(no_table(format!(
                    "the workbook has {} sheets: save the one with the prices by itself",
                    sheets.len()
                )));
            }
            FileKind::Workbook(sheets)
        } else if look.starts_with(&[0xff, 0xfe])
            || look.starts_with(&[0xfe, 0xff])
            || look.contains(&0)
        {
            return Err(no_table("this is neither CSV nor .xlsx (UTF-16 or an old .xls?): save it as .xlsx or as CSV in UTF-8".to_owned()));
        } else {
            let mark: &[u8] = b"\xef\xbb\xbf";
            let skip = if look.starts_with(mark) {
                mark.len()
            } else {
                0
            };
            let whole = look.iter().rposition(|b| *b == b'\n').unwrap_or(look.len());
            let mut sample = String::new();
            text_into(&look[skip.min(whole)..whole], &mut sample);
            FileKind::Csv {
                skip: skip as u64,
                delimiter: delimiter(&sample),
            }
        };
        Ok(Self {
            path: path.to_owned(),
            kind,
            size,
        })
    }

    /// Names the sheets that can be seen; one without a name where the file is no workbook.
    pub fn sheets(&self) -> Vec<Option<String>> {
        match &self.kind {
            FileKind::Csv { .. } => vec![None],
            FileKind::Workbook(sheets) => sheets
                .iter()
                .filter(|sheet| !sheet.hidden)
                .map(|sheet| Some(sheet.name.clone()))
                .collect(),
        }
    }

    /// Names the sheets that are hidden.
    pub fn hidden_sheets(&self) -> Vec<String> {
        match &self.kind {
            FileKind::Csv { .. } => Vec::new(),
            FileKind::Workbook(sheets) => sheets
                .iter()
                .filter(|sheet| sheet.hidden)
                .map(|sheet| sheet.name.clone())
                .collect(),
        }
    }

    /// Opens a table of the file, by the name of its sheet.
    pub fn table(&self, sheet: Option<&str>) -> Result<PriceTable, PriceTableError> {
        let io = |source| PriceTableError::io(&self.path, source);
        let no_table = |reason| PriceTableError::no_table(&self.path, reason);
        match &self.kind {
            FileKind::Csv { skip, delimiter } => {
                let mut file = crate::app::file::open(&self.path).map_err(io)?;
                file.seek(SeekFrom::Start(*skip)).map_err(io)?;
                Ok(PriceTable::of_csv(Box::new(file), *delimiter))
            }
            FileKind::Workbook(sheets) => {
                let found = sheets.iter().find(|one| Some(one.name.as_str()) == sheet);
                let found = found.ok_or_else(|| no_table("no such sheet".to_owned()))?;
                let (rows, shape) = Sheet::open(&self.path, found).map_err(no_table)?;
                Ok(PriceTable {
                    source: Source::Sheet(Box::new(rows)),
                    shape,
                })
            }
        }
    }
}

/// Reads the rows of a price list one after the other.
pub struct PriceTable {
    source: Source,
    shape: SheetShape,
}

enum Source {
    Csv(Box<CsvRows>),
    Sheet(Box<Sheet>),
}

impl PriceTable {
    fn of_csv(file: Box<dyn Read + Send>, delimiter: u8) -> Self {
        Self {
            source: Source::Csv(Box::new(CsvRows::new(file, delimiter))),
            shape: SheetShape::default(),
        }
    }

    /// The hidden columns, from 1.
    pub fn hidden_columns(&self) -> Vec<usize> {
        let ranges = self.shape.hidden_columns.iter();
        let most = u32::try_from(MOST_COLUMNS).unwrap_or(u32::MAX);
        ranges
            .flat_map(|(first, last)| *first..=(*last).min(most))
            .map(|at| at as usize + 1)
            .collect()
    }

    /// The hidden lines, first and last of each stretch, from 1.
    pub fn hidden_lines(&self) -> Vec<(u32, u32)> {
        let ranges = self.shape.hidden_rows.iter();
        ranges.map(|(first, last)| (first + 1, last + 1)).collect()
    }

    /// Makes a table of a text that is well formed.
    pub fn of_text(text: &'static str) -> Self {
        Self::of_csv(Box::new(text.as_bytes()), delimiter(text))
    }

    /// Reads the next row into `row`; false at the end.
    ///
    /// # Errors
    /// Fails where the file cannot be read any further.
    pub fn next_row(&mut self, row: &mut TableRow) -> Result<bool, std::io::Error> {
        match &mut self.source {
            Source::Csv(rows) => {
                let Some((line, cells)) = rows.next()? else {
                    return Ok(false);
                };
                row.line = line;
                row.cells.resize(cells.len(), String::new());
                for (cell, bytes) in row.cells.iter_mut().zip(cells) {
                    text_into(bytes, cell);
                }
                Ok(true)
            }
            Source::Sheet(sheet) => match sheet.next()? {
                Some(next) => {
                    *row = next;
                    Ok(true)
                }
                None => Ok(false),
            },
        }
    }

    /// Says how many bytes were gone through, where that is known.
    pub fn bytes(&self) -> u64 {
        match &self.source {
            Source::Csv(rows) => rows.bytes(),
            Source::Sheet(_) => 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(text: &'static str) -> Vec<(u64, String)> {
        let mut table = PriceTable::of_text(text);
        let (mut row, mut found) = (TableRow::default(), Vec::new());
        while table.next_row(&mut row).expect("reads") {
            found.push((row.line, row.cells[0].clone()));
        }
        found
    }

    #[test]
    fn a_row_says_the_line_on_which_it_begins_whatever_ends_the_lines() {
        let of = |found: &[(u64, &str)]| -> Vec<(u64, String)> {
            found.iter().map(|(n, t)| (*n, (*t).to_owned())).collect()
        };
        for text in ["a;b\nc;d\ne;f", "a;b\r\nc;d\r\ne;f\r\n", "a;b\rc;d\re;f\r"] {
            assert_eq!(lines(text), of(&[(1, "a"), (2, "c"), (3, "e")]), "{text:?}");
        }
        assert_eq!(
            lines("\r\na;b\r\n\r\n\r\n\"c\r\nd\";e\r\nf;g\r\n"),
            of(&[(2, "a"), (5, "c\nd"), (7, "f")])
        );
        assert_eq!(
            lines("a;b\n\"c;d\ne;f\n"),
            of(&[(1, "a"), (2, "c;d\ne;f\n")])
        );
    }
}
