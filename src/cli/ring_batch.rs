//! `ring --batch`: streams a CSV table of readings and writes a CSV table of odds.

use super::progress::Progress;
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::ring::identify::RingNamer;
use crate::app::ring::stream::{BatchCount, BatchSettings, StreamError, stream};
use crate::core::caution::Caution;
use crate::render::Form;
use std::io::{ErrorKind, Read, Write};
use std::path::Path;

/// Bytes that are gathered before they go to standard output.
const BUFFER: usize = 1 << 16;

pub(super) fn run(
    path: &Path,
    namer: &RingNamer,
    batch: BatchSettings,
    settings: &Settings,
) -> Result<Outcome> {
    if !matches!(settings.form(), Form::Csv | Form::Table) {
        return Err(CliError::input("--batch answers as CSV: use --format csv"));
    }
    let (table, size) = open(path)?;
    let run = Progress::counting("rings", size);
    let mut out = std::io::BufWriter::with_capacity(BUFFER, std::io::stdout().lock());
    let done = stream(table, &mut out, namer, batch, &mut |progress| {
        run.show(progress.rows, progress.bytes);
    });
    drop(run);
    let flushed = out.flush().map_err(StreamError::Write);
    let count = match done.and_then(|count| flushed.map(|()| count)) {
        // The reader of the answer went away: that ends the work without error.
        Err(StreamError::Write(error)) if error.kind() == ErrorKind::BrokenPipe => {
            BatchCount::default()
        }
        Err(StreamError::Write(error)) => return Err(CliError::Unwritten(error)),
        Err(error) => return Err(CliError::input(format!("{}: {error}", path.display()))),
        Ok(count) => count,
    };
    Ok(said(&count).caution(Caution::Named))
}

/// Says how many rows could not be used; the answer itself stands on standard output already.
fn said(count: &BatchCount) -> Outcome {
    let Some(first) = &count.first else {
        return Outcome::new(String::new(), Answer::Yes);
    };
    Outcome::new(String::new(), Answer::Wrong).warn(format!(
        "{} of {} rows could not be used, and the column \"error\" says why; mend these and give them again. The first: {first}",
        count.wrong, count.rows
    ))
}

/// Opens the table; its size is known where it is a file.
fn open(path: &Path) -> Result<(Box<dyn Read>, Option<u64>)> {
    if path == Path::new("-") {
        return Ok((Box::new(std::io::stdin().lock()), None));
    }
    let file = crate::app::file::open(path)
        .map_err(|error| CliError::input(format!("{} cannot be read: {error}", path.display())))?;
    let size = file
        .metadata()
        .ok()
        .filter(std::fs::Metadata::is_file)
        .map(|m| m.len());
    Ok((Box::new(file), size))
}
