//! Reading of the tables that ship with the program.

use serde::de::DeserializeOwned;

/// Reads the rows of a shipped CSV table.
///
/// Empty fields become `None` where the row type says `Option`.
///
/// # Panics
/// Panics on a malformed row. The tables are part of the program and a test reads every one of them, so no user input
/// can lead here.
pub(crate) fn shipped_rows<Row: DeserializeOwned>(name: &str, text: &str) -> Vec<Row> {
    csv::ReaderBuilder::new()
        .from_reader(text.as_bytes())
        .deserialize()
        .map(|row| row.unwrap_or_else(|error| panic!("shipped table {name}: {error}")))
        .collect()
}
