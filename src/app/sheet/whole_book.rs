//! Everything that the book records of one model or of all.

use super::photographs::{Photograph, photograph};
use crate::app::model::find::models_asked;
use crate::app::model::list_maker::ListMaker;
use crate::app::model::maker::MakerShelf;
use crate::app::model::parts_list::{PartsQuestion, PartsReport};
use crate::app::model::statements::Statements;
use crate::app::model::unit_records::RecordedModel;
use crate::core::note::Note;
use crate::store::{Book, BookPlace, BookReader, RingPicture, StoreError, StoredModel};
use serde::Serialize;
use std::path::Path;

/// What the book records of its models.
#[derive(Debug, Clone, Serialize)]
pub struct WholeBook {
    pub title: String,
    /// The models, by name.
    pub models: Vec<BookModel>,
}

/// What is recorded of one model.
#[derive(Debug, Clone, Serialize)]
pub struct BookModel {
    pub name: String,
    /// Its parts list, for one unit.
    pub parts: PartsReport,
    pub units: Vec<BookUnit>,
}

/// What is recorded of one unit.
#[derive(Debug, Clone, Serialize)]
pub struct BookUnit {
    pub serial: String,
    /// Its present notes, newest first.
    pub notes: Vec<BookNote>,
}

/// A teardown as the model book tells it.
#[derive(Debug, Clone, Serialize)]
pub struct BookNote {
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
    /// Its rings as the page of a scanner showed them.
    #[serde(skip)]
    pub rings: Vec<RingPicture>,
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
pub fn whole_book(
    place: &BookPlace,
    model: Option<&str>,
    photos: Option<&Path>,
) -> Result<WholeBook, StoreError> {
    let (read, said) = Book::open_to_read(place)?.read(|book| {
        let models = models_asked(book, model)?;
        let mut shelf = MakerShelf::open(book)?;
        let read: Result<Vec<_>, StoreError> = models
            .into_iter()
            .map(|model| ModelRead::of(book, model, &mut shelf))
            .collect();
        Ok::<_, StoreError>((read?, Statements::read(book)?))
    })?;
    let mut lists = ListMaker::beside(place);
    let models: Vec<BookModel> = read
        .into_iter()
        .map(|read| {
            let question = PartsQuestion::of_one(read.model.name.to_string());
            BookModel {
                parts: lists.report(&read.model, &said, &question),
                name: question.model,
                units: with_pictures(read.units, photos),
            }
        })
        .collect();
    let title = match (model, models.as_slice()) {
        (Some(_), [one]) => one.name.clone(),
        _ => "All models".to_owned(),
    };
    Ok(WholeBook { title, models })
}

/// What the book has of a model, before its list is made and its photographs are read.
struct ModelRead {
    model: RecordedModel,
    units: Vec<BookUnit>,
}

impl ModelRead {
    fn of(
        book: &BookReader<'_>,
        model: StoredModel,
        shelf: &mut MakerShelf<'_>,
    ) -> Result<Self, StoreError> {
        let mut units = Vec::new();
        for unit in book.units(model.id)? {
            let mut notes = Vec::new();
            for stored in book.present_notes(unit.id)? {
                notes.push(BookNote {
                    note: stored.note,
                    rings: book.ring_pictures(stored.id)?,
                    canonical: stored.canonical,
                    unread_lines: stored.unread_lines,
                    from_shop: stored.from_shop,
                    photographs: Vec::new(),
                });
            }
            units.push(BookUnit {
                serial: unit.serial,
                notes,
            });
        }
        Ok(Self {
            model: RecordedModel::read(model, shelf)?,
            units,
        })
    }
}

/// Reads the photographs that the notes name from their folder.
fn with_pictures(mut units: Vec<BookUnit>, photos: Option<&Path>) -> Vec<BookUnit> {
    let Some(folder) = photos else {
        return units;
    };
    for note in units.iter_mut().flat_map(|unit| &mut unit.notes) {
        note.photographs = pictures(folder, &note.note);
    }
    units
}
