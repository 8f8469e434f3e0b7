//! The instruments of this shop and this person: the shipped table, the user's own rows, and what known rings taught.

use crate::app::file::{MOST_TEXT, own_table, read_bounded};
use crate::core::measurement::{
    Instrument, Instruments, KnownReading, Learned, TableFault, learn, read_instruments,
};
use crate::core::note::{Diagnostic, Severity};
use crate::store::{Book, BookPlace, StoreError};
use std::path::{Path, PathBuf};

/// Says why a table of instruments cannot be used.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum InstrumentsError {
    #[error("{} cannot be read ({source}): check the name and the rights", .path.display())]
    Unreadable {
        path: PathBuf,
        source: std::io::Error,
    },
    #[error("{} is not sound", .path.display())]
    Faulty {
        path: PathBuf,
        text: String,
        /// What is wrong, in the order of the text.
        diagnostics: Vec<Diagnostic>,
    },
}

/// Gives the shipped instruments with the rows of the user's own table: the one that was named, which must exist, else that in the
/// data folder, which need not.
///
/// # Errors
/// A table that was named and cannot be read, or any table with a wrong line.
pub fn own_instruments(
    named: Option<PathBuf>,
    usual: Option<PathBuf>,
) -> Result<Instruments, InstrumentsError> {
    let shipped = Instruments::shipped();
    let Some(path) = own_table(named, usual) else {
        return Ok(shipped.clone());
    };
    let text = read(&path)?;
    match read_instruments(&text) {
        Ok(rows) => Ok(shipped.with_rows(rows)),
        Err(faults) => Err(InstrumentsError::Faulty {
            path,
            diagnostics: faults.into_iter().map(|f| diagnostic(f, &text)).collect(),
            text,
        }),
    }
}

fn read(path: &Path) -> Result<String, InstrumentsError> {
    let bytes = read_bounded(path, MOST_TEXT).map_err(|source| InstrumentsError::Unreadable {
        path: path.to_owned(),
        source,
    })?;
    Ok(crate::core::note::decode(&bytes))
}

fn diagnostic(fault: TableFault, text: &str) -> Diagnostic {
    Diagnostic {
        severity: Severity::Error,
        marked: text[fault.span.range()].to_owned(),
        message: fault.message,
        remedy: None,
        span: fault.span,
        line: fault.line,
        column: fault.column,
        cell: None,
    }
}

/// Gives what the known rings of a person taught (empty: rings that nobody was named for); nothing without a book.
pub fn learned_instruments(
    place: &BookPlace,
    person: &str,
    instruments: &Instruments,
) -> Result<Vec<Learned>, StoreError> {
    Ok(learn(instruments, &known_readings(place, person)?))
}

fn known_readings(place: &BookPlace, person: &str) -> Result<Vec<KnownReading>, StoreError> {
    let rings = Book::read_at(place, |book| book.known_rings(person))?;
    let rings = rings.into_iter().flatten();
    Ok(rings.flat_map(|ring| ring.readings).collect())
}

/// Returns the instruments as the known rings taught them; their labels say on how many rings they rest.
#[must_use]
pub fn with_learned(instruments: &Instruments, learned: &[Learned]) -> Instruments {
    let rows = learned.iter().map(|one| {
        let plural = if one.rings == 1 { "" } else { "s" };
        let label = format!(
            "{}, learned from {} known ring{plural}",
            one.before.label, one.rings
        );
        Instrument {
            label: label.leak(),
            ..one.after.clone()
        }
    });
    instruments.with_rows(rows)
}
