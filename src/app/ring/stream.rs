//! Streams a batch of rings through several threads, in order and in constant memory.

use super::batch::{BatchError, BatchHeader, BatchNamer, BatchRow, OUT_COLUMNS};
use super::identify::RingNamer;
use crate::app::table_guard::RowGuard;
use std::io::{Read, Write};
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};

/// Rows that go to a thread at once: enough work to outweigh the handing over, few enough to stay small.
const ROWS: usize = 256;
/// Portions that wait for a thread; with [`ROWS`] they bound the memory, however long the table is.
const WAITING: usize = 2;

/// The largest row, in bytes.
const MOST_ROW: u64 = 1 << 20;

/// How a batch is run.
#[derive(Debug, Clone, Copy)]
pub struct BatchSettings {
    /// The most rings a row.
    pub top: usize,
    /// Threads that name rings; the answer does not depend on it.
    pub threads: usize,
}

/// How far a batch has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BatchProgress {
    /// Rows done.
    pub rows: u64,
    /// Bytes of the table that these took.
    pub bytes: u64,
}

/// Says why a batch ended early.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum StreamError {
    /// The first line cannot be used.
    #[error(transparent)]
    Header(#[from] BatchError),
    #[error(transparent)]
    Table(#[from] csv::Error),
    #[error("the answer cannot be written: {0}")]
    Write(std::io::Error),
}

/// How many rows were answered.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct BatchCount {
    /// All rows.
    pub rows: u64,
    /// Those that cannot be used; each has its error in the answer.
    pub wrong: u64,
    /// The first of these.
    pub first: Option<BatchError>,
}

/// Rows on their way to a thread.
struct Portion {
    rows: Vec<BatchRow>,
    bytes: u64,
}

/// Lines on their way back.
struct Answered {
    lines: Vec<u8>,
    count: BatchCount,
    bytes: u64,
}

/// Names every ring of a CSV table and writes a CSV table of odds; `seen` is told how far it has come.
///
/// # Errors
/// A table that cannot be read on (the rows before that are answered first), or an answer that cannot be written. A row that
/// cannot be used is answered with its error, and the rest go on.
pub fn stream(
    table: impl Read,
    out: &mut dyn Write,
    namer: &RingNamer,
    settings: BatchSettings,
    seen: &mut dyn FnMut(BatchProgress),
) -> Result<BatchCount, StreamError> {
    let doubt = "is this a table, or is a quotation mark left open?";
    let guarded = RowGuard::new(table, MOST_ROW, doubt);
    let mut reader = csv::ReaderBuilder::new()
        .flexible(true)
        .from_reader(guarded);
    let header = BatchHeader::read(reader.headers()?)?;
    writeln!(out, "{}", OUT_COLUMNS.join(",")).map_err(StreamError::Write)?;
    std::thread::scope(|scope| {
        let mut threads = Vec::new();
        for _ in 0..settings.threads.max(1) {
            let (to_thread, portions) = sync_channel::<Portion>(WAITING);
            let (to_us, answers) = sync_channel::<Answered>(WAITING);
            let worker = BatchNamer::new(namer, &header, settings.top);
            scope.spawn(move || work(worker, &portions, &to_us));
            threads.push((to_thread, answers));
        }
        let mut flow = Flow {
            threads,
            sent: 0,
            received: 0,
            count: BatchCount::default(),
            bytes: 0,
        };
        flow.run(&mut reader, out, seen)
    })
}

/// Names portions until no more come or nobody waits for the answer.
fn work(mut namer: BatchNamer<'_>, portions: &Receiver<Portion>, answers: &SyncSender<Answered>) {
    while let Ok(portion) = portions.recv() {
        let mut answered = Answered {
            lines: Vec::new(),
            count: BatchCount::default(),
            bytes: portion.bytes,
        };
        for row in &portion.rows {
            answered.count.rows += 1;
            if let Err(error) = namer.name_row(row, &mut answered.lines) {
                answered.count.wrong += 1;
                answered.count.first.get_or_insert(error);
            }
        }
        if answers.send(answered).is_err() {
            return;
        }
    }
}

/// Hands portions out in turn and takes the answers back in the same turn.
struct Flow {
    threads: Vec<(SyncSender<Portion>, Receiver<Answered>)>,
    sent: usize,
    received: usize,
    count: BatchCount,
    bytes: u64,
}

impl Flow {
    fn run<R: Read>(
        &mut self,
        reader: &mut csv::Reader<RowGuard<R>>,
        out: &mut dyn Write,
        seen: &mut dyn FnMut(BatchProgress),
    ) -> Result<BatchCount, StreamError> {
        let mut unreadable = None;
        loop {
            let portion = match next_portion(reader) {
                Ok(portion) => portion,
                Err((portion, error)) => {
                    unreadable = Some(error);
                    portion
                }
            };
            if portion.rows.is_empty() {
                break;
            }
            let thread = self.sent % self.threads.len();
            // A thread ends only when its channel is dropped, so that sending cannot fail before that.
            let _ = self.threads[thread].0.send(portion);
            self.sent += 1;
            if self.sent - self.received > self.threads.len() {
                self.take(out, seen)?;
            }
            if unreadable.is_some() {
                break;
            }
        }
        while self.received < self.sent {
            self.take(out, seen)?;
        }
        match unreadable {
            Some(error) => Err(error.into()),
            None => Ok(std::mem::take(&mut self.count)),
        }
    }

    fn take(
        &mut self,
        out: &mut dyn Write,
        seen: &mut dyn FnMut(BatchProgress),
    ) -> Result<(), StreamError> {
        let thread = self.received % self.threads.len();
        self.received += 1;
        let Ok(answered) = self.threads[thread].1.recv() else {
            return Ok(());
        };
        out.write_all(&answered.lines).map_err(StreamError::Write)?;
        self.bytes = self.bytes.max(answered.bytes);
        self.count.rows += answered.count.rows;
        self.count.wrong += answered.count.wrong;
        self.count.first = self.count.first.take().or(answered.count.first);
        seen(BatchProgress {
            rows: self.count.rows,
            bytes: self.bytes,
        });
        Ok(())
    }
}

/// Reads rows; where the table cannot be read on, the rows before that come with the error.
fn next_portion<R: Read>(
    reader: &mut csv::Reader<RowGuard<R>>,
) -> Result<Portion, (Portion, csv::Error)> {
    let mut portion = Portion {
        rows: Vec::with_capacity(ROWS),
        bytes: 0,
    };
    while portion.rows.len() < ROWS {
        let mut record = csv::ByteRecord::new();
        reader.get_mut().row = reader.position().byte();
        match reader.read_byte_record(&mut record) {
            Ok(false) => break,
            Ok(true) => portion.rows.push(row_of(record)),
            Err(error) => return Err((portion, error)),
        }
    }
    portion.bytes = reader.position().byte();
    Ok(portion)
}

fn row_of(record: csv::ByteRecord) -> BatchRow {
    let line = record.position().map_or(0, csv::Position::line);
    match csv::StringRecord::from_byte_record(record) {
        Ok(record) => BatchRow {
            line,
            record,
            is_text: true,
        },
        Err(error) => BatchRow {
            line,
            record: csv::StringRecord::from_byte_record_lossy(error.into_byte_record()),
            is_text: false,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::identification::Prior;
    use std::fmt::Write as _;

    fn table(rows: usize) -> String {
        let mut text = "case,condition,od_mm,od_method,cs_mm,cs_method\n".to_owned();
        for row in 0..rows {
            let od = 8.0 + 0.037 * (row % 700) as f64;
            let condition = ["new", "used", "rough"][row % 3];
            let _ = writeln!(
                text,
                "{row},{condition},{od:.2},caliper,1.{:02},flat",
                row % 97
            );
        }
        text
    }

    fn answer(text: impl AsRef<[u8]>, threads: usize) -> (Vec<u8>, Result<BatchCount, String>) {
        let namer = RingNamer::new(&Prior::default());
        let settings = BatchSettings { top: 3, threads };
        let mut out = Vec::new();
        let done = stream(text.as_ref(), &mut out, &namer, settings, &mut |_| {});
        (out, done.map_err(|error| error.to_string()))
    }

    #[test]
    fn the_answer_does_not_depend_on_the_number_of_threads() {
        let text = table(1500);
        let one = answer(&text, 1);
        assert!(one.1.is_ok() && one.0.len() > 1500);
        assert_eq!(one, answer(&text, 3));
        assert_eq!(one, answer(&text, 8));
    }

    #[test]
    fn a_row_that_cannot_be_used_has_its_own_error_and_the_rest_go_on() {
        let mut text = table(600)
            .replace("\n400,used", "\n400,brandnew")
            .into_bytes();
        text.extend(
            b"short,used\n\xff,used,12.80,caliper,1.78,flat\nflat,used,1,caliper,50,caliper\n",
        );
        text.extend(b"\x1b[2J,used,12.80,caliper,1.78,flat\nlast,used,12.80,caliper,1.78,flat\n");
        let (out, done) = answer(&text, 2);
        let out = String::from_utf8(out).expect("text");
        let line_of = |case: &str| {
            let begins = format!("{case},");
            out.lines()
                .find(|line| line.starts_with(&begins))
                .unwrap_or_default()
        };
        assert!(
            line_of("400").starts_with("400,,,,,,,\"line 402, condition: "),
            "{}",
            line_of("400")
        );
        assert!(
            line_of("short").starts_with("short,,,,,,,\"line 602: 2 fields"),
            "{}",
            line_of("short")
        );
        assert!(
            line_of("\u{fffd}").starts_with("\u{fffd},,,,,,,line 603: a byte"),
            "{}",
            line_of("\u{fffd}")
        );
        assert!(line_of("399").starts_with("399,1,") && line_of("401").starts_with("401,1,"));
        assert!(line_of("last").starts_with("last,1,"));
        assert!(
            !out.contains('\u{1b}') && line_of("\\u{1b}[2J").ends_with(','),
            "{out}"
        );
        let rows = done.expect("read to its end");
        assert_eq!((rows.rows, rows.wrong), (605, 3));
        let first = rows.first.expect("a wrong row").to_string();
        assert!(first.starts_with("line 402, condition"), "{first}");
    }

    #[test]
    fn a_row_without_end_is_refused_before_it_fills_the_memory() {
        let head = table(3);
        let endless = head.as_bytes().chain(std::io::repeat(b'1'));
        let namer = RingNamer::new(&Prior::default());
        let settings = BatchSettings { top: 1, threads: 2 };
        let mut out = Vec::new();
        let done = stream(endless, &mut out, &namer, settings, &mut |_| {});
        let error = done.expect_err("no end").to_string();
        assert!(error.ends_with("quotation mark left open?"), "{error}");
        assert_eq!(String::from_utf8(out).expect("text").lines().count(), 4);
        let zeros = stream(
            std::io::repeat(0),
            &mut Vec::new(),
            &namer,
            settings,
            &mut |_| {},
        );
        assert!(zeros.is_err());
    }
}
