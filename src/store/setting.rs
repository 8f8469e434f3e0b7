//! Settings that belong to a shop and travel with its book.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;

impl BookReader<'_> {
    /// Returns the value of a setting, where the shop made one.
    ///
    /// # Errors
    /// Fails where the book cannot be read.
    pub fn setting(&self, key: &str) -> Result<Option<String>, StoreError> {
        self.first("SELECT value FROM setting WHERE key = ?1", &[&key], |row| {
            row.get(0)
        })
    }
}

impl BookWriter<'_> {
    /// Keeps the value of a setting in place of the former one.
    ///
    /// # Errors
    /// Fails where the book cannot be written.
    pub fn set_setting(&self, key: &str, value: &str) -> Result<(), StoreError> {
        self.change(
            "INSERT INTO setting (key, value) VALUES (?1, ?2)
             ON CONFLICT (key) DO UPDATE SET value = excluded.value",
            &[&key, &value],
        )
    }
}
