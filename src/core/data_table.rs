//! Reading of the tables that ship with the program.
//!
//! They are plain CSV: comma, double quotes around a field that holds a comma, one header line, no line break in a field.
//! A reader for just that form gives fields that borrow from the program itself, and keeps the start of the program short
//! (setting up a general CSV reader costs more than reading a small table).

use csv::StringRecord;
use serde::de::DeserializeOwned;

/// Splits one line of a shipped table into its fields.
fn fields(line: &'static str) -> Vec<&'static str> {
    let bytes = line.as_bytes();
    let mut fields = Vec::with_capacity(12);
    let (mut begin, mut quoted) = (0, false);
    for (at, byte) in bytes.iter().enumerate() {
        match byte {
            b'"' => quoted = !quoted,
            b',' if !quoted => {
                fields.push(unquoted(&line[begin..at]));
                begin = at + 1;
            }
            _ => {}
        }
    }
    fields.push(unquoted(&line[begin..]));
    fields
}

fn unquoted(field: &'static str) -> &'static str {
    let inside = field.strip_prefix('"').and_then(|f| f.strip_suffix('"'));
    inside.unwrap_or(field)
}

/// Gives the rows of a shipped table as fields in the order of `columns`.
///
/// # Panics
/// Panics where the header differs or a row has another number of fields. The tables are part of the program and a test
/// reads every one of them, so no user input can lead here.
pub(crate) fn shipped_fields<const COLUMNS: usize>(
    name: &'static str,
    text: &'static str,
    columns: [&str; COLUMNS],
) -> impl Iterator<Item = [&'static str; COLUMNS]> {
    let mut lines = text.lines();
    let header = fields(lines.next().unwrap_or(""));
    assert!(header == columns, "shipped table {name}: header {header:?}");
    lines.map(move |line| {
        let row = fields(line).try_into();
        row.unwrap_or_else(|_| panic!("shipped table {name}: not {COLUMNS} fields: {line}"))
    })
}

/// Reads a number of a shipped table.
///
/// # Panics
/// Panics on anything else, as [`shipped_fields`].
pub(crate) fn shipped_number(name: &str, text: &str) -> f64 {
    text.parse()
        .unwrap_or_else(|_| panic!("shipped table {name}: no number: {text:?}"))
}

/// Reads the rows of a shipped table into a row type; empty fields become `None` where it says `Option`.
///
/// # Panics
/// Panics on a malformed row, as [`shipped_fields`].
pub(crate) fn read_rows<Row: DeserializeOwned>(name: &str, text: &'static str) -> Vec<Row> {
    let mut lines = text.lines();
    let header = StringRecord::from(fields(lines.next().unwrap_or("")));
    lines
        .map(|line| {
            StringRecord::from(fields(line))
                .deserialize(Some(&header))
                .unwrap_or_else(|error| panic!("shipped table {name}: {error}: {line}"))
        })
        .collect()
}

/// Reads the rows of the shipped table of this name in the folder `data`.
macro_rules! shipped_rows {
    ($name:literal) => {
        $crate::core::data_table::read_rows(
            $name,
            include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/data/", $name)),
        )
    };
}
pub(crate) use shipped_rows;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_short_reader_agrees_with_the_csv_crate_on_a_shipped_table() {
        let text = include_str!("../../data/sizes/as568.csv");
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let general: Vec<Vec<String>> = reader
            .records()
            .map(|row| row.expect("reads").iter().map(str::to_owned).collect())
            .collect();
        let short: Vec<Vec<&str>> = text.lines().skip(1).map(fields).collect();
        assert_eq!(general, short);
        let columns: [&str; 11] = fields(text.lines().next().expect("a header"))
            .try_into()
            .expect("eleven columns");
        let by_columns: Vec<Vec<&str>> = shipped_fields("as568", text, columns)
            .map(|row| row.to_vec())
            .collect();
        assert_eq!(general, by_columns);
    }
}
