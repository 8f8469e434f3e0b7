//! What waits of other shops' books, and a note of theirs accepted by name as one of ours.

use super::merge::AsideLine;
use super::other_note::take_note;
use crate::core::book::name_key;
use crate::core::exchange::{AsideReason, BookItem, Inspection, Origin, Refusal, SetAside};
use crate::core::quantity::day_of_moment;
use crate::store::{
    Acceptance, Book, BookPlace, BookReader, BookWriter, NoteId, StoreError, StoredNote,
};
use serde::Serialize;

/// What was set aside when other books were merged, and the notes of theirs that wait.
#[derive(Debug, Clone, Serialize)]
pub struct SetAsideReport {
    /// The items.
    pub set_aside: Vec<AsideLine>,
    /// Notes of other shops that the book holds and nobody here accepted: they count where no note of ours settles a thing.
    pub not_accepted: Vec<NoteOfOthers>,
}

/// Names a note of another shop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NoteOfOthers {
    /// Model, unit and day.
    pub name: String,
    pub shop: String,
}

/// Says which note is accepted, and who says so.
#[derive(Debug, Clone)]
pub struct AcceptQuestion {
    /// Words of the note's name that no other waiting note has: its unit, with its day where there are several.
    pub note: String,
    /// Who accepts it.
    pub by: String,
    /// The moment, ISO 8601.
    pub at: String,
}

/// Says which note was accepted, by whom and when.
#[derive(Debug, Clone, Serialize)]
pub struct AcceptReport {
    pub note: NoteOfOthers,
    #[serde(flatten)]
    pub accepted: Acceptance,
}

/// Says why a note is not accepted.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum AcceptError {
    /// The book cannot be used.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// Nobody accepts it.
    #[error("say who accepts the note, as --by \"A. Lind\": it counts among your own from then on")]
    Nobody,
    /// No waiting note has these words.
    #[error(
        "no note of another shop waits under {0:?}: `ringwright book set-aside` lists those that do"
    )]
    NoneWaits(String),
    /// Several have them.
    #[error("{asked:?} names {}: write words that only one has, as its unit and day", notes.join(" and "))]
    Several { asked: String, notes: Vec<String> },
    /// The note is not believed.
    #[error("the note is not taken: {0}")]
    Refused(Refusal),
    /// The note cannot be read, or one of ours stands in its place.
    #[error(
        "the note cannot be taken: it cannot be read, or the book has a note of that unit and day; `ringwright note add --replace` puts one in its place"
    )]
    NoRoom,
}

/// Lists what was set aside when other books were merged, and the notes of other shops that wait.
pub fn set_aside(place: &BookPlace) -> Result<SetAsideReport, StoreError> {
    let mut book = Book::open_to_read(place)?;
    book.read(|book| {
        let own = book.items()?;
        let aside = book.set_aside()?.into_iter().map(|aside| {
            let key = (aside.item.what(), aside.item.key());
            let there = own.iter().filter(|item| (item.what(), item.key()) == key);
            AsideLine::of(aside, &there.cloned().collect::<Vec<_>>())
        });
        let held = held_notes(book)?.into_iter();
        Ok(SetAsideReport {
            set_aside: aside.collect(),
            not_accepted: held.map(|(name, _)| name).collect(),
        })
    })
}

/// What may be accepted: a note that was set aside, or one that the book holds.
enum Waiting {
    Aside(Box<SetAside>),
    Held(NoteId),
}

/// Accepts a note of another shop as one of ours, with who says so and when.
///
/// # Errors
/// Says why none is accepted; the book stays as it was.
pub fn accept_note(
    place: &BookPlace,
    question: &AcceptQuestion,
) -> Result<AcceptReport, AcceptError> {
    if question.by.trim().is_empty() {
        return Err(AcceptError::Nobody);
    }
    let accepted = Acceptance {
        by: question.by.trim().to_owned(),
        at: question.at.clone(),
    };
    let mut book = Book::open_to_write(place)?;
    book.write(|book| {
        let (name, waiting) = named(book, &question.note)?;
        let note = match waiting {
            Waiting::Held(note) => note,
            Waiting::Aside(aside) => take_aside(book, &aside, &accepted.at)?,
        };
        book.accept_note(note, &accepted)?;
        Ok(AcceptReport {
            note: name,
            accepted,
        })
    })
}

/// Takes a note in that was set aside; it passes again what it passed when it came.
fn take_aside(book: &BookWriter<'_>, aside: &SetAside, at: &str) -> Result<NoteId, AcceptError> {
    let BookItem::Note(note) = &aside.item else {
        return Err(AcceptError::NoRoom);
    };
    if let Some(today) = day_of_moment(at) {
        let inspection = Inspection::on(today);
        inspection
            .check(&aside.item)
            .map_err(AcceptError::Refused)?;
    }
    let there = book.items()?;
    let stands = |own: &BookItem| {
        let present = matches!(own, BookItem::Note(note) if note.replaced_at.is_none());
        present && own.key() == aside.item.key()
    };
    if there.iter().any(stands) {
        return Err(AcceptError::NoRoom);
    }
    let id = take_note(book, note, &aside.shop)?.ok_or(AcceptError::NoRoom)?;
    book.keep_origin(&Origin {
        what: aside.item.what().to_owned(),
        key: aside.item.key(),
        shop: aside.shop.clone(),
        merged_at: aside.merged_at.clone(),
    })?;
    book.forget_aside(&aside.item)?;
    Ok(id)
}

/// Finds the one waiting note whose name and shop have all these words.
fn named(book: &BookReader<'_>, asked: &str) -> Result<(NoteOfOthers, Waiting), AcceptError> {
    let mut all: Vec<(NoteOfOthers, Waiting)> = Vec::new();
    for aside in book.set_aside()? {
        if aside.reason == AsideReason::OurUnit {
            let name = NoteOfOthers {
                name: aside.item.key(),
                shop: aside.shop.clone(),
            };
            all.push((name, Waiting::Aside(Box::new(aside))));
        }
    }
    let held = held_notes(book)?.into_iter();
    all.extend(held.map(|(name, id)| (name, Waiting::Held(id))));
    let key = name_key(asked);
    let words: Vec<&str> = key.split(' ').filter(|word| !word.is_empty()).collect();
    let fits = |(name, _): &(NoteOfOthers, Waiting)| {
        let own = name_key(&format!("{} {}", name.name, name.shop));
        let own: Vec<&str> = own.split(' ').collect();
        !words.is_empty() && words.iter().all(|word| own.contains(word))
    };
    let mut fitting: Vec<(NoteOfOthers, Waiting)> = all.into_iter().filter(fits).collect();
    if fitting.len() > 1 {
        return Err(AcceptError::Several {
            asked: asked.to_owned(),
            notes: fitting.iter().map(|(name, _)| name.words()).collect(),
        });
    }
    let none = || AcceptError::NoneWaits(asked.to_owned());
    fitting.pop().ok_or_else(none)
}

impl NoteOfOthers {
    /// Names note and shop.
    pub fn words(&self) -> String {
        format!("{} ({})", self.name, self.shop)
    }
}

/// Lists the present notes of other shops that the book holds and nobody accepted.
fn held_notes(book: &BookReader<'_>) -> Result<Vec<(NoteOfOthers, NoteId)>, StoreError> {
    let mut held = Vec::new();
    for model in book.models()? {
        for unit in book.units(model.id)? {
            let notes = book.present_notes(unit.id)?.into_iter();
            held.extend(notes.filter(|note| !note.is_ours()).map(|note| {
                let (name, id) = (name_of(&model.name.key(), &unit.serial, &note), note.id);
                let shop = note.from_shop.unwrap_or_default();
                (NoteOfOthers { name, shop }, id)
            }));
        }
    }
    Ok(held)
}

fn name_of(model: &str, serial: &str, stored: &StoredNote) -> String {
    let day = stored.note.header.date;
    let day = day.map_or_else(String::new, |date| date.to_string());
    format!("{model} | {} | {day}", name_key(serial))
}
