//! Units: single pieces of gear, each of one model.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::id::{ModelId, UnitId};
use crate::core::book::name_key;
use serde::Deserialize;

/// Holds one unit of the book.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct StoredUnit {
    /// Its row.
    pub id: UnitId,
    /// Its serial number as it was first written.
    pub serial: String,
}

impl BookReader<'_> {
    /// Lists the units of a model by serial number.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
    pub fn units(&self, model: ModelId) -> Result<Vec<StoredUnit>, StoreError> {
        self.records(
            "SELECT id, serial FROM unit WHERE model_id = ?1 ORDER BY key",
            &[&model],
        )
    }

    /// Finds a unit of a model by its serial number, however it is spelt.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
    pub fn unit(&self, model: ModelId, serial: &str) -> Result<Option<StoredUnit>, StoreError> {
        self.record(
            "SELECT id, serial FROM unit WHERE model_id = ?1 AND key = ?2",
            &[&model, &name_key(serial)],
        )
    }
}

impl BookWriter<'_> {
    /// Finds a unit of a model, or adds it.
    ///
    /// # Errors
    /// Fails where the book cannot be written.
    pub fn unit_or_new(&self, model: ModelId, serial: &str) -> Result<UnitId, StoreError> {
        if let Some(unit) = self.unit(model, serial)? {
            return Ok(unit.id);
        }
        self.change(
            "INSERT INTO unit (model_id, serial, key) VALUES (?1, ?2, ?3)",
            &[&model, &serial, &name_key(serial)],
        )?;
        Ok(UnitId::inserted(self.sql))
    }
}
