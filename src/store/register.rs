//! What a shop registers: settings, pressure gauges, scanners.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::record::{Json, body};
use crate::core::book::name_key;
use crate::core::scan::ScannerProfile;
use crate::core::stage::Gauge;

impl BookReader<'_> {
    /// Returns the value of a setting, where the shop made one.
    pub fn setting(&self, key: &str) -> Result<Option<String>, StoreError> {
        self.first("SELECT value FROM setting WHERE key = ?1", &[&key], |row| {
            row.get(0)
        })
    }

    /// Lists the gauges by name.
    pub fn gauges(&self) -> Result<Vec<Gauge>, StoreError> {
        self.list("SELECT body FROM pressure_gauge ORDER BY key", &[], body)
    }

    /// Finds a gauge, however its name is spelt.
    pub fn gauge(&self, name: &str) -> Result<Option<Gauge>, StoreError> {
        self.first(
            "SELECT body FROM pressure_gauge WHERE key = ?1",
            &[&name_key(name)],
            body,
        )
    }

    /// Lists the scanners by name and resolution.
    pub fn scanners(&self) -> Result<Vec<ScannerProfile>, StoreError> {
        self.list("SELECT body FROM scanner ORDER BY key, dpi", &[], body)
    }

    /// Finds a scanner at a resolution, however its name is spelt.
    pub fn scanner(&self, name: &str, dpi: u32) -> Result<Option<ScannerProfile>, StoreError> {
        self.first(
            "SELECT body FROM scanner WHERE key = ?1 AND dpi = ?2",
            &[&name_key(name), &dpi],
            body,
        )
    }
}

impl BookWriter<'_> {
    /// Keeps the value of a setting in place of the former one.
    pub fn set_setting(&self, key: &str, value: &str) -> Result<(), StoreError> {
        self.change(
            "INSERT INTO setting (key, value) VALUES (?1, ?2)
             ON CONFLICT (key) DO UPDATE SET value = excluded.value",
            &[&key, &value],
        )
    }

    /// Keeps a gauge in place of what was known of it.
    pub fn set_gauge(&self, gauge: &Gauge) -> Result<(), StoreError> {
        self.change(
            "INSERT INTO pressure_gauge (key, body) VALUES (?1, ?2)
             ON CONFLICT (key) DO UPDATE SET body = excluded.body",
            &[&name_key(&gauge.name), &Json(gauge)],
        )
    }

    /// Keeps a scanner in place of what was known of it at this resolution.
    pub fn set_scanner(&self, scanner: &ScannerProfile) -> Result<(), StoreError> {
        self.change(
            "INSERT INTO scanner (key, dpi, body) VALUES (?1, ?2, ?3)
             ON CONFLICT (key, dpi) DO UPDATE SET body = excluded.body",
            &[&name_key(&scanner.name), &scanner.dpi, &Json(scanner)],
        )
    }
}
