//! The rows of a price list in a workbook (.xlsx).

use super::csv_rows::{MOST_COLUMNS, MOST_ROW};
use super::workbook_sheets::{SheetShape, WorkbookSheet, shape, unreadable};
use crate::core::supply::TableRow;
use calamine::{Data, DataRef, Xlsx, open_workbook};
use std::fs::File;
use std::io::BufReader;
use std::path::Path;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};

/// The rows of a sheet, read by a thread of their own a batch at a time, so that memory stays bounded.
pub(super) struct Sheet {
    batches: Receiver<Result<Vec<TableRow>, String>>,
    batch: std::vec::IntoIter<TableRow>,
    ended: bool,
}

type Workbook = Xlsx<BufReader<File>>;

/// Rows and bytes of a batch, and batches that wait to be taken.
const BATCH: usize = 512;
const BATCH_BYTES: usize = 4 << 20;
const BATCHES_WAITING: usize = 4;

impl Sheet {
    /// Opens a sheet of a workbook that was looked through.
    ///
    /// # Errors
    /// Says why it cannot be read, and what to do.
    pub(super) fn open(path: &Path, sheet: &WorkbookSheet) -> Result<(Self, SheetShape), String> {
        let shape = shape(path, sheet)?;
        let book: Workbook = open_workbook(path).map_err(unreadable::<calamine::XlsxError>)?;
        let (name, within) = (sheet.name.clone(), shape.clone());
        let (send, batches) = sync_channel(BATCHES_WAITING);
        std::thread::spawn(move || {
            if let Err(reason) = send_rows(book, &name, &within, &send) {
                // Nobody waits for the reason where the receiver is gone.
                let _ = send.send(Err(format!("the sheet {name:?} cannot be read: {reason}")));
            }
        });
        let batch = Vec::new().into_iter();
        let sheet = Self {
            batches,
            batch,
            ended: false,
        };
        Ok((sheet, shape))
    }

    /// Returns the next row; `None` at the end.
    ///
    /// # Errors
    /// Fails where the sheet cannot be read any further.
    pub(super) fn next(&mut self) -> Result<Option<TableRow>, std::io::Error> {
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

/// Rows that are gathered, with the bytes of the last one and of all.
#[derive(Default)]
struct Gathered {
    rows: Vec<TableRow>,
    row_bytes: usize,
    bytes: usize,
}

impl Gathered {
    fn begins(&self, line: u64) -> bool {
        self.rows.last().is_none_or(|last| last.line != line)
    }

    fn is_full(&self) -> bool {
        self.rows.len() >= BATCH || self.bytes >= BATCH_BYTES
    }

    fn begin(&mut self, line: u64, hidden: bool) {
        self.row_bytes = 0;
        self.rows.push(TableRow {
            line,
            cells: Vec::new(),
            hidden,
        });
    }

    /// Puts a cell into the last row.
    fn put(&mut self, column: usize, text: String) -> Result<(), String> {
        self.row_bytes += text.len();
        self.bytes += text.len();
        let Some(last) = self.rows.last_mut().filter(|_| column < MOST_COLUMNS) else {
            return Ok(());
        };
        if self.row_bytes as u64 > MOST_ROW {
            return Err(format!(
                "row {} holds more than {} MiB",
                last.line,
                MOST_ROW >> 20
            ));
        }
        if last.cells.len() <= column {
            last.cells.resize(column + 1, String::new());
        }
        last.cells[column] = text;
        Ok(())
    }
}

fn send_rows(
    mut book: Workbook,
    name: &str,
    shape: &SheetShape,
    send: &SyncSender<Result<Vec<TableRow>, String>>,
) -> Result<(), String> {
    let mut cells = book
        .worksheet_cells_reader(name)
        .map_err(|e| e.to_string())?;
    let mut gathered = Gathered::default();
    let mut merged = Merged::new(shape);
    while let Some(cell) = cells.next_cell().map_err(|e| e.to_string())? {
        let (row, column) = cell.get_position();
        let line = u64::from(row) + 1;
        if gathered.begins(line) {
            merged.fill(&mut gathered)?;
            if gathered.is_full() && send.send(Ok(std::mem::take(&mut gathered).rows)).is_err() {
                return Ok(());
            }
            gathered.begin(line, shape.hides_row(row));
        }
        let text = cell_text(cell.get_value());
        merged.keep(row, column, &text);
        gathered.put(column as usize, text)?;
    }
    merged.fill(&mut gathered)?;
    // An empty batch says that this was all. The receiver may be gone, which ends the work.
    if !gathered.rows.is_empty() {
        let _ = send.send(Ok(gathered.rows));
    }
    let _ = send.send(Ok(Vec::new()));
    Ok(())
}

/// The texts of cells that are merged over several rows: each row shows them.
struct Merged {
    /// First and last row, column, and the text once it was read.
    cells: Vec<(u32, u32, u32, String)>,
}

impl Merged {
    fn new(shape: &SheetShape) -> Self {
        let cells = shape.merged_down.iter();
        Self {
            cells: cells
                .map(|(first, last, column)| (*first, *last, *column, String::new()))
                .collect(),
        }
    }

    fn keep(&mut self, row: u32, column: u32, text: &str) {
        let begins = |cell: &&mut (u32, u32, u32, String)| cell.0 == row && cell.2 == column;
        if let Some(cell) = self.cells.iter_mut().find(begins) {
            text.clone_into(&mut cell.3);
        }
    }

    /// Fills the last row that was gathered.
    fn fill(&mut self, gathered: &mut Gathered) -> Result<(), String> {
        let Some(row) = gathered.rows.last().map(|row| row.line) else {
            return Ok(());
        };
        let row = u32::try_from(row - 1).unwrap_or(u32::MAX);
        self.cells.retain(|(_, last, ..)| *last >= row);
        for (first, _, column, text) in &self.cells {
            let filled = gathered
                .rows
                .last()
                .and_then(|row| row.cells.get(*column as usize));
            if *first < row && !text.is_empty() && filled.is_none_or(String::is_empty) {
                gathered.put(*column as usize, text.clone())?;
            }
        }
        Ok(())
    }
}

/// Rounds a number to the 15 digits that a spreadsheet shows of it: a worked-out price of 3.30 is kept as 3.3000000000000003.
fn as_shown(number: f64) -> f64 {
    format!("{number:.14e}").parse().unwrap_or(number)
}

/// Writes a number so that three decimals are not taken for thousands: a number cell of 1.234 is 1.2340.
fn decimal(number: f64) -> String {
    let text = number.to_string();
    let decimals = text
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    if decimals == 3 { text + "0" } else { text }
}

/// Writes a cell as a person sees it; a date cell is written year first, which marks a number as damaged. A formula stands for
/// the value that was saved with it, and is never worked out; where none was saved the cell is empty.
fn cell_text(value: &DataRef<'_>) -> String {
    match Data::from(value.clone()) {
        Data::Float(number) if number.fract() == 0.0 && number.abs() < 1e15 => {
            format!("{number:.0}")
        }
        Data::Float(number) => decimal(as_shown(number)),
        Data::DateTime(moment) if moment.is_datetime() => {
            let (year, month, day, ..) = moment.to_ymd_hms_milli();
            format!("{year:04}-{month:02}-{day:02}")
        }
        other => other.to_string(),
    }
}
