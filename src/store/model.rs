//! Models, and their units: single pieces of gear.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::id::{ModelId, UnitId};
use crate::core::book::{ModelName, name_key};
use serde::Deserialize;
use std::collections::HashSet;

/// One model of the book.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct StoredModel {
    /// Its row.
    pub id: ModelId,
    /// Its name as it was first written.
    #[serde(flatten)]
    pub name: ModelName,
}

/// One unit of the book.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct StoredUnit {
    /// Its row.
    pub id: UnitId,
    /// Its serial number as it was first written.
    pub serial: String,
}

impl BookReader<'_> {
    /// Lists every model by name.
    pub fn models(&self) -> Result<Vec<StoredModel>, StoreError> {
        self.records("SELECT id, maker, name FROM model ORDER BY key", &[])
    }

    /// Returns the model of the note of ours that was added last.
    pub fn last_model(&self) -> Result<Option<StoredModel>, StoreError> {
        self.record(
            "SELECT m.id, m.maker, m.name FROM note n JOIN unit u ON u.id = n.unit_id JOIN model m ON m.id = u.model_id
             WHERE n.replaced_at IS NULL AND n.shop IS NULL ORDER BY n.added_at DESC, n.id DESC LIMIT 1",
            &[],
        )
    }

    /// Finds the model of a name, however it is spelt.
    pub fn model(&self, name: &ModelName) -> Result<Option<StoredModel>, StoreError> {
        self.record(
            "SELECT id, maker, name FROM model WHERE key = ?1",
            &[&name.key()],
        )
    }

    /// Names the models of which only other shops say something: no note is ours or was accepted, and no job was done.
    pub fn models_of_others(&self) -> Result<HashSet<ModelId>, StoreError> {
        let ids: Vec<ModelId> = self.list(
            "SELECT u.model_id FROM note n JOIN unit u ON u.id = n.unit_id WHERE n.replaced_at IS NULL
             GROUP BY u.model_id HAVING max(n.shop IS NULL OR n.accepted_at IS NOT NULL) = 0
             AND NOT EXISTS (SELECT 1 FROM job j JOIN unit w ON w.id = j.unit_id WHERE w.model_id = u.model_id)",
            &[],
            |row| row.get(0),
        )?;
        Ok(ids.into_iter().collect())
    }

    /// Lists the units of a model by serial number.
    pub fn units(&self, model: ModelId) -> Result<Vec<StoredUnit>, StoreError> {
        self.records(
            "SELECT id, serial FROM unit WHERE model_id = ?1 ORDER BY key",
            &[&model],
        )
    }

    /// Finds a unit of a model by its serial number, however it is spelt.
    pub fn unit(&self, model: ModelId, serial: &str) -> Result<Option<StoredUnit>, StoreError> {
        self.record(
            "SELECT id, serial FROM unit WHERE model_id = ?1 AND key = ?2",
            &[&model, &name_key(serial)],
        )
    }
}

impl BookWriter<'_> {
    /// Finds the model of a name, or adds it.
    pub fn model_or_new(&self, name: &ModelName) -> Result<ModelId, StoreError> {
        if let Some(model) = self.model(name)? {
            return Ok(model.id);
        }
        self.change(
            "INSERT INTO model (maker, name, key) VALUES (?1, ?2, ?3)",
            &[&name.maker, &name.name, &name.key()],
        )?;
        Ok(ModelId::inserted(self.sql))
    }

    /// Finds a unit of a model, or adds it.
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
