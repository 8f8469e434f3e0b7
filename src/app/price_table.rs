//! The rows of a price list, from CSV in its broken forms or from a spreadsheet.

use super::line_ends::LineEnds;
use crate::core::supply::TableRow;
use calamine::{Data, DataRef, Reader, Xlsx, open_workbook};
use std::fs::File;
use std::io::{BufReader, Read, Seek, SeekFrom};
use std::path::Path;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};

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
    Csv(Box<Csv>),
    Sheet(Box<Sheet>),
}

/// The rows of a text, whose lines all end in a line feed.
struct Csv {
    reader: csv::Reader<LineEnds<Box<dyn Read + Send>>>,
    record: csv::ByteRecord,
    /// The line on which the next row can begin at the earliest.
    next_line: u64,
}

impl Csv {
    fn new(source: Box<dyn Read + Send>, delimiter: u8) -> Box<Self> {
        let reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .buffer_capacity(1 << 18)
            .from_reader(LineEnds::new(source));
        Box::new(Self {
            reader,
            record: csv::ByteRecord::new(),
            next_line: 1,
        })
    }

    fn next(&mut self, row: &mut TableRow) -> Result<bool, std::io::Error> {
        let read = self.reader.read_byte_record(&mut self.record);
        if !read.map_err(std::io::Error::other)? {
            return Ok(false);
        }
        // The reader's own place of a row lies before the empty lines that it passed over, so the line is counted back
        // from the end of the row. In a last row whose quotes never close that is a line too far.
        let inside = self.record.as_slice().iter().filter(|b| **b == b'\n');
        let end = self.reader.position().line();
        row.line = end
            .saturating_sub(1 + inside.count() as u64)
            .max(self.next_line);
        self.next_line = end;
        row.cells.resize(self.record.len(), String::new());
        for (cell, bytes) in row.cells.iter_mut().zip(self.record.iter()) {
            text_into(bytes, cell);
        }
        Ok(true)
    }
}

/// The rows of a spreadsheet, read by a thread of their own a batch at a time, so that memory stays bounded.
struct Sheet {
    batches: Receiver<Result<Vec<TableRow>, String>>,
    batch: std::vec::IntoIter<TableRow>,
    ended: bool,
}

impl Sheet {
    fn next(&mut self) -> Result<Option<TableRow>, std::io::Error> {
        loop {
            if let Some(row) = self.batch.next() {
                return Ok(Some(row));
            }
            if self.ended {
                return Ok(None);
            }
            match self.batches.recv() {
                Ok(Ok(rows)) => {
                    self.ended = rows.is_empty();
                    self.batch = rows.into_iter();
                }
                Ok(Err(reason)) => return Err(std::io::Error::other(reason)),
                // A list must not end where the reading of it broke down.
                Err(_) => {
                    return Err(std::io::Error::other(
                        "the sheet cannot be read to its end: save it as CSV in UTF-8",
                    ));
                }
            }
        }
    }
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
            return Ok(Self {
                source: sheet(path)?,
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
        Ok(Self {
            source: Source::Csv(Csv::new(Box::new(file), delimiter(&sample))),
            size,
        })
    }

    /// Makes a table of a text that is well formed.
    pub fn of_text(text: &'static str) -> Self {
        Self {
            source: Source::Csv(Csv::new(Box::new(text.as_bytes()), delimiter(text))),
            size: text.len() as u64,
        }
    }

    /// Reads the next row into `row`; false at the end.
    ///
    /// # Errors
    /// Fails where the file cannot be read any further.
    pub fn next_row(&mut self, row: &mut TableRow) -> Result<bool, std::io::Error> {
        match &mut self.source {
            Source::Csv(csv) => csv.next(row),
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
            Source::Csv(csv) => csv.reader.position().byte(),
            Source::Sheet(_) => 0,
        }
    }
}

/// Opens the first sheet of a workbook.
fn sheet(path: &Path) -> Result<Source, PriceTableError> {
    let no_table = |reason: String| PriceTableError::NoTable {
        path: path.display().to_string(),
        reason,
    };
    let book: Workbook = open_workbook(path)
        .map_err(|e: calamine::XlsxError| no_table(format!("the workbook cannot be read: {e}")))?;
    let name = book
        .sheet_names()
        .first()
        .cloned()
        .ok_or_else(|| no_table("the workbook has no sheet".to_owned()))?;
    let (send, batches) = sync_channel(BATCHES_WAITING);
    std::thread::spawn(move || {
        if let Err(error) = send_rows(book, &name, &send) {
            // Nobody waits for the reason where the receiver is gone.
            let _ = send.send(Err(format!("the sheet {name:?} cannot be read: {error}")));
        }
    });
    let batch = Vec::new().into_iter();
    Ok(Source::Sheet(Box::new(Sheet {
        batches,
        batch,
        ended: false,
    })))
}

type Workbook = Xlsx<BufReader<File>>;

/// A price list has tens of columns; a cell beyond this is a slip and is left out.
const MOST_COLUMNS: usize = 1000;
/// Rows of a batch, and batches that wait to be taken.
const BATCH: usize = 512;
const BATCHES_WAITING: usize = 4;

fn send_rows(
    mut book: Workbook,
    name: &str,
    send: &SyncSender<Result<Vec<TableRow>, String>>,
) -> Result<(), calamine::XlsxError> {
    let mut cells = book.worksheet_cells_reader(name)?;
    let mut rows: Vec<TableRow> = Vec::new();
    while let Some(cell) = cells.next_cell()? {
        let (row, column) = cell.get_position();
        let line = u64::from(row) + 1;
        if rows.last().is_none_or(|last| last.line != line) {
            if rows.len() >= BATCH && send.send(Ok(std::mem::take(&mut rows))).is_err() {
                return Ok(());
            }
            rows.push(TableRow {
                line,
                cells: Vec::new(),
            });
        }
        let at = column as usize;
        if let Some(last) = rows.last_mut().filter(|_| at < MOST_COLUMNS) {
            if last.cells.len() <= at {
                last.cells.resize(at + 1, String::new());
            }
            last.cells[at] = cell_text(cell.get_value());
        }
    }
    // An empty batch says that this was all. The receiver may be gone, which ends the work.
    if !rows.is_empty() {
        let _ = send.send(Ok(rows));
    }
    let _ = send.send(Ok(Vec::new()));
    Ok(())
}

/// Rounds a number to the 15 digits that a spreadsheet shows of it: a worked-out price of 3.30 is kept as 3.3000000000000003.
fn as_shown(number: f64) -> f64 {
    format!("{number:.14e}").parse().unwrap_or(number)
}

/// Writes a cell as a person sees it; a date cell is written year first, which marks a number as damaged. A formula stands for
/// the value that was saved with it, and is never worked out; where none was saved the cell is empty.
fn cell_text(value: &DataRef<'_>) -> String {
    match Data::from(value.clone()) {
        Data::Float(number) if number.fract() == 0.0 && number.abs() < 1e15 => {
            format!("{number:.0}")
        }
        Data::Float(number) => as_shown(number).to_string(),
        Data::DateTime(moment) if moment.is_datetime() => {
            let (year, month, day, ..) = moment.to_ymd_hms_milli();
            format!("{year:04}-{month:02}-{day:02}")
        }
        other => other.to_string(),
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
