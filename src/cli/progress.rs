//! What stands on standard error while a command takes long; only where that is a terminal.

use std::io::{IsTerminal, Write};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// Shows how far a run has come: a line that is written anew ten times a second, and taken away when the run is over.
pub(super) struct Progress {
    run: Arc<Run>,
    writer: Option<JoinHandle<()>>,
}

/// What the command and the writer of the line share.
struct Run {
    come: Mutex<Come>,
    over: Condvar,
    /// Bytes to go through, where they are known.
    size: Option<u64>,
    /// What is counted, or what is done where nothing is.
    words: &'static str,
}

#[derive(Clone, Copy, Default)]
struct Come {
    rows: u64,
    bytes: u64,
    is_over: bool,
}

const PAUSE: Duration = Duration::from_millis(100);
/// Runs shorter than this show nothing.
const PATIENCE: Duration = Duration::from_secs(1);
const MARKS: u64 = 30;

impl Progress {
    /// Begins a run whose rows are counted.
    pub(super) fn counting(things: &'static str, size: Option<u64>) -> Self {
        let run = Arc::new(Run {
            come: Mutex::default(),
            over: Condvar::new(),
            size: size.filter(|size| *size > 0),
            words: things,
        });
        let shared = Arc::clone(&run);
        let on_terminal = std::io::stderr().is_terminal();
        Self {
            run,
            writer: on_terminal.then(|| std::thread::spawn(move || shared.tell())),
        }
    }

    /// Begins a run of which only the time is known, as "checking the book".
    pub(super) fn doing(what: &'static str) -> Self {
        Self::counting(what, None)
    }

    /// Tells rows done and bytes gone through.
    pub(super) fn show(&self, rows: u64, bytes: u64) {
        let mut come = self.run.come.lock().unwrap_or_else(PoisonError::into_inner);
        (come.rows, come.bytes) = (rows, bytes);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.run
            .come
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .is_over = true;
        self.run.over.notify_one();
        if let Some(writer) = self.writer.take() {
            let _ = writer.join();
        }
    }
}

impl Run {
    /// Writes the line until the run is over; a line that cannot be shown is no reason to stop.
    fn tell(&self) {
        let begun = Instant::now();
        let mut pause = PATIENCE;
        loop {
            let come = self.come.lock().unwrap_or_else(PoisonError::into_inner);
            let waited = self
                .over
                .wait_timeout_while(come, pause, |come| !come.is_over);
            let come = *waited.unwrap_or_else(PoisonError::into_inner).0;
            if come.is_over {
                break;
            }
            pause = PAUSE;
            let line = line(self.words, come, self.size, begun.elapsed());
            let _ = write!(std::io::stderr(), "\r{line}\x1b[K");
        }
        if pause == PAUSE {
            let _ = write!(std::io::stderr(), "\r\x1b[K");
        }
    }
}

fn line(words: &str, come: Come, size: Option<u64>, took: Duration) -> String {
    let Come { rows, bytes, .. } = come;
    if rows == 0 {
        return format!("{words}: {} s", took.as_secs());
    }
    let pace = rows as f64 / took.as_secs_f64().max(1e-3);
    let Some(size) = size else {
        return format!("{rows} {words}, {pace:.0} a second");
    };
    let bytes = bytes.min(size);
    let full = usize::try_from(MARKS * bytes / size).unwrap_or(0);
    let empty = usize::try_from(MARKS).unwrap_or(0) - full;
    let left = took.as_secs_f64() * (size - bytes) as f64 / bytes.max(1) as f64;
    format!(
        "[{}{}] {} %, {rows} {words}, {pace:.0} a second, {left:.0} s left",
        "#".repeat(full),
        ".".repeat(empty),
        100 * bytes / size
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_says_how_far_it_has_come_and_fits_a_plain_terminal() {
        let come = |rows, bytes| Come {
            rows,
            bytes,
            is_over: false,
        };
        let half = line(
            "rings",
            come(50_000, 500),
            Some(1000),
            Duration::from_secs(2),
        );
        assert_eq!(
            half,
            "[###############...............] 50 %, 50000 rings, 25000 a second, 2 s left"
        );
        assert!(half.len() < 80);
        let second = Duration::from_secs(1);
        assert_eq!(
            line("rings", come(7, 9), None, second),
            "7 rings, 7 a second"
        );
        assert_eq!(
            line("checking the book", come(0, 0), None, second),
            "checking the book: 1 s"
        );
    }

    #[test]
    fn a_run_that_is_over_ends_its_line() {
        let run = Progress::doing("waiting");
        run.show(1, 1);
        let shared = Arc::clone(&run.run);
        let writer = std::thread::spawn(move || shared.tell());
        drop(run);
        assert!(writer.join().is_ok());
    }
}
