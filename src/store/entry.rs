//! Entries: the parts of a unit, in the order in which they came off.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::id::{EntryId, NoteId};
use super::record::{Word, optional_word, typed};
use crate::core::note::{Entry, PageRing, StatedSize};
use crate::core::quantity::{Hardness, Length, Torque};
use rusqlite::{Row, ToSql, named_params};

const PHOTO: &str = "photo";
const REMARK: &str = "remark";
const COMMENT: &str = "comment";

impl BookReader<'_> {
    /// Lists the entries of a note in the order of removal.
    pub fn entries(&self, note: NoteId) -> Result<Vec<(EntryId, Entry)>, StoreError> {
        let mut entries = self.list(
            "SELECT * FROM entry WHERE note_id = ?1 ORDER BY removal",
            &[&note],
            |row| Ok((row.get("id")?, entry_of(row)?)),
        )?;
        for (id, entry) in &mut entries {
            entry.readings = self.readings(*id)?;
            entry.dimensions = self.part_lengths(*id)?;
            entry.gland = self.gland(*id)?;
            entry.scan = self.scan(*id)?;
            entry.photos = self.words(WordsOf::Entry, id, PHOTO)?;
            entry.remarks = self.words(WordsOf::Entry, id, REMARK)?;
            entry.comments = self.words(WordsOf::Entry, id, COMMENT)?;
        }
        Ok(entries)
    }
}

impl BookWriter<'_> {
    /// Adds an entry with its readings, its lengths and its gland.
    pub(super) fn add_entry(&self, note: NoteId, entry: &Entry) -> Result<EntryId, StoreError> {
        let id = self.insert_entry(note, entry)?;
        self.add_readings(id, &entry.readings)?;
        self.add_part_lengths(id, &entry.dimensions)?;
        if let Some(gland) = &entry.gland {
            self.add_gland(id, gland)?;
        }
        if let Some(ring) = &entry.scan {
            self.add_scan(id, ring)?;
        }
        self.add_words(WordsOf::Entry, &id, PHOTO, &entry.photos)?;
        self.add_words(WordsOf::Entry, &id, REMARK, &entry.remarks)?;
        self.add_words(WordsOf::Entry, &id, COMMENT, &entry.comments)?;
        Ok(id)
    }

    fn insert_entry(&self, note: NoteId, entry: &Entry) -> Result<EntryId, StoreError> {
        let hardness = entry.hardness.as_ref();
        self.insert(
            "entry",
            named_params! {
                ":note_id": note,
                ":removal": entry.order,
                ":section": entry.section,
                ":position": entry.position,
                ":kind": Word(entry.kind),
                ":kind_stated": entry.kind_stated,
                ":name": entry.name,
                ":quantity": entry.quantity,
                ":fate": Word(entry.fate),
                ":condition": entry.condition.as_ref().map(|c| Word(c.value)),
                ":condition_typed": entry.condition.as_ref().map(|c| &c.text),
                ":stated_size": entry.stated_size.as_ref().map(|s| &s.text),
                ":stated_by": entry.stated_size.as_ref().map(|s| Word(s.by)),
                ":polymer": entry.polymer.as_ref().map(|p| Word(p.value)),
                ":polymer_typed": entry.polymer.as_ref().map(|p| &p.text),
                ":hardness": hardness.map(|h| h.value.value),
                ":hardness_scale": hardness.map(|h| Word(h.value.scale)),
                ":hardness_typed": hardness.map(|h| &h.text),
                ":material": entry.material,
                ":tool": entry.tool,
                ":torque_nm": entry.torque.as_ref().map(|t| t.value.newton_metres()),
                ":torque_typed": entry.torque.as_ref().map(|t| &t.text),
                ":turns": entry.turns.as_ref().map(|t| t.value),
                ":turns_typed": entry.turns.as_ref().map(|t| &t.text),
                ":thread": entry.thread,
                ":exposed": entry.exposed,
                ":orientation": entry.orientation,
                ":side": entry.side,
                ":face": entry.face,
                ":colour": entry.colour,
                ":marking": entry.marking,
                ":line": i64::try_from(entry.line).unwrap_or(0),
            },
        )?;
        Ok(EntryId::inserted(self.sql))
    }
}

/// Reads the entry's own row; readings, lengths, gland and words stand in tables of their own.
fn entry_of(row: &Row<'_>) -> rusqlite::Result<Entry> {
    let stated_size: Option<String> = row.get("stated_size")?;
    let stated_by = optional_word(row, "stated_by")?;
    let line: i64 = row.get("line")?;
    Ok(Entry {
        order: row.get("removal")?,
        section: row.get("section")?,
        position: row.get("position")?,
        kind: row.get::<_, Word<_>>("kind")?.0,
        kind_stated: row.get("kind_stated")?,
        name: row.get("name")?,
        quantity: row.get("quantity")?,
        fate: row.get::<_, Word<_>>("fate")?.0,
        condition: typed(
            optional_word(row, "condition")?,
            row.get("condition_typed")?,
        ),
        stated_size: stated_size
            .zip(stated_by)
            .map(|(text, by)| StatedSize { text, by }),
        polymer: typed(optional_word(row, "polymer")?, row.get("polymer_typed")?),
        hardness: typed(hardness_of(row)?, row.get("hardness_typed")?),
        material: row.get("material")?,
        tool: row.get("tool")?,
        torque: typed(
            row.get::<_, Option<f64>>("torque_nm")?
                .and_then(Torque::from_newton_metres),
            row.get("torque_typed")?,
        ),
        turns: typed(row.get("turns")?, row.get("turns_typed")?),
        thread: row.get("thread")?,
        exposed: row.get("exposed")?,
        orientation: row.get("orientation")?,
        side: row.get("side")?,
        face: row.get("face")?,
        colour: row.get("colour")?,
        marking: row.get("marking")?,
        line: usize::try_from(line).unwrap_or(0),
        ..Entry::default()
    })
}

fn hardness_of(row: &Row<'_>) -> rusqlite::Result<Option<Hardness>> {
    let value: Option<f64> = row.get("hardness")?;
    let scale = optional_word(row, "hardness_scale")?;
    Ok(value
        .zip(scale)
        .and_then(|(value, scale)| Hardness::new(value, scale)))
}

/// Holds the part of a page that shows one ring of a note.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RingPicture {
    /// The ring's place in the order of removal.
    pub removal: u32,
    /// Where it lay.
    pub ring: PageRing,
    pub jpeg: Vec<u8>,
    /// From its left edge to its right one, on the glass.
    pub width: Length,
}

impl BookReader<'_> {
    /// Lists the pictures of the rings of a note, in the order of removal.
    pub fn ring_pictures(&self, note: NoteId) -> Result<Vec<RingPicture>, StoreError> {
        let rows = self.list(
            "SELECT e.removal, s.place, s.picture, s.width_nm FROM entry_scan s JOIN entry e ON e.id = s.entry_id
             WHERE e.note_id = ?1 AND s.picture IS NOT NULL ORDER BY e.removal",
            &[&note],
            |row| Ok((row.get(0)?, row.get::<_, String>(1)?, row.get(2)?, row.get(3)?)),
        )?;
        let pictures = rows.into_iter().map(|(removal, place, jpeg, width)| {
            Ok(RingPicture {
                removal,
                ring: self.page_ring(&place)?,
                jpeg,
                width: Length::from_nm(width),
            })
        });
        pictures.collect()
    }

    /// Returns where the ring of an entry lay.
    pub(super) fn scan(&self, entry: EntryId) -> Result<Option<PageRing>, StoreError> {
        let sql = "SELECT place FROM entry_scan WHERE entry_id = ?1";
        let place: Option<String> = self.first(sql, &[&entry], |row| row.get(0))?;
        place.map(|place| self.page_ring(&place)).transpose()
    }

    fn page_ring(&self, place: &str) -> Result<PageRing, StoreError> {
        PageRing::parse(place)
            .ok_or_else(|| self.bad_row("entry_scan", format!("{place:?} names no ring")))
    }
}

impl BookWriter<'_> {
    pub(super) fn add_scan(&self, entry: EntryId, ring: &PageRing) -> Result<(), StoreError> {
        self.change(
            "INSERT INTO entry_scan (entry_id, place) VALUES (?1, ?2)",
            &[&entry, &ring.to_string()],
        )
    }

    /// Keeps the picture of the ring of an entry.
    pub fn set_ring_picture(
        &self,
        entry: EntryId,
        picture: &RingPicture,
    ) -> Result<(), StoreError> {
        self.change(
            "UPDATE entry_scan SET picture = ?2, width_nm = ?3 WHERE entry_id = ?1",
            &[&entry, &picture.jpeg, &picture.width.nm()],
        )
    }
}

/// Names the two tables of words.
#[derive(Debug, Clone, Copy)]
pub(super) enum WordsOf {
    Note,
    Entry,
}

impl WordsOf {
    fn insert(self) -> &'static str {
        match self {
            Self::Note => {
                "INSERT INTO note_words (note_id, topic, place, words) VALUES (?1, ?2, ?3, ?4)"
            }
            Self::Entry => {
                "INSERT INTO entry_words (entry_id, topic, place, words) VALUES (?1, ?2, ?3, ?4)"
            }
        }
    }

    fn select(self) -> &'static str {
        match self {
            Self::Note => {
                "SELECT words FROM note_words WHERE note_id = ?1 AND topic = ?2 ORDER BY place"
            }
            Self::Entry => {
                "SELECT words FROM entry_words WHERE entry_id = ?1 AND topic = ?2 ORDER BY place"
            }
        }
    }
}

impl BookReader<'_> {
    pub(super) fn words(
        &self,
        of: WordsOf,
        id: &dyn ToSql,
        topic: &str,
    ) -> Result<Vec<String>, StoreError> {
        self.list(of.select(), &[id, &topic], |row| row.get(0))
    }
}

impl BookWriter<'_> {
    pub(super) fn add_words(
        &self,
        of: WordsOf,
        id: &dyn ToSql,
        topic: &str,
        words: &[String],
    ) -> Result<(), StoreError> {
        for (place, words) in (1_u32..).zip(words) {
            self.change(of.insert(), &[id, &topic, &place, words])?;
        }
        Ok(())
    }
}
