//! Streams a batch of rings through several threads, in order and in constant memory.

use super::identify::RingNamer;
use super::ring_batch::{BatchError, BatchHeader, BatchNamer, BatchRow, BatchTexts, OUT_COLUMNS};
use std::io::{Read, Write};
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};

/// Rows that go to a thread at once: enough work to outweigh the handing over, few enough to stay small.
const ROWS: usize = 256;
/// Portions that wait for a thread; with [`ROWS`] they bound the memory, however long the table is.
const WAITING: usize = 2;

/// Holds how a batch is run.
#[derive(Debug, Clone, Copy)]
pub struct BatchSettings {
    /// The most rings a row.
    pub top: usize,
    /// Threads that name rings; the answer does not depend on it.
    pub threads: usize,
}

/// Holds how far a batch has come.
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
    /// A row cannot be used; the rows before it have been answered.
    #[error(transparent)]
    Row(#[from] BatchError),
    /// The table cannot be read.
    #[error(transparent)]
    Table(#[from] csv::Error),
    /// The answer cannot be written.
    #[error("the answer cannot be written: {0}")]
    Write(std::io::Error),
}

/// Rows on their way to a thread.
struct Portion {
    rows: Vec<BatchRow>,
    bytes: u64,
}

/// Lines on their way back.
struct Answered {
    lines: Vec<u8>,
    fault: Option<BatchError>,
    progress: BatchProgress,
}

/// Names every ring of a CSV table and writes a CSV table of odds; `seen` is told how far it has come.
///
/// # Errors
/// A table that cannot be read, a row that cannot be used (the rows before it are answered first), or an answer that
/// cannot be written.
pub fn stream(
    table: impl Read,
    out: &mut dyn Write,
    (namer, settings): (&RingNamer, BatchSettings),
    seen: &mut dyn FnMut(BatchProgress),
) -> Result<(), StreamError> {
    let mut reader = csv::ReaderBuilder::new().from_reader(table);
    let header = BatchHeader::read(reader.headers()?)?;
    let texts = BatchTexts::new();
    writeln!(out, "{}", OUT_COLUMNS.join(",")).map_err(StreamError::Write)?;
    std::thread::scope(|scope| {
        let mut threads = Vec::new();
        for _ in 0..settings.threads.max(1) {
            let (to_thread, portions) = sync_channel::<Portion>(WAITING);
            let (to_us, answers) = sync_channel::<Answered>(WAITING);
            let worker = BatchNamer::new(namer, &header, &texts, settings.top);
            scope.spawn(move || work(worker, &portions, &to_us));
            threads.push((to_thread, answers));
        }
        let mut flow = Flow {
            threads,
            sent: 0,
            received: 0,
            progress: BatchProgress { rows: 0, bytes: 0 },
        };
        flow.run(&mut reader, out, seen)
    })
}

/// Names portions until no more come or nobody waits for the answer.
fn work(mut namer: BatchNamer<'_>, portions: &Receiver<Portion>, answers: &SyncSender<Answered>) {
    while let Ok(portion) = portions.recv() {
        let mut answered = Answered {
            lines: Vec::new(),
            fault: None,
            progress: BatchProgress {
                rows: portion.rows.len() as u64,
                bytes: portion.bytes,
            },
        };
        for row in &portion.rows {
            if let Err(fault) = namer.name_row(row, &mut answered.lines) {
                answered.fault = Some(fault);
                break;
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
    progress: BatchProgress,
}

impl Flow {
    fn run<R: Read>(
        &mut self,
        reader: &mut csv::Reader<R>,
        out: &mut dyn Write,
        seen: &mut dyn FnMut(BatchProgress),
    ) -> Result<(), StreamError> {
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
        unreadable.map_or(Ok(()), |error| Err(error.into()))
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
        self.progress.rows += answered.progress.rows;
        self.progress.bytes = self.progress.bytes.max(answered.progress.bytes);
        seen(self.progress);
        answered.fault.map_or(Ok(()), |fault| Err(fault.into()))
    }
}

/// Reads rows; where the table cannot be read on, the rows before that come with the error.
fn next_portion<R: Read>(reader: &mut csv::Reader<R>) -> Result<Portion, (Portion, csv::Error)> {
    let mut portion = Portion {
        rows: Vec::with_capacity(ROWS),
        bytes: 0,
    };
    while portion.rows.len() < ROWS {
        let mut record = csv::StringRecord::new();
        match reader.read_record(&mut record) {
            Ok(false) => break,
            Ok(true) => {
                let line = record.position().map_or(0, csv::Position::line);
                portion.rows.push(BatchRow { line, record });
            }
            Err(error) => return Err((portion, error)),
        }
    }
    portion.bytes = reader.position().byte();
    Ok(portion)
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

    fn answer(text: &str, threads: usize) -> (Vec<u8>, Option<String>) {
        let namer = RingNamer::new(&Prior::default());
        let settings = BatchSettings { top: 3, threads };
        let mut out = Vec::new();
        let done = stream(text.as_bytes(), &mut out, (&namer, settings), &mut |_| {});
        (out, done.err().map(|error| error.to_string()))
    }

    #[test]
    fn the_answer_does_not_depend_on_the_number_of_threads() {
        let text = table(1500);
        let one = answer(&text, 1);
        assert!(one.1.is_none() && one.0.len() > 1500);
        assert_eq!(one, answer(&text, 3));
        assert_eq!(one, answer(&text, 8));
    }

    #[test]
    fn rows_before_a_wrong_one_are_answered_and_its_line_is_named() {
        let text = table(600).replace("\n400,", "\n400,brandnew-");
        let (out, error) = answer(&text, 2);
        let error = error.expect("a wrong row");
        assert!(error.starts_with("line 402, condition"), "{error}");
        let out = String::from_utf8(out).expect("text");
        assert!(out.contains("\n399,1,") && !out.contains("\n401,1,"));
    }
}
