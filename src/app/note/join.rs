//! Makes two lines of a parts list one place: the notes that name it otherwise are written anew, and the former ones are kept as
//! history.

use crate::app::model::find::{find_model, if_there};
use crate::app::model::line::{NoLine, listed_line};
use crate::app::note::add::{AddOptions, NoteAddError, NotesAdded, add_notes};
use crate::app::note::check::{NoteForm, NoteText};
use crate::core::book::{PartLine, name_key, plain_position};
use crate::core::note::{Entry, print};
use crate::store::{Book, BookPlace, BookReader, StoreError};

/// Says why two lines cannot be joined; nothing is changed then.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum JoinError {
    /// There is no such line.
    #[error(transparent)]
    NoLine(#[from] NoLine),
    /// The parts are of two kinds, or of two sections.
    #[error(
        "{from} and {into} are no one place: the parts are of two kinds, or sit in two sections"
    )]
    OtherPart {
        /// The line that was to be joined.
        from: usize,
        /// The line to which.
        into: usize,
    },
    /// A unit has both.
    #[error("unit {0} has a part at both: they are two places")]
    Both(String),
    /// A note was stored in part.
    #[error(
        "the note of unit {0} has lines that could not be read: mend it, add it with --replace, and join then"
    )]
    Partial(String),
    /// A note cannot be stored.
    #[error(transparent)]
    Add(#[from] NoteAddError),
}

/// Gives the parts of one line, in our own notes, the place of another.
///
/// # Errors
/// The lines are no one place, or the book cannot be written.
pub fn join_places(
    place: &BookPlace,
    model: &str,
    [from, into]: [&str; 2],
    options: &AddOptions,
) -> Result<NotesAdded, JoinError> {
    let from = listed_line(place, model, from)?;
    let into = listed_line(place, model, into)?;
    let alike = from.kind == into.kind && name_key(&from.section) == name_key(&into.section);
    if !alike || from.number == into.number {
        return Err(JoinError::OtherPart {
            from: from.number,
            into: into.number,
        });
    }
    let mut book = Book::open_to_read(place).map_err(NoLine::from)?;
    let texts = book.read(|book| renamed(book, model, [&from, &into]))?;
    drop(book);
    Ok(add_notes(place, &texts, options)?)
}

impl From<StoreError> for JoinError {
    fn from(error: StoreError) -> Self {
        Self::NoLine(error.into())
    }
}

/// Writes every note of ours with a part at the first line, with that part at the second.
fn renamed(
    book: &BookReader<'_>,
    model: &str,
    [from, into]: [&PartLine; 2],
) -> Result<Vec<NoteText>, JoinError> {
    let mut texts = Vec::new();
    let Some(model) = if_there(find_model(book, model))? else {
        return Ok(texts);
    };
    for unit in book.units(model.id)? {
        for stored in book.notes(unit.id)? {
            let mut note = stored.note;
            if !note.entries.iter().any(|entry| is_at(entry, from)) {
                continue;
            }
            if note.entries.iter().any(|entry| is_at(entry, into)) {
                return Err(JoinError::Both(unit.serial));
            }
            if stored.unread_lines > 0 {
                return Err(JoinError::Partial(unit.serial));
            }
            for entry in note.entries.iter_mut().filter(|entry| is_at(entry, from)) {
                entry.position.clone_from(&into.position);
            }
            let named = format!("note of unit {}", unit.serial);
            texts.push(NoteText::new(
                named,
                print(&note).as_bytes(),
                NoteForm::Text,
            ));
        }
    }
    Ok(texts)
}

fn is_at(entry: &Entry, line: &PartLine) -> bool {
    entry.kind == line.kind
        && name_key(&entry.section) == name_key(&line.section)
        && plain_position(&entry.position) == plain_position(&line.position)
}
