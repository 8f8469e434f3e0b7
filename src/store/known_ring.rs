//! Rings of known size, and what was read on them.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::exchange::KNOWN_RINGS;
use super::record::{Word, become_record};
use crate::core::exchange::KnownRingItem;

impl BookReader<'_> {
    /// Lists the known rings of a person (empty: of nobody named), oldest first.
    pub fn known_rings(&self, person: &str) -> Result<Vec<KnownRingItem>, StoreError> {
        let all = self.shelved(&KNOWN_RINGS, &[])?.into_iter();
        let rings: rusqlite::Result<Vec<KnownRingItem>> = all.map(become_record).collect();
        let mut rings = rings.map_err(|error| self.fault(error))?;
        rings.retain(|ring| ring.person == person);
        Ok(rings)
    }
}

impl BookWriter<'_> {
    /// Keeps a known ring with its readings.
    pub fn add_known_ring(&self, new: &KnownRingItem) -> Result<(), StoreError> {
        self.change(
            "INSERT INTO known_ring (person, ring, added_at) VALUES (?1, ?2, ?3)",
            &[&new.person, &new.ring, &new.added_at],
        )?;
        let id = self.sql.last_insert_rowid();
        for (place, reading) in (1_i64..).zip(&new.readings) {
            let repeats = i64::try_from(reading.repeats).unwrap_or(i64::MAX);
            self.change(
                "INSERT INTO known_reading
                 (known_ring_id, place, measurand, method, typed, error, repeats, scatter, ring_variance)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
                &[
                    &id,
                    &place,
                    &Word(reading.measurand),
                    &reading.method,
                    &reading.typed,
                    &reading.error,
                    &repeats,
                    &reading.scatter,
                    &reading.ring_variance,
                ],
            )?;
        }
        Ok(())
    }

    /// Takes the known ring that a person added last out of the book, with its readings.
    pub fn forget_last_known_ring(&self, person: &str) -> Result<(), StoreError> {
        self.change(
            "DELETE FROM known_ring WHERE id = (SELECT max(id) FROM known_ring WHERE person = ?1)",
            &[&person],
        )
    }
}
