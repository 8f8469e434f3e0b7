//! Glands in which the rings of a unit sat.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::id::EntryId;
use super::stored::{Word, angle_of, dimension_of, optional_word, pascals, pressure_of};
use crate::core::gland::GlandSpec;
use crate::core::quantity::Typed;

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
