//! Fills a new book with the demo shop.

use super::note_add::{AddOptions, NoteAddError, NotesAdded, prepare, store_all};
use super::note_check::{NoteForm, NoteText};
use crate::store::{Book, BookPlace, StoreError};

macro_rules! demo_notes {
    ($($name:literal),+ $(,)?) => {
        [$(($name, include_str!(concat!("../../data/demo/notes/", $name))),)+]
    };
}

/// The teardown notes of the demo shop, an invented club's store room with invented models.
pub const DEMO_NOTES: [(&str, &str); 9] = demo_notes![
    "FT-000311.note",
    "FT-000478.note",
    "FT-001026.note",
    "FT-001530.note",
    "FT2-004417.note",
    "FT2-004623.note",
    "FT2-005102.note",
    "FB-000087.note",
    "FB-000214.note",
];

/// Fills a new book with the demo shop, in one transaction.
///
/// # Errors
/// Refuses a book that holds notes already.
pub fn fill_demo(place: &BookPlace, added_at: &str) -> Result<NotesAdded, NoteAddError> {
    let sources: Vec<NoteText> = DEMO_NOTES
        .iter()
        .map(|(name, text)| NoteText {
            place: (*name).to_owned(),
            text: (*text).to_owned(),
            form: NoteForm::Text,
        })
        .collect();
    let options = AddOptions {
        added_at: added_at.to_owned(),
        ..AddOptions::default()
    };
    let ready = prepare(&sources, &options)?;
    let mut book = Book::open_to_write(place)?;
    let notes = book.write(|book| {
        if book.note_count()? > 0 {
            return Err(NoteAddError::Store(StoreError::NotEmpty {
                path: place.path().to_owned(),
            }));
        }
        store_all(book, ready, &options)
    })?;
    Ok(NotesAdded {
        book: place.path().display().to_string(),
        notes,
    })
}
