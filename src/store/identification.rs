//! Identifications of rings, as they were made when a note was added.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::id::EntryId;
use crate::core::book::{KeptCandidate, KeptIdentification};
use crate::core::quantity::Length;
use crate::core::sizes::NominalSize;

/// Holds an identification with when and by which program it was made.
#[derive(Debug, Clone, PartialEq)]
pub struct MadeIdentification {
    /// The odds.
    pub identification: KeptIdentification,
    /// The moment, ISO 8601.
    pub made_at: String,
    /// The program and its version.
    pub made_by: String,
}

impl BookReader<'_> {
    /// Returns the identification of an entry, where one was made.
    pub fn identification(&self, entry: EntryId) -> Result<Option<MadeIdentification>, StoreError> {
        let found = self.first(
            "SELECT made_at, made_by, unlisted_probability FROM identification WHERE entry_id = ?1",
            &[&entry],
            |row| {
                Ok(MadeIdentification {
                    identification: KeptIdentification {
                        candidates: Vec::new(),
                        unlisted_probability: row.get(2)?,
                    },
                    made_at: row.get(0)?,
                    made_by: row.get(1)?,
                })
            },
        )?;
        let Some(mut made) = found else {
            return Ok(None);
        };
        made.identification.candidates = self.candidates(entry)?;
        Ok(Some(made))
    }

    /// Lists the sizes that the ring of an entry may be, the likeliest first.
    pub(super) fn candidates(&self, entry: EntryId) -> Result<Vec<KeptCandidate>, StoreError> {
        let mut candidates = self.list(
            "SELECT rank, id_nm, section_nm, probability, misfit_sigma FROM candidate WHERE entry_id = ?1 ORDER BY rank",
            &[&entry],
            |row| {
                let candidate = KeptCandidate {
                    codes: Vec::new(),
                    size: NominalSize { id: Length::from_nm(row.get(1)?), section: Length::from_nm(row.get(2)?) },
                    probability: row.get(3)?,
                    misfit_sigma: row.get(4)?,
                };
                Ok((row.get::<_, u32>(0)?, candidate))
            },
        )?;
        let codes = self.list(
            "SELECT rank, code FROM candidate_code WHERE entry_id = ?1 ORDER BY rank, place",
            &[&entry],
            |row| Ok((row.get::<_, u32>(0)?, row.get(1)?)),
        )?;
        for (rank, code) in codes {
            let place = candidates.binary_search_by_key(&rank, |(rank, _)| *rank);
            if let Ok(place) = place {
                candidates[place].1.codes.push(code);
            }
        }
        Ok(candidates.into_iter().map(|(_, one)| one).collect())
    }
}

impl BookWriter<'_> {
    /// Keeps the identification of an entry.
    pub fn add_identification(
        &self,
        entry: EntryId,
        made: &MadeIdentification,
    ) -> Result<(), StoreError> {
        self.change(
            "INSERT INTO identification (entry_id, made_at, made_by, unlisted_probability) VALUES (?1, ?2, ?3, ?4)",
            &[
                &entry,
                &made.made_at,
                &made.made_by,
                &made.identification.unlisted_probability,
            ],
        )?;
        for (rank, candidate) in (1_u32..).zip(&made.identification.candidates) {
            self.change(
                "INSERT INTO candidate (entry_id, rank, id_nm, section_nm, probability, misfit_sigma)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                &[
                    &entry,
                    &rank,
                    &candidate.size.id.nm(),
                    &candidate.size.section.nm(),
                    &candidate.probability,
                    &candidate.misfit_sigma,
                ],
            )?;
            for (place, code) in (1_u32..).zip(&candidate.codes) {
                self.change(
                    "INSERT INTO candidate_code (entry_id, rank, place, code) VALUES (?1, ?2, ?3, ?4)",
                    &[&entry, &rank, &place, code],
                )?;
            }
        }
        Ok(())
    }
}
