//! Models.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::id::ModelId;
use crate::core::book::ModelName;
use serde::Deserialize;
use std::collections::HashSet;

/// Holds one model of the book.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct StoredModel {
    /// Its row.
    pub id: ModelId,
    /// Its name as it was first written.
    #[serde(flatten)]
    pub name: ModelName,
}

impl BookReader<'_> {
    /// Lists every model by name.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
    pub fn models(&self) -> Result<Vec<StoredModel>, StoreError> {
        self.records("SELECT id, maker, name FROM model ORDER BY key", &[])
    }

    /// Finds the model of a name, however it is spelt.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
    pub fn model(&self, name: &ModelName) -> Result<Option<StoredModel>, StoreError> {
        self.record(
            "SELECT id, maker, name FROM model WHERE key = ?1",
            &[&name.key()],
        )
    }
}

impl BookReader<'_> {
    /// Names the models of which only other shops say something: no note is ours or was accepted, and no job was done.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
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
}

impl BookWriter<'_> {
    /// Finds the model of a name, or adds it.
    ///
    /// # Errors
    /// Fails where the book cannot be written.
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
}
