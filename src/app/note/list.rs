//! Lists the notes of the book.

use crate::app::model::find::models_asked;
use crate::core::quantity::Date;
use crate::store::{Acceptance, Book, BookPlace, BookReader, StoreError, StoredModel, StoredNote};
use serde::Serialize;

/// The notes of the book.
#[derive(Debug, Clone, Serialize)]
pub struct NoteList {
    /// One line a note, by model, unit and day, newest first.
    pub notes: Vec<NoteLine>,
}

/// One note of the list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NoteLine {
    pub model: String,
    pub unit: String,
    /// The day of the teardown.
    pub date: Option<Date>,
    /// How many parts it holds.
    pub parts: usize,
    /// How many rings of them.
    pub rings: usize,
    /// Lines that could not be read and were left out.
    pub unread_lines: u32,
    pub added_at: String,
    /// When another note took its place; `None` for a present note.
    pub replaced_at: Option<String>,
    /// The other shop whose book brought it.
    pub from_shop: Option<String>,
    /// Who here accepted it, and when.
    pub accepted: Option<Acceptance>,
}

/// Lists the notes of the book, or those of one model; replaced ones only where `history` asks for them.
pub fn list_notes(
    place: &BookPlace,
    model: Option<&str>,
    history: bool,
) -> Result<NoteList, StoreError> {
    let mut book = Book::open_to_read(place)?;
    book.read(|book| {
        let mut notes = Vec::new();
        for model in models_asked(book, model)? {
            add_model(book, &model, history, &mut notes)?;
        }
        Ok(NoteList { notes })
    })
}

fn add_model(
    book: &BookReader<'_>,
    model: &StoredModel,
    history: bool,
    lines: &mut Vec<NoteLine>,
) -> Result<(), StoreError> {
    for unit in book.units(model.id)? {
        let mut notes = book.present_notes(unit.id)?;
        if history {
            notes.extend(book.replaced_notes(unit.id)?);
        }
        for note in &notes {
            lines.push(line(model, &unit.serial, note));
        }
    }
    Ok(())
}

fn line(model: &StoredModel, unit: &str, stored: &StoredNote) -> NoteLine {
    let entries = &stored.note.entries;
    NoteLine {
        model: model.name.to_string(),
        unit: unit.to_owned(),
        date: stored.note.header.date,
        parts: entries.len(),
        rings: entries.iter().filter(|e| e.kind.is_ring()).count(),
        unread_lines: stored.unread_lines,
        added_at: stored.added_at.clone(),
        replaced_at: stored.replaced_at.clone(),
        from_shop: stored.from_shop.clone(),
        accepted: stored.accepted.clone(),
    }
}
