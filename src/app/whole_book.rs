//! Everything that the book records of one model or of all.

use super::find_model::{Found, find_model};
use super::parts_list::{PartsQuestion, PartsReport, told_report};
use super::photographs::{Photograph, photograph};
use super::statements::Statements;
use super::unit_records::all_unit_records;
use crate::core::note::Note;
use crate::store::{Book, BookPlace, StoreError};
use serde::Serialize;
use std::path::Path;

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
    /// The other shop whose book brought it.
    pub from_shop: Option<String>,
    /// The photographs that it names, each with its name.
    #[serde(skip)]
    pub photographs: Vec<(String, Photograph)>,
}

/// Reads the photographs that a note names, each once.
fn pictures(folder: &Path, note: &Note) -> Vec<(String, Photograph)> {
    let of_parts = note.entries.iter().flat_map(|entry| &entry.photos);
    let mut names: Vec<&String> = note.header.photos.iter().chain(of_parts).collect();
    let mut seen = std::collections::BTreeSet::new();
    names.retain(|name| seen.insert(name.as_str()));
    let read = |name: &String| (name.clone(), photograph(folder, name));
    names.into_iter().map(read).collect()
}

/// Reads everything recorded of the model that is named, or of all; with a folder of photographs, those that the notes name.
///
/// # Errors
/// Fails where the book cannot be read.
pub fn whole_book(
    place: &BookPlace,
    model: Option<&str>,
    photos: Option<&Path>,
) -> Result<Found<WholeBook>, StoreError> {
    let mut book = Book::open_to_read(place)?;
    let found = book.read(|book| {
        let models = match model {
            None => book.models()?,
            Some(asked) => match find_model(book, asked)? {
                Found::Yes(model) => vec![model],
                Found::No(missing) => return Ok::<_, StoreError>(Found::No(missing)),
            },
        };
        let said = Statements::read(book)?;
        let mut all = Vec::new();
        for model in models {
            let mut units = Vec::new();
            for unit in book.units(model.id)? {
                let mut notes = Vec::new();
                for stored in book.present_notes(unit.id)? {
                    let note = book.whole_note(&stored)?;
                    notes.push(BookNote {
                        photographs: photos.map_or_else(Vec::new, |folder| pictures(folder, &note)),
                        note,
                        canonical: stored.canonical,
                        unread_lines: stored.unread_lines,
                        from_shop: stored.from_shop,
                    });
                }
                units.push(BookUnit {
                    serial: unit.serial,
                    notes,
                });
            }
            let records = all_unit_records(book, model.id)?;
            let question = PartsQuestion::of_one(model.name.to_string());
            all.push(BookModel {
                name: question.model.clone(),
                parts: told_report(model.name, &records, &question, &said),
                units,
            });
        }
        Ok(Found::Yes(all))
    })?;
    let models = match found {
        Found::Yes(models) => models,
        Found::No(missing) => return Ok(Found::No(missing)),
    };
    let title = match (model, models.as_slice()) {
        (Some(_), [one]) => one.name.clone(),
        _ => "All models".to_owned(),
    };
    Ok(Found::Yes(WholeBook { title, models }))
}
