//! Notes: what was written about one unit on one day.
//!
//! Beside the text that was handed in stands what was read in it then, as one value: a later program may read the text otherwise, and
//! what was read on the day is the record. The value is the JSON of [`Note`], so a field that is added there needs a default, and one
//! that goes or changes a step of the schema; `tests/reliability/version_19.zip` holds notes that must go on being read.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::id::{NoteId, UnitId};
use super::record::{Json, Word};
use crate::core::exchange::NamedItem;
use crate::core::note::Note;
use crate::core::quantity::{Date, Length};
use rusqlite::{Connection, Row, named_params};
use serde::{Deserialize, Serialize};
use std::collections::HashSet;

/// Says in which form a note was handed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum NoteForm {
    /// Lines of text.
    Text,
    /// A spreadsheet of one row a part.
    Csv,
}

/// A note that is to be added.
#[derive(Debug, Clone, Copy)]
pub struct NewNote<'n> {
    /// What it says.
    pub note: &'n Note,
    /// The form in which it was handed in.
    pub form: NoteForm,
    /// The text that was handed in.
    pub original: &'n str,
    /// The same note as the program prints it.
    pub canonical: &'n str,
    /// What is said of its rings.
    pub named: &'n [NamedItem],
    /// Lines that could not be read and are left out.
    pub unread_lines: u32,
    /// The moment, ISO 8601.
    pub added_at: &'n str,
    /// When another note had taken its place, before it came to this book.
    pub replaced_at: Option<&'n str>,
    /// The other shop whose book brings it.
    pub from_shop: Option<&'n str>,
}

/// What the book keeps of a note.
#[derive(Debug, Clone, PartialEq)]
pub struct StoredNote {
    /// Its row.
    pub id: NoteId,
    /// What was read in it on the day on which it was added.
    pub note: Note,
    /// The form in which it was handed in.
    pub form: NoteForm,
    /// The text that was handed in.
    pub original: String,
    /// The same note as the program prints it.
    pub canonical: String,
    /// Lines that could not be read and were left out.
    pub unread_lines: u32,
    /// When it was added, ISO 8601.
    pub added_at: String,
    /// When another note took its place; `None` for the present note.
    pub replaced_at: Option<String>,
    /// The other shop whose book brought it.
    pub from_shop: Option<String>,
    /// Who here accepted it, and when; `None` where it is our own or waits.
    pub accepted: Option<Acceptance>,
}

/// Says who accepted a note of another shop as one of ours.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Acceptance {
    /// Who.
    pub by: String,
    /// When, ISO 8601.
    pub at: String,
}

impl StoredNote {
    /// Tells whether it is our own, or was accepted here.
    pub fn is_ours(&self) -> bool {
        self.from_shop.is_none() || self.accepted.is_some()
    }
}

/// The part of a page that shows one ring of a note.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RingPicture {
    /// The ring's place in the order of removal.
    pub removal: u32,
    pub jpeg: Vec<u8>,
    /// From its left edge to its right one, on the glass.
    pub width: Length,
}

impl BookReader<'_> {
    /// Lists the present notes of a unit that are our own or were accepted, newest first; a note without a day comes last. Records of
    /// ours begin with them alone.
    pub fn notes(&self, unit: UnitId) -> Result<Vec<StoredNote>, StoreError> {
        let mut notes = self.present_notes(unit)?;
        notes.retain(StoredNote::is_ours);
        Ok(notes)
    }

    /// Lists the present notes that speak for a unit, newest first: our own; where there is none, those of other shops.
    pub fn speaking_notes(&self, unit: UnitId) -> Result<Vec<StoredNote>, StoreError> {
        let mut notes = self.present_notes(unit)?;
        if notes.iter().any(StoredNote::is_ours) {
            notes.retain(StoredNote::is_ours);
        }
        Ok(notes)
    }

    /// Lists every present note of a unit, newest first, with those of other shops.
    pub fn present_notes(&self, unit: UnitId) -> Result<Vec<StoredNote>, StoreError> {
        self.list(
            "SELECT * FROM note WHERE unit_id = ?1 AND replaced_at IS NULL ORDER BY date DESC",
            &[&unit],
            note_of,
        )
    }

    /// Lists the notes of a unit that were replaced, newest first.
    pub fn replaced_notes(&self, unit: UnitId) -> Result<Vec<StoredNote>, StoreError> {
        self.list(
            "SELECT * FROM note WHERE unit_id = ?1 AND replaced_at IS NOT NULL
             ORDER BY date DESC, replaced_at DESC, id DESC",
            &[&unit],
            note_of,
        )
    }

    /// Finds the present note of a unit for a day.
    pub fn note_of_day(
        &self,
        unit: UnitId,
        date: Option<Date>,
    ) -> Result<Option<StoredNote>, StoreError> {
        self.first(
            "SELECT * FROM note WHERE unit_id = ?1 AND date = ?2 AND replaced_at IS NULL",
            &[&unit, &day(date)],
            note_of,
        )
    }

    /// Counts the notes of the book, present and replaced.
    pub fn note_count(&self) -> Result<u32, StoreError> {
        let count = self.first("SELECT count(*) FROM note", &[], |row| row.get(0))?;
        Ok(count.unwrap_or(0))
    }

    /// Lists the pictures of the rings of a note, in the order of removal.
    pub fn ring_pictures(&self, note: NoteId) -> Result<Vec<RingPicture>, StoreError> {
        self.list(
            "SELECT removal, picture, width_nm FROM ring_picture WHERE note_id = ?1 ORDER BY removal",
            &[&note],
            |row| {
                Ok(RingPicture {
                    removal: row.get(0)?,
                    jpeg: row.get(1)?,
                    width: Length::from_nm(row.get(2)?),
                })
            },
        )
    }

    /// Names the units, by the keys of model and unit, of which the book has a present note that is its own or was accepted.
    pub fn own_units(&self) -> Result<HashSet<(String, String)>, StoreError> {
        let keys: Vec<(String, String)> = self.list(
            "SELECT DISTINCT m.key, u.key FROM note n JOIN unit u ON u.id = n.unit_id JOIN model m ON m.id = u.model_id
             WHERE n.replaced_at IS NULL AND (n.shop IS NULL OR n.accepted_at IS NOT NULL)",
            &[],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )?;
        Ok(keys.into_iter().collect())
    }
}

impl BookWriter<'_> {
    /// Adds a note with its entries; a note that it replaces stays as history.
    pub fn add_note(
        &self,
        unit: UnitId,
        new: &NewNote<'_>,
        replaces: Option<NoteId>,
    ) -> Result<NoteId, StoreError> {
        if let Some(former) = replaces {
            self.change(
                "UPDATE note SET replaced_at = ?2 WHERE id = ?1",
                &[&former, &new.added_at],
            )?;
        }
        self.insert(
            "note",
            named_params! {
                ":unit_id": unit,
                ":date": day(new.note.header.date),
                ":form": Word(new.form),
                ":original": new.original,
                ":canonical": new.canonical,
                ":body": Json(new.note),
                ":named": Json(new.named),
                ":unread_lines": new.unread_lines,
                ":added_at": new.added_at,
                ":replaced_at": new.replaced_at,
                ":shop": new.from_shop,
            },
        )?;
        let id = NoteId::inserted(self.sql);
        if let Some(former) = replaces {
            self.change(
                "UPDATE note SET replaced_by = ?2 WHERE id = ?1",
                &[&former, &id],
            )?;
        }
        Ok(id)
    }

    /// Keeps who accepted a note of another shop, and when.
    pub fn accept_note(&self, note: NoteId, accepted: &Acceptance) -> Result<(), StoreError> {
        self.change(
            "UPDATE note SET accepted_by = ?2, accepted_at = ?3 WHERE id = ?1",
            &[&note, &accepted.by, &accepted.at],
        )
    }

    /// Keeps the picture of a ring of a note.
    pub fn set_ring_picture(&self, note: NoteId, picture: &RingPicture) -> Result<(), StoreError> {
        self.change(
            "INSERT OR REPLACE INTO ring_picture (note_id, removal, picture, width_nm) VALUES (?1, ?2, ?3, ?4)",
            &[
                &note,
                &picture.removal,
                &picture.jpeg,
                &picture.width.nm(),
            ],
        )
    }
}

/// Writes a day for the book; no day is an empty text, so that a unit has one present note without a day at most.
fn day(date: Option<Date>) -> String {
    date.map_or_else(String::new, |d| d.to_string())
}

/// Names the notes that can no longer be read; a book from before notes were kept whole has none of these.
pub(super) fn note_faults(sql: &Connection) -> Vec<String> {
    let Ok(mut all) = sql.prepare(
        "SELECT n.*, serial FROM note n LEFT JOIN unit u ON u.id = unit_id WHERE body IS NOT NULL ORDER BY n.id",
    ) else {
        return Vec::new();
    };
    let faults = all.query_map([], |row| {
        let named = || row.get::<_, Json<Vec<NamedItem>>>("named");
        Ok(note_of(row).and_then(|_| named()).err().map(|error| {
            let id = row.get("id").unwrap_or(0_i64);
            let of = |column| row.get(column).unwrap_or_else(|_| "?".to_owned());
            format!(
                "note {id}, of unit {} and the day {}, cannot be read: {error}",
                of("serial"),
                of("date")
            )
        }))
    });
    match faults {
        Ok(found) => found.map_while(Result::ok).flatten().collect(),
        Err(error) => vec![format!("the notes cannot be checked: {error}")],
    }
}

fn note_of(row: &Row<'_>) -> rusqlite::Result<StoredNote> {
    let by: Option<String> = row.get("accepted_by")?;
    let mut stored = StoredNote {
        id: row.get("id")?,
        note: row.get::<_, Json<Note>>("body")?.0,
        form: row.get::<_, Word<NoteForm>>("form")?.0,
        original: row.get("original")?,
        canonical: row.get("canonical")?,
        unread_lines: row.get("unread_lines")?,
        added_at: row.get("added_at")?,
        replaced_at: row.get("replaced_at")?,
        from_shop: row.get("shop")?,
        accepted: by
            .zip(row.get("accepted_at")?)
            .map(|(by, at)| Acceptance { by, at }),
    };
    if !stored.is_ours() {
        // To what a unit may be charged is never taken from another shop; its note shows what it wrote.
        stored.note.header.rated = None;
    }
    Ok(stored)
}
