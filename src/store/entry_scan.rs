//! Rings of entries on the pages of a scanner, with their pictures.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::id::{EntryId, NoteId};
use crate::core::note::PageRing;
use crate::core::quantity::Length;

/// Holds the part of a page that shows one ring of a note.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RingPicture {
    /// The ring's place in the order of removal.
    pub removal: u32,
    /// Where it lay.
    pub ring: PageRing,
    /// A JPEG.
    pub jpeg: Vec<u8>,
    /// From its left edge to its right one, on the glass.
    pub width: Length,
}

impl BookReader<'_> {
    /// Lists the pictures of the rings of a note, in the order of removal.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
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
    ///
    /// # Errors
    /// Fails where the book cannot be written.
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
