//! The rows of a price list, from CSV in its broken forms or from a spreadsheet.

use super::price_rows::PriceRows;
use super::price_workbook::Sheet;
use crate::core::supply::TableRow;
use std::fs::File;
use std::io::{Read, Seek, SeekFrom};
use std::path::Path;

/// Says why a price list cannot be read.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PriceTableError {
    /// The file cannot be opened or read.
    #[error("{path} cannot be read: {source}")]
    Io {
        /// The file.
        path: String,
        /// What the system says.
        source: std::io::Error,
    },
    /// The file is no table.
    #[error("{path}: {reason}")]
    NoTable {
        /// The file.
        path: String,
        /// Why, and what to do.
        reason: String,
    },
}

/// Bytes in which delimiter and encoding are looked for.
const LOOK: usize = 65_536;

/// Guesses the delimiter: the sign that parts the first lines most evenly.
fn delimiter(sample: &str) -> u8 {
    let lines: Vec<&str> = sample
        .lines()
        .filter(|l| !l.trim().is_empty())
        .take(20)
        .collect();
    let score = |sign: char| {
        let counts: Vec<usize> = lines.iter().map(|line| unquoted(line, sign)).collect();
        let first = counts.first().copied().unwrap_or(0);
        let like = counts.iter().filter(|n| **n == first && first > 0).count();
        (like, first)
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

/// Reads the rows of a price list one after the other.
pub struct PriceTable {
    source: Source,
    /// Bytes of the file.
    pub size: u64,
}

enum Source {
    Csv(Box<PriceRows>),
    Sheet(Box<Sheet>),
}

impl PriceTable {
    /// Opens a price list; the ending .xlsx names a spreadsheet, everything else is read as CSV.
    ///
    /// # Errors
    /// Says why it cannot be read.
    pub fn open(path: &Path) -> Result<Self, PriceTableError> {
        let io = |source| PriceTableError::Io {
            path: path.display().to_string(),
            source,
        };
        let mut file = File::open(path).map_err(io)?;
        let size = file.metadata().map_err(io)?.len();
        let mut look = vec![0; LOOK];
        let mut got = 0;
        loop {
            let more = file.read(&mut look[got..]).map_err(io)?;
            got += more;
            if more == 0 || got == LOOK {
                break;
            }
        }
        look.truncate(got);
        if look.starts_with(b"PK\x03\x04") {
            let sheet = Sheet::open(path).map_err(|reason| PriceTableError::NoTable {
                path: path.display().to_string(),
                reason,
            })?;
            return Ok(Self {
                source: Source::Sheet(Box::new(sheet)),
                size,
            });
        }
        if look.starts_with(&[0xff, 0xfe]) || look.starts_with(&[0xfe, 0xff]) || look.contains(&0) {
            return Err(PriceTableError::NoTable {
                path: path.display().to_string(),
                reason: "this is neither CSV nor .xlsx (UTF-16 or an old .xls?): save it as .xlsx or as CSV in UTF-8".to_owned(),
            });
        }
        let mark: &[u8] = b"\xef\xbb\xbf";
        let skip = if look.starts_with(mark) {
            mark.len()
        } else {
            0
        };
        let mut sample = String::new();
        let whole = look.iter().rposition(|b| *b == b'\n').unwrap_or(look.len());
        text_into(&look[skip.min(whole)..whole], &mut sample);
        file.seek(SeekFrom::Start(skip as u64)).map_err(io)?;
        let rows = PriceRows::new(Box::new(file), delimiter(&sample));
        Ok(Self {
            source: Source::Csv(Box::new(rows)),
            size,
        })
    }

    /// Makes a table of a text that is well formed.
    pub fn of_text(text: &'static str) -> Self {
        let rows = PriceRows::new(Box::new(text.as_bytes()), delimiter(text));
        Self {
            source: Source::Csv(Box::new(rows)),
            size: text.len() as u64,
        }
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
