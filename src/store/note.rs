//! Notes: what was written about one unit on one day, with the text that was handed in.

use super::book::{BookReader, BookWriter};
use super::entry::WordsOf;
use super::error::StoreError;
use super::id::{NoteId, UnitId};
use super::record::{Word, optional_word, pascals, pressure_of, typed};
use crate::core::note::{Header, Note};
use crate::core::quantity::Date;
use rusqlite::{Row, named_params};
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

/// Holds a note that is to be added.
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
    /// Lines that could not be read and are left out.
    pub unread_lines: u32,
    /// The moment, ISO 8601.
    pub added_at: &'n str,
}

/// Holds what the book keeps of a note, without its entries.
#[derive(Debug, Clone, PartialEq)]
pub struct StoredNote {
    /// Its row.
    pub id: NoteId,
    /// What it says of the unit.
    pub header: Header,
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

/// The topics of words that belong to a whole note.
const AS_FOUND: &str = "as found";
const PHOTO: &str = "photo";
const REMARK: &str = "remark";
const COMMENT: &str = "comment";
const CLOSING: &str = "closing comment";

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
        self.notes_where(
            "SELECT * FROM note WHERE unit_id = ?1 AND replaced_at IS NULL ORDER BY date DESC",
            &[&unit],
        )
    }

    /// Lists the notes of a unit that were replaced, newest first.
    pub fn replaced_notes(&self, unit: UnitId) -> Result<Vec<StoredNote>, StoreError> {
        self.notes_where(
            "SELECT * FROM note WHERE unit_id = ?1 AND replaced_at IS NOT NULL
             ORDER BY date DESC, replaced_at DESC, id DESC",
            &[&unit],
        )
    }

    /// Finds the present note of a unit for a day.
    pub fn note_of_day(
        &self,
        unit: UnitId,
        date: Option<Date>,
    ) -> Result<Option<StoredNote>, StoreError> {
        let found = self.notes_where(
            "SELECT * FROM note WHERE unit_id = ?1 AND date = ?2 AND replaced_at IS NULL",
            &[&unit, &day(date)],
        )?;
        Ok(found.into_iter().next())
    }

    /// Counts the notes of the book, present and replaced.
    pub fn note_count(&self) -> Result<u32, StoreError> {
        let count = self.first("SELECT count(*) FROM note", &[], |row| row.get(0))?;
        Ok(count.unwrap_or(0))
    }

    /// Returns a whole note: its header, its entries, its closing comments.
    pub fn whole_note(&self, stored: &StoredNote) -> Result<Note, StoreError> {
        let entries = self.entries(stored.id)?;
        Ok(Note {
            header: stored.header.clone(),
            entries: entries.into_iter().map(|(_, entry)| entry).collect(),
            closing_comments: self.words(WordsOf::Note, &stored.id, CLOSING)?,
        })
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

    fn notes_where(
        &self,
        sql: &str,
        values: &[&dyn rusqlite::ToSql],
    ) -> Result<Vec<StoredNote>, StoreError> {
        let mut notes = self.list(sql, values, note_of)?;
        for note in &mut notes {
            let words = |topic| self.words(WordsOf::Note, &note.id, topic);
            note.header.as_found = words(AS_FOUND)?;
            note.header.photos = words(PHOTO)?;
            note.header.remarks = words(REMARK)?;
            note.header.comments = words(COMMENT)?;
        }
        Ok(notes)
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
        let id = self.insert_whole(unit, new, None)?;
        if let Some(former) = replaces {
            self.change(
                "UPDATE note SET replaced_by = ?2 WHERE id = ?1",
                &[&former, &id],
            )?;
        }
        Ok(id)
    }

    /// Keeps which other shop's book brought a note.
    pub fn note_from_shop(&self, note: NoteId, shop: &str) -> Result<(), StoreError> {
        self.change("UPDATE note SET shop = ?2 WHERE id = ?1", &[&note, &shop])
    }

    /// Keeps who accepted a note of another shop, and when.
    pub fn accept_note(&self, note: NoteId, accepted: &Acceptance) -> Result<(), StoreError> {
        self.change(
            "UPDATE note SET accepted_by = ?2, accepted_at = ?3 WHERE id = ?1",
            &[&note, &accepted.by, &accepted.at],
        )
    }

    /// Adds a note that another one had replaced before it came to this book.
    pub fn add_former_note(
        &self,
        unit: UnitId,
        new: &NewNote<'_>,
        replaced_at: &str,
    ) -> Result<NoteId, StoreError> {
        self.insert_whole(unit, new, Some(replaced_at))
    }

    fn insert_whole(
        &self,
        unit: UnitId,
        new: &NewNote<'_>,
        replaced_at: Option<&str>,
    ) -> Result<NoteId, StoreError> {
        let id = self.insert_header(unit, new, replaced_at)?;
        let header = &new.note.header;
        self.add_words(WordsOf::Note, &id, AS_FOUND, &header.as_found)?;
        self.add_words(WordsOf::Note, &id, PHOTO, &header.photos)?;
        self.add_words(WordsOf::Note, &id, REMARK, &header.remarks)?;
        self.add_words(WordsOf::Note, &id, COMMENT, &header.comments)?;
        self.add_words(WordsOf::Note, &id, CLOSING, &new.note.closing_comments)?;
        for entry in &new.note.entries {
            self.add_entry(id, entry)?;
        }
        Ok(id)
    }

    fn insert_header(
        &self,
        unit: UnitId,
        new: &NewNote<'_>,
        replaced_at: Option<&str>,
    ) -> Result<NoteId, StoreError> {
        let header = &new.note.header;
        let supply = header.supply.as_ref();
        let rated = header.rated.as_ref();
        self.insert(
            "note",
            named_params! {
                ":unit_id": unit,
                ":date": day(header.date),
                ":form": Word(new.form),
                ":original": new.original,
                ":canonical": new.canonical,
                ":unread_lines": new.unread_lines,
                ":added_at": new.added_at,
                ":maker": header.maker,
                ":model": header.model,
                ":unit": header.unit,
                ":variant": header.variant,
                ":gas": header.gas,
                ":oxygen": header.oxygen.as_ref().map(|share| share.value),
                ":oxygen_typed": header.oxygen.as_ref().map(|share| &share.text),
                ":supply_pa": supply.map(|p| pascals(p.value)),
                ":supply_reference": supply.map(|p| Word(p.value.reference)),
                ":supply_typed": supply.map(|p| &p.text),
                ":rated_pa": rated.map(|p| pascals(p.value)),
                ":rated_reference": rated.map(|p| Word(p.value.reference)),
                ":rated_typed": rated.map(|p| &p.text),
                ":lengths": header.lengths.map(Word),
                ":taken_apart_by": header.by,
                ":owner": header.owner,
                ":purpose": header.purpose,
                ":connection": header.connection,
                ":gear": header.gear.map(Word),
                ":made": header.made,
                ":replaced_at": replaced_at,
            },
        )?;
        Ok(NoteId::inserted(self.sql))
    }
}

/// Writes a day for the book; no day is an empty text, so that a unit has one present note without a day at most.
fn day(date: Option<Date>) -> String {
    date.map_or_else(String::new, |d| d.to_string())
}

fn note_of(row: &Row<'_>) -> rusqlite::Result<StoredNote> {
    let has_day = !row.get_ref("date")?.as_str()?.is_empty();
    let date = if has_day {
        Some(row.get::<_, Word<Date>>("date")?.0)
    } else {
        None
    };
    let from_shop: Option<String> = row.get("shop")?;
    let by: Option<String> = row.get("accepted_by")?;
    let accepted = by
        .zip(row.get("accepted_at")?)
        .map(|(by, at)| Acceptance { by, at });
    let is_ours = from_shop.is_none() || accepted.is_some();
    let header = Header {
        maker: row.get("maker")?,
        model: row.get("model")?,
        unit: row.get("unit")?,
        gear: optional_word(row, "gear")?,
        variant: row.get("variant")?,
        date,
        gas: row.get("gas")?,
        oxygen: typed(row.get("oxygen")?, row.get("oxygen_typed")?),
        supply: pressure_of(row, "supply")?,
        // To what a unit may be charged is never taken from another shop; its note shows what it wrote.
        rated: pressure_of(row, "rated")?.filter(|_| is_ours),
        lengths: optional_word(row, "lengths")?,
        by: row.get("taken_apart_by")?,
        owner: row.get("owner")?,
        purpose: row.get("purpose")?,
        connection: row.get("connection")?,
        made: row.get("made")?,
        ..Header::default()
    };
    Ok(StoredNote {
        id: row.get("id")?,
        header,
        form: row.get::<_, Word<NoteForm>>("form")?.0,
        original: row.get("original")?,
        canonical: row.get("canonical")?,
        unread_lines: row.get("unread_lines")?,
        added_at: row.get("added_at")?,
        replaced_at: row.get("replaced_at")?,
        from_shop,
        accepted,
    })
}
