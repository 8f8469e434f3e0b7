//! Rings of known size, and what was read on them.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::id::KnownRingId;
use super::record::Word;
use crate::core::measurement::KnownReading;

/// Holds one known ring as it is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct StoredKnownRing {
    /// Its row.
    pub id: KnownRingId,
    /// The ring as it was named.
    pub ring: String,
    /// When it was added, ISO 8601.
    pub added_at: String,
    /// Each reading with what was typed.
    pub readings: Vec<(String, KnownReading)>,
}

/// Holds one known ring to be kept.
#[derive(Debug, Clone, PartialEq)]
pub struct NewKnownRing<'r> {
    /// Who measured; empty where nobody was named.
    pub person: &'r str,
    /// The ring as it was named.
    pub ring: &'r str,
    /// When, ISO 8601.
    pub added_at: &'r str,
    /// Each reading with what was typed.
    pub readings: &'r [(String, KnownReading)],
}

impl BookReader<'_> {
    /// Lists the known rings of a person (empty: of nobody named), oldest first.
    pub fn known_rings(&self, person: &str) -> Result<Vec<StoredKnownRing>, StoreError> {
        let mut rings = self.list(
            "SELECT id, ring, added_at FROM known_ring WHERE person = ?1 ORDER BY id",
            &[&person],
            |row| {
                Ok(StoredKnownRing {
                    id: row.get("id")?,
                    ring: row.get("ring")?,
                    added_at: row.get("added_at")?,
                    readings: Vec::new(),
                })
            },
        )?;
        for ring in &mut rings {
            ring.readings = self.known_readings(ring.id)?;
        }
        Ok(rings)
    }

    fn known_readings(&self, ring: KnownRingId) -> Result<Vec<(String, KnownReading)>, StoreError> {
        self.list(
            "SELECT measurand, method, typed, error, repeats, scatter, ring_variance
             FROM known_reading WHERE known_ring_id = ?1 ORDER BY place",
            &[&ring],
            |row| {
                let reading = KnownReading {
                    measurand: row.get::<_, Word<_>>("measurand")?.0,
                    method: row.get("method")?,
                    error: row.get("error")?,
                    repeats: row.get::<_, u32>("repeats")? as usize,
                    scatter: row.get("scatter")?,
                    ring_variance: row.get("ring_variance")?,
                };
                Ok((row.get("typed")?, reading))
            },
        )
    }
}

impl BookWriter<'_> {
    /// Keeps a known ring with its readings.
    pub fn add_known_ring(&self, new: &NewKnownRing<'_>) -> Result<KnownRingId, StoreError> {
        self.change(
            "INSERT INTO known_ring (person, ring, added_at) VALUES (?1, ?2, ?3)",
            &[&new.person, &new.ring, &new.added_at],
        )?;
        let id = KnownRingId::inserted(self.sql);
        for (place, (typed, reading)) in (1_i64..).zip(new.readings) {
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
                    typed,
                    &reading.error,
                    &repeats,
                    &reading.scatter,
                    &reading.ring_variance,
                ],
            )?;
        }
        Ok(id)
    }

    /// Takes a known ring with its readings out of the book.
    pub fn forget_known_ring(&self, id: KnownRingId) -> Result<(), StoreError> {
        self.change("DELETE FROM known_ring WHERE id = ?1", &[&id])
    }
}
