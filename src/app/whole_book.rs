//! Everything that the book records of one model or of all.

use super::find_model::{Found, find_model};
use super::parts_list::{PartsQuestion, PartsReport, Reader, parts_list};
use crate::core::elastomer::OxygenThreshold;
use crate::core::identification::Prior;
use crate::core::note::Note;
use crate::store::{Book, BookPlace, StoreError};
use serde::Serialize;

/// Holds what the book records of its models.
#[derive(Debug, Clone, Serialize)]
pub struct WholeBook {
    /// What it is of.
    pub title: String,
    /// The models, by name.
    pub models: Vec<BookModel>,
}

/// Holds what is recorded of one model.
#[derive(Debug, Clone, Serialize)]
pub struct BookModel {
    /// Its name.
    pub name: String,
    /// Its parts list, for one unit.
    pub parts: PartsReport,
    /// Its units.
    pub units: Vec<BookUnit>,
}

/// Holds what is recorded of one unit.
#[derive(Debug, Clone, Serialize)]
pub struct BookUnit {
    /// Its serial number.
    pub serial: String,
    /// Its present notes, newest first.
    pub notes: Vec<BookNote>,
}

/// Holds one note.
#[derive(Debug, Clone, Serialize)]
pub struct BookNote {
    /// What it says.
    pub note: Note,
    /// The same as the program prints it.
    pub canonical: String,
    /// Lines that could not be read.
    pub unread_lines: u32,
}

/// Reads everything recorded of the model that is named, or of all.
///
/// # Errors
/// Fails where the book cannot be read.
pub fn whole_book(place: &BookPlace, model: Option<&str>) -> Result<Found<WholeBook>, StoreError> {
    let mut book = Book::open_to_read(place)?;
    let found = book.read(|book| {
        let models = match model {
            None => book.models()?,
            Some(asked) => match find_model(book, asked)? {
                Found::Yes(model) => vec![model],
                Found::No(missing) => return Ok::<_, StoreError>(Found::No(missing)),
            },
        };
        let mut all = Vec::new();
        for model in models {
            let mut units = Vec::new();
            for unit in book.units(model.id)? {
                let mut notes = Vec::new();
                for stored in book.notes(unit.id)? {
                    notes.push(BookNote {
                        note: book.whole_note(&stored)?,
                        canonical: stored.canonical,
                        unread_lines: stored.unread_lines,
                    });
                }
                units.push(BookUnit {
                    serial: unit.serial,
                    notes,
                });
            }
            all.push((model.name.to_string(), units));
        }
        Ok(Found::Yes(all))
    })?;
    let recorded = match found {
        Found::Yes(recorded) => recorded,
        Found::No(missing) => return Ok(Found::No(missing)),
    };
    let title = match (model, recorded.as_slice()) {
        (Some(_), [(name, _)]) => name.clone(),
        _ => "All models".to_owned(),
    };
    let mut models = Vec::new();
    for (name, units) in recorded {
        let question = PartsQuestion {
            model: name.clone(),
            build: 1,
            reader: Reader::Shop,
            threshold: OxygenThreshold::default(),
            prior: Prior::default(),
        };
        if let Found::Yes(parts) = parts_list(place, &question)? {
            models.push(BookModel { name, parts, units });
        }
    }
    Ok(Found::Yes(WholeBook { title, models }))
}
