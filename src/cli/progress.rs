//! A bar on standard error that says how far a long run has come; only where that is a terminal.

use std::io::{IsTerminal, Write};
use std::time::{Duration, Instant};

/// Shows how far a run has come, at most ten times a second.
pub(super) struct ProgressBar {
    /// Bytes to go through, where they are known.
    size: Option<u64>,
    begun: Instant,
    shown: Option<Instant>,
    on_terminal: bool,
    /// What is counted.
    things: &'static str,
}

const PAUSE: Duration = Duration::from_millis(100);
/// Runs shorter than this show nothing.
const PATIENCE: Duration = Duration::from_millis(500);
const MARKS: u64 = 30;

impl ProgressBar {
    /// Makes a bar; nothing is shown before the run has lasted half a second.
    pub(super) fn new(size: Option<u64>) -> Self {
        Self::of(size, "rings")
    }

    /// Makes a bar that counts other things.
    pub(super) fn of(size: Option<u64>, things: &'static str) -> Self {
        Self {
            things,
            size: size.filter(|size| *size > 0),
            begun: Instant::now(),
            shown: None,
            on_terminal: std::io::stderr().is_terminal(),
        }
    }

    /// Shows rows done and bytes gone through.
    pub(super) fn show(&mut self, rows: u64, bytes: u64) {
        let early = self.begun.elapsed() < PATIENCE;
        let lately = self.shown.is_some_and(|shown| shown.elapsed() < PAUSE);
        if !self.on_terminal || early || lately {
            return;
        }
        self.shown = Some(Instant::now());
        let line = line(rows, self.things, bytes, self.size, self.begun.elapsed());
        // A bar that cannot be shown is no reason to stop.
        let _ = write!(std::io::stderr(), "\r{line}\x1b[K");
    }

    /// Takes the bar away.
    pub(super) fn clear(&mut self) {
        if self.shown.take().is_some() {
            let _ = write!(std::io::stderr(), "\r\x1b[K");
        }
    }
}

fn line(rows: u64, things: &str, bytes: u64, size: Option<u64>, took: Duration) -> String {
    let pace = rows as f64 / took.as_secs_f64().max(1e-3);
    let Some(size) = size else {
        return format!("{rows} {things}, {pace:.0} a second");
    };
    let bytes = bytes.min(size);
    let full = usize::try_from(MARKS * bytes / size).unwrap_or(0);
    let empty = usize::try_from(MARKS).unwrap_or(0) - full;
    let left = took.as_secs_f64() * (size - bytes) as f64 / bytes.max(1) as f64;
    format!(
        "[{}{}] {} %, {rows} {things}, {pace:.0} a second, {left:.0} s left",
        "#".repeat(full),
        ".".repeat(empty),
        100 * bytes / size
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bar_fills_and_fits_a_plain_terminal() {
        let half = line(50_000, "rings", 500, Some(1000), Duration::from_secs(2));
        assert_eq!(
            half,
            "[###############...............] 50 %, 50000 rings, 25000 a second, 2 s left"
        );
        assert!(half.len() < 80);
        assert!(
            line(7, "rings", 9, None, Duration::from_secs(1)).starts_with("7 rings, 7 a second")
        );
    }
}
