//! Shows a note as the program prints it, or as it was handed in.

use crate::app::model::find::models_asked;
use crate::core::book::{name_key, near_names};
use crate::core::note::Note;
use crate::core::quantity::Date;
use crate::store::{
    Acceptance, Book, BookPlace, BookReader, NotFound, NoteForm, StoreError, StoredModel,
    StoredNote, StoredUnit,
};
use serde::Serialize;

/// Says which note is asked for.
#[derive(Debug, Clone)]
pub struct NoteQuestion {
    /// The serial number of the unit.
    pub unit: String,
    /// The model, where units of several models share the number.
    pub model: Option<String>,
    /// The day; without it, the newest note.
    pub date: Option<Date>,
}

/// One note of the book.
#[derive(Debug, Clone, Serialize)]
pub struct NoteShown {
    pub model: String,
    pub unit: String,
    /// The day of the teardown.
    pub date: Option<Date>,
    /// The form in which it was handed in.
    pub form: NoteForm,
    pub added_at: String,
    /// Lines that could not be read and were left out.
    pub unread_lines: u32,
    /// The note as the program prints it.
    pub canonical: String,
    /// The text that was handed in.
    pub original: String,
    /// The other shop whose book brought it.
    pub from_shop: Option<String>,
    /// Who here accepted it, and when.
    pub accepted: Option<Acceptance>,
    /// Notes that it replaced, newest first.
    pub history: Vec<FormerNote>,
    pub note: Note,
}

/// A note that was replaced.
#[derive(Debug, Clone, Serialize)]
pub struct FormerNote {
    pub added_at: String,
    pub replaced_at: Option<String>,
    /// The text that was handed in.
    pub original: String,
}

/// Finds a note.
pub fn show_note(place: &BookPlace, question: &NoteQuestion) -> Result<NoteShown, StoreError> {
    let mut book = Book::open_to_read(place)?;
    book.read(|book| {
        let (model, unit) = find_unit(book, question)?;
        let notes = book.present_notes(unit.id)?;
        let day = |stored: &StoredNote| stored.note.header.date;
        let wanted = |one: &&StoredNote| question.date.is_none_or(|d| day(one) == Some(d));
        // Without a day the newest that speaks for the unit is meant.
        let speaking = notes.iter().filter(|note| note.is_ours());
        let Some(stored) = speaking.chain(&notes).find(wanted) else {
            return Err(no_such_day(question, &notes));
        };
        let history = book
            .replaced_notes(unit.id)?
            .into_iter()
            .filter(|former| day(former) == day(stored))
            .map(|former| FormerNote {
                added_at: former.added_at,
                replaced_at: former.replaced_at,
                original: former.original,
            })
            .collect();
        Ok(NoteShown {
            model: model.name.to_string(),
            unit: unit.serial.clone(),
            date: day(stored),
            form: stored.form,
            added_at: stored.added_at.clone(),
            unread_lines: stored.unread_lines,
            canonical: stored.canonical.clone(),
            original: stored.original.clone(),
            from_shop: stored.from_shop.clone(),
            accepted: stored.accepted.clone(),
            history,
            note: stored.note.clone(),
        })
    })
}

fn no_such_day(question: &NoteQuestion, notes: &[StoredNote]) -> StoreError {
    let day = question.date.map_or_else(String::new, |d| d.to_string());
    let asked = format!("{} of {day}", question.unit);
    let day_of = |stored: &StoredNote| match stored.note.header.date {
        Some(day) => day.to_string(),
        None => "no date".to_owned(),
    };
    StoreError::not_found("note", asked, notes.iter().map(day_of).collect())
}

fn find_unit(
    book: &BookReader<'_>,
    question: &NoteQuestion,
) -> Result<(StoredModel, StoredUnit), StoreError> {
    let mut all = Vec::new();
    for model in models_asked(book, question.model.as_deref())? {
        for unit in book.units(model.id)? {
            all.push((model.clone(), unit));
        }
    }
    let asked = name_key(&question.unit);
    let whole = |(_, unit): &&(StoredModel, StoredUnit)| name_key(&unit.serial) == asked;
    let exact: Vec<&(StoredModel, StoredUnit)> = all.iter().filter(whole).collect();
    if let [one] = exact.as_slice() {
        return Ok((*one).clone());
    }
    let near = if exact.is_empty() {
        near_names(
            &question.unit,
            all.iter().map(|(_, unit)| unit.serial.as_str()),
        )
    } else {
        let written = exact
            .iter()
            .map(|(model, unit)| format!("{} --model {:?}", unit.serial, model.name.to_string()));
        written.collect()
    };
    Err(StoreError::NotFound(NotFound {
        what: "unit",
        asked: question.unit.clone(),
        near,
        ambiguous: exact.len() > 1,
    }))
}
