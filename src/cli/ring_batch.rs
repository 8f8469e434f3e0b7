//! `ring --batch`: streams a CSV table of readings and writes a CSV table of odds.

use super::context::Settings;
use super::error::CliError;
use super::outcome::{Answer, Outcome};
use crate::app::identify::RingNamer;
use crate::app::ring_batch::{BatchHeader, BatchRow, OUT_COLUMNS, name_row};
use crate::render::Form;
use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::Path;

pub(super) fn run(
    path: &Path,
    namer: &RingNamer,
    top: usize,
    settings: &Settings,
) -> Result<Outcome, CliError> {
    if !matches!(settings.form(), Form::Csv | Form::Table) {
        return Err(CliError::input("--batch answers as CSV: use --format csv"));
    }
    let mut reader = csv::ReaderBuilder::new().from_reader(open(path)?);
    let unreadable = |error: csv::Error| CliError::input(format!("{}: {error}", path.display()));
    let named = |error| CliError::input(format!("{}: {error}", path.display()));
    let header = BatchHeader::read(reader.headers().map_err(unreadable)?).map_err(named)?;
    let out = std::io::stdout().lock();
    let mut writer = csv::Writer::from_writer(std::io::BufWriter::new(out));
    let mut row = BatchRow {
        line: 1,
        record: csv::StringRecord::new(),
    };
    if !written(writer.write_record(OUT_COLUMNS))? {
        return Ok(Outcome::new(String::new(), Answer::Yes));
    }
    while reader.read_record(&mut row.record).map_err(unreadable)? {
        row.line = row.record.position().map_or(0, csv::Position::line);
        for line in name_row(namer, &header, &row, top).map_err(named)? {
            if !written(writer.write_record(&line))? {
                return Ok(Outcome::new(String::new(), Answer::Yes));
            }
        }
    }
    written(writer.flush().map_err(csv::Error::from))?;
    Ok(Outcome::new(String::new(), Answer::Yes))
}

fn open(path: &Path) -> Result<Box<dyn Read>, CliError> {
    if path == Path::new("-") {
        return Ok(Box::new(std::io::stdin().lock()));
    }
    let file = File::open(path)
        .map_err(|error| CliError::input(format!("{} cannot be read: {error}", path.display())))?;
    Ok(Box::new(file))
}

/// Tells whether the reader of the answer still listens; a broken pipe ends the work without error.
fn written(result: csv::Result<()>) -> Result<bool, CliError> {
    match result {
        Ok(()) => Ok(true),
        Err(error) => match error.into_kind() {
            csv::ErrorKind::Io(io) if io.kind() == ErrorKind::BrokenPipe => Ok(false),
            kind => Err(CliError::input(format!(
                "the answer cannot be written: {kind:?}"
            ))),
        },
    }
}
