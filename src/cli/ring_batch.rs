//! `ring --batch`: streams a CSV table of readings and writes a CSV table of odds.

use super::context::Settings;
use super::error::CliError;
use super::outcome::{Answer, Outcome};
use super::progress::ProgressBar;
use crate::app::identify::RingNamer;
use crate::app::ring_batch::BatchError;
use crate::app::ring_stream::{BatchSettings, StreamError, stream};
use crate::core::caution::Caution;
use crate::render::Form;
use std::fs::File;
use std::io::{ErrorKind, Read, Write};
use std::path::Path;

/// Bytes that are gathered before they go to standard output.
const BUFFER: usize = 1 << 16;

pub(super) fn run(
    path: &Path,
    namer: &RingNamer,
    batch: BatchSettings,
    settings: &Settings,
) -> Result<Outcome, CliError> {
    if !matches!(settings.form(), Form::Csv | Form::Table) {
        return Err(CliError::input("--batch answers as CSV: use --format csv"));
    }
    let (table, size) = open(path)?;
    let mut bar = ProgressBar::new(size);
    let mut out = std::io::BufWriter::with_capacity(BUFFER, std::io::stdout().lock());
    let done = stream(table, &mut out, (namer, batch), &mut |progress| {
        bar.show(progress.rows, progress.bytes);
    });
    bar.clear();
    let flushed = out.flush().map_err(StreamError::Write);
    match done.and(flushed) {
        // The reader of the answer went away: that ends the work without error.
        Err(StreamError::Write(error)) if error.kind() == ErrorKind::BrokenPipe => {}
        Err(StreamError::Write(error)) => {
            return Err(CliError::input(format!(
                "the answer cannot be written: {error}"
            )));
        }
        Err(StreamError::Row(error @ BatchError::Row { .. })) => {
            return Err(CliError::input(format!(
                "{}: {error}; the rows before it are answered, those behind it are not: mend it and give the table again",
                path.display()
            )));
        }
        Err(error) => return Err(CliError::input(format!("{}: {error}", path.display()))),
        Ok(()) => {}
    }
    Ok(Outcome::new(String::new(), Answer::Yes).caution(Caution::Named))
}

/// Opens the table; its size is known where it is a file.
fn open(path: &Path) -> Result<(Box<dyn Read>, Option<u64>), CliError> {
    if path == Path::new("-") {
        return Ok((Box::new(std::io::stdin().lock()), None));
    }
    let file = File::open(path)
        .map_err(|error| CliError::input(format!("{} cannot be read: {error}", path.display())))?;
    let size = file
        .metadata()
        .ok()
        .filter(std::fs::Metadata::is_file)
        .map(|m| m.len());
    Ok((Box::new(file), size))
}
