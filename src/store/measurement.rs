//! What was measured on a part: readings of rings, lengths of other parts, the gland.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::id::EntryId;
use super::record::{Word, angle_of, dimension_of, optional_word, pascals, pressure_of};
use crate::core::gland::GlandSpec;
use crate::core::measurement::Reading;
use crate::core::note::PartDimension;
use crate::core::quantity::Typed;

impl BookReader<'_> {
    pub(super) fn readings(&self, entry: EntryId) -> Result<Vec<Reading>, StoreError> {
        let mut found = self.list(
            "SELECT id, measurand, method, typed FROM reading WHERE entry_id = ?1 ORDER BY place",
            &[&entry],
            |row| {
                let reading = Reading {
                    measurand: row.get::<_, Word<_>>("measurand")?.0,
                    values: Vec::new(),
                    method: row.get("method")?,
                    typed: row.get("typed")?,
                };
                Ok((row.get::<_, i64>("id")?, reading))
            },
        )?;
        for (id, reading) in &mut found {
            reading.values = self.list(
                "SELECT value FROM reading_value WHERE reading_id = ?1 ORDER BY place",
                &[id],
                |row| row.get(0),
            )?;
            if reading.values.is_empty() {
                return Err(self.bad_row("reading", "no value"));
            }
        }
        Ok(found.into_iter().map(|(_, reading)| reading).collect())
    }

    pub(super) fn part_lengths(&self, entry: EntryId) -> Result<Vec<PartDimension>, StoreError> {
        let mut found = self.list(
            "SELECT id, name, method, typed FROM part_length WHERE entry_id = ?1 ORDER BY place",
            &[&entry],
            |row| {
                let length = PartDimension {
                    name: row.get::<_, Word<_>>("name")?.0,
                    values: Vec::new(),
                    method: row.get("method")?,
                    typed: row.get("typed")?,
                };
                Ok((row.get::<_, i64>("id")?, length))
            },
        )?;
        for (id, length) in &mut found {
            length.values = self.list(
                "SELECT nominal_nm, plus_nm, minus_nm FROM part_length_value WHERE part_length_id = ?1 ORDER BY place",
                &[id],
                dimension_of,
            )?;
        }
        Ok(found.into_iter().map(|(_, length)| length).collect())
    }
}

impl BookWriter<'_> {
    pub(super) fn add_readings(
        &self,
        entry: EntryId,
        readings: &[Reading],
    ) -> Result<(), StoreError> {
        for (place, reading) in (1_u32..).zip(readings) {
            self.change(
                "INSERT INTO reading (entry_id, place, measurand, method, typed) VALUES (?1, ?2, ?3, ?4, ?5)",
                &[&entry, &place, &Word(reading.measurand), &reading.method, &reading.typed],
            )?;
            let id = self.sql.last_insert_rowid();
            for (place, value) in (1_u32..).zip(&reading.values) {
                self.change(
                    "INSERT INTO reading_value (reading_id, place, value) VALUES (?1, ?2, ?3)",
                    &[&id, &place, value],
                )?;
            }
        }
        Ok(())
    }

    pub(super) fn add_part_lengths(
        &self,
        entry: EntryId,
        lengths: &[PartDimension],
    ) -> Result<(), StoreError> {
        for (place, length) in (1_u32..).zip(lengths) {
            self.change(
                "INSERT INTO part_length (entry_id, place, name, method, typed) VALUES (?1, ?2, ?3, ?4, ?5)",
                &[&entry, &place, &Word(length.name), &length.method, &length.typed],
            )?;
            let id = self.sql.last_insert_rowid();
            for (place, value) in (1_u32..).zip(&length.values) {
                self.change(
                    "INSERT INTO part_length_value (part_length_id, place, nominal_nm, plus_nm, minus_nm)
                     VALUES (?1, ?2, ?3, ?4, ?5)",
                    &[&id, &place, &value.nominal.nm(), &value.plus.nm(), &value.minus.nm()],
                )?;
            }
        }
        Ok(())
    }
}

impl BookReader<'_> {
    pub(super) fn gland(&self, entry: EntryId) -> Result<Option<GlandSpec>, StoreError> {
        let found = self.first(
            "SELECT * FROM gland WHERE entry_id = ?1",
            &[&entry],
            |row| {
                Ok(GlandSpec {
                    kind: row.get::<_, Word<_>>("kind")?.0,
                    dimensions: Vec::new(),
                    duty: optional_word(row, "duty")?,
                    pressure: pressure_of(row, "pressure")?,
                    from: optional_word(row, "pressure_from")?,
                    angle: angle_of(row)?,
                    back_ups: row.get("back_ups")?,
                })
            },
        )?;
        let Some(mut gland) = found else {
            return Ok(None);
        };
        gland.dimensions = self.list(
            "SELECT name, nominal_nm, plus_nm, minus_nm, typed FROM gland_dimension WHERE entry_id = ?1 ORDER BY place",
            &[&entry],
            |row| {
                let typed = Typed {
                    value: dimension_of(row)?,
                    text: row.get("typed")?,
                };
                Ok((row.get::<_, Word<_>>("name")?.0, typed))
            },
        )?;
        Ok(Some(gland))
    }
}

impl BookWriter<'_> {
    pub(super) fn add_gland(&self, entry: EntryId, gland: &GlandSpec) -> Result<(), StoreError> {
        let pressure = gland.pressure.as_ref();
        self.change(
            "INSERT INTO gland (entry_id, kind, duty, pressure_pa, pressure_reference, pressure_typed, pressure_from, angle_deg, angle_typed, back_ups)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
            &[
                &entry,
                &Word(gland.kind),
                &gland.duty.map(Word),
                &pressure.map(|p| pascals(p.value)),
                &pressure.map(|p| Word(p.value.reference)),
                &pressure.map(|p| &p.text),
                &gland.from.map(Word),
                &gland.degrees(),
                &gland.angle.as_ref().map(|angle| &angle.text),
                &gland.back_ups,
            ],
        )?;
        for (place, (name, typed)) in (1_u32..).zip(&gland.dimensions) {
            let length = typed.value;
            self.change(
                "INSERT INTO gland_dimension (entry_id, place, name, nominal_nm, plus_nm, minus_nm, typed)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                &[
                    &entry,
                    &place,
                    &Word(*name),
                    &length.nominal.nm(),
                    &length.plus.nm(),
                    &length.minus.nm(),
                    &typed.text,
                ],
            )?;
        }
        Ok(())
    }
}
