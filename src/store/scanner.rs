//! The register of scanners.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use crate::core::book::name_key;
use crate::core::scan::ScannerProfile;

impl BookReader<'_> {
    /// Lists the scanners by name and resolution.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
    pub fn scanners(&self) -> Result<Vec<ScannerProfile>, StoreError> {
        self.bodies("SELECT body FROM scanner ORDER BY key, dpi", &[])
    }

    /// Finds a scanner at a resolution, however its name is spelt.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
    pub fn scanner(&self, name: &str, dpi: u32) -> Result<Option<ScannerProfile>, StoreError> {
        let found = self.bodies(
            "SELECT body FROM scanner WHERE key = ?1 AND dpi = ?2",
            &[&name_key(name), &dpi],
        )?;
        Ok(found.into_iter().next())
    }
}

impl BookWriter<'_> {
    /// Keeps a scanner in place of what was known of it at this resolution.
    ///
    /// # Errors
    /// Fails where the book cannot be written.
    pub fn set_scanner(&self, scanner: &ScannerProfile) -> Result<(), StoreError> {
        let body = serde_json::to_string(scanner)
            .map_err(|error| self.bad_row("scanner", error.to_string()))?;
        self.change(
            "INSERT INTO scanner (key, dpi, body) VALUES (?1, ?2, ?3)
             ON CONFLICT (key, dpi) DO UPDATE SET body = excluded.body",
            &[&name_key(&scanner.name), &scanner.dpi, &body],
        )
    }
}
