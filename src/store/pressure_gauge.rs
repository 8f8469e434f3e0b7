//! The register of pressure gauges.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use crate::core::book::name_key;
use crate::core::stage::Gauge;

impl BookReader<'_> {
    /// Lists the gauges by name.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
    pub fn gauges(&self) -> Result<Vec<Gauge>, StoreError> {
        self.bodies("SELECT body FROM pressure_gauge ORDER BY key", &[])
    }

    /// Finds a gauge, however its name is spelt.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
    pub fn gauge(&self, name: &str) -> Result<Option<Gauge>, StoreError> {
        let found = self.bodies(
            "SELECT body FROM pressure_gauge WHERE key = ?1",
            &[&name_key(name)],
        )?;
        Ok(found.into_iter().next())
    }
}

impl BookWriter<'_> {
    /// Keeps a gauge in place of what was known of it.
    ///
    /// # Errors
    /// Fails where the book cannot be written.
    pub fn set_gauge(&self, gauge: &Gauge) -> Result<(), StoreError> {
        let body = serde_json::to_string(gauge)
            .map_err(|error| self.bad_row("gauge", error.to_string()))?;
        self.change(
            "INSERT INTO pressure_gauge (key, body) VALUES (?1, ?2)
             ON CONFLICT (key) DO UPDATE SET body = excluded.body",
            &[&name_key(&gauge.name), &body],
        )
    }
}
