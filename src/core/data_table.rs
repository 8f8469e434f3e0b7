//! Reading of the tables that ship with the program.
//!
//! They are plain CSV: comma, double quotes around a field that holds a comma, one header line, no line break in a field.
//! A reader for just that form gives fields that borrow from the program itself, and keeps the start of the program short
//! (setting up a general CSV reader costs more than reading a small table).

use csv::StringRecord;
use serde::Deserialize;

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

/// Reads the rows of a shipped table into a row type; empty fields become `None` where it says `Option`. The records live as
/// long as the program, so that a row can borrow its texts.
///
/// # Panics
/// Panics on a malformed row. The tables are part of the program and a test reads every one of them, so no user input can
/// lead here.
pub(crate) fn read_rows<Row: Deserialize<'static>>(name: &str, text: &'static str) -> Vec<Row> {
    let kept = |line| &*Box::leak(Box::new(StringRecord::from(fields(line))));
    let mut records = text.lines().map(kept);
    let header = records.next();
    records
        .map(|record| {
            record
                .deserialize(header)
                .unwrap_or_else(|error| panic!("shipped table {name}: {error}: {record:?}"))
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
    }
}
