//! Entries: the parts of a unit, in the order in which they came off.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::id::{EntryId, NoteId};
use super::stored::{Word, optional_word, typed};
use super::words::WordsOf;
use crate::core::note::{Entry, StatedSize};
use crate::core::quantity::{Hardness, Torque};
use rusqlite::{Row, named_params};

const PHOTO: &str = "photo";
const REMARK: &str = "remark";
const COMMENT: &str = "comment";

impl BookReader<'_> {
    /// Lists the entries of a note in the order of removal.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
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
