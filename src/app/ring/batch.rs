//! Names many rings from a CSV table, row by row.

use super::identify::RingNamer;
use crate::core::elastomer::Polymer;
use crate::core::formula::computes;
use crate::core::hidden::{visible, visible_page};
use crate::core::identification::{Evidence, Identification, Identifier};
use crate::core::measurement::{Condition, Measurand, Reading};
use crate::core::note::condition_of;
use crate::core::quantity::LengthUnit;
use crate::core::sizes::SizeTable;
use std::sync::LazyLock;

/// The columns that are read; the first is required, and at least one of the measuring ones.
pub const COLUMNS: [&str; 13] = [
    "case",
    "condition",
    "polymer",
    "id_mm",
    "id_method",
    "od_mm",
    "od_method",
    "cs_mm",
    "cs_method",
    "width_mm",
    "width_method",
    "cut_length_mm",
    "mass_g",
];

/// The columns that are written; a row that cannot be used gives one line with its case and the error alone.
pub const OUT_COLUMNS: [&str; 8] = [
    "case",
    "rank",
    "code",
    "id_mm",
    "cs_mm",
    "probability",
    "other_codes",
    "error",
];

/// Where the columns of a ring stand that are no readings.
const CASE: usize = 0;
const CONDITION: usize = 1;
const POLYMER: usize = 2;

/// Says which row of a batch is wrong, and what is wrong with it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum BatchError {
    /// A column is missing or unknown.
    #[error("line 1: {0}")]
    Header(String),
    /// A row has not as many fields as the header.
    #[error(
        "line {line}: {found} fields, where the first line has {wanted}: does a comma lack, or a quotation mark?"
    )]
    Fields {
        line: u64,
        found: usize,
        wanted: usize,
    },
    #[error("line {line}: a byte is not UTF-8: save the table as UTF-8")]
    NoText { line: u64 },
    #[error("line {line}, {column}: {message}")]
    Row {
        line: u64,
        column: &'static str,
        /// What is wrong and what to write.
        message: String,
    },
}

/// Where each known column stands.
#[derive(Debug, Clone)]
pub struct BatchHeader {
    places: [Option<usize>; COLUMNS.len()],
    fields: usize,
}

/// One row as text, with its line in the file.
#[derive(Debug, Clone)]
pub struct BatchRow {
    pub line: u64,
    /// The fields; bytes that are no UTF-8 are replaced.
    pub record: csv::StringRecord,
    /// Whether all bytes were UTF-8.
    pub is_text: bool,
}

impl BatchHeader {
    /// Finds the columns of a header line.
    ///
    /// # Errors
    /// A column that is not known, one given twice, or no column with a measurement.
    pub fn read(record: &csv::StringRecord) -> Result<Self, BatchError> {
        let mut places = [None; COLUMNS.len()];
        for (at, name) in record.iter().enumerate() {
            let name = name.trim().trim_start_matches('\u{feff}');
            let Some(column) = COLUMNS.iter().position(|c| *c == name) else {
                return Err(BatchError::Header(format!(
                    "column {name:?} is not known: write {}",
                    COLUMNS.join(",")
                )));
            };
            if places[column].replace(at).is_some() {
                return Err(BatchError::Header(format!("column {name:?} stands twice")));
            }
        }
        if places[0].is_none() {
            return Err(BatchError::Header(
                "the column \"case\" is missing".to_owned(),
            ));
        }
        let header = Self {
            places,
            fields: record.len(),
        };
        let measures = READINGS.iter().any(|r| header.places[r.value].is_some());
        if !measures {
            return Err(BatchError::Header(
                "no column holds a measurement: give id_mm, od_mm, cs_mm, width_mm, cut_length_mm or mass_g"
                    .to_owned(),
            ));
        }
        Ok(header)
    }

    fn field<'r>(&self, row: &'r BatchRow, column: usize) -> &'r str {
        self.places[column]
            .and_then(|at| row.record.get(at))
            .map_or("", str::trim)
    }
}

/// Says in which columns a measurand stands; `method` is `None` where the table has no column for it.
struct ReadingColumns {
    measurand: Measurand,
    value: usize,
    method: Option<usize>,
}

const fn columns(measurand: Measurand, value: usize, method: Option<usize>) -> ReadingColumns {
    ReadingColumns {
        measurand,
        value,
        method,
    }
}

const READINGS: [ReadingColumns; 6] = [
    columns(Measurand::Id, 3, Some(4)),
    columns(Measurand::Od, 5, Some(6)),
    columns(Measurand::Cs, 7, Some(8)),
    columns(Measurand::Width, 9, Some(10)),
    columns(Measurand::CutLength, 11, None),
    columns(Measurand::Mass, 12, None),
];

/// What is written of each listed ring, put together once: code, inside diameter and section, as they stand between case and
/// probability; and the other codes.
static TEXTS: LazyLock<Vec<(String, String)>> = LazyLock::new(|| {
    let table = SizeTable::shipped();
    let rings = table.rings().iter().map(|ring| {
        let mut codes = table.codes(ring).into_iter();
        let front = format!(
            "{},{},{}",
            quoted(&codes.next().unwrap_or_default()),
            ring.id.nominal.mm_rounded(),
            ring.section.nominal.mm_rounded()
        );
        (front, quoted(&codes.collect::<Vec<_>>().join("; ")))
    });
    rings.collect()
});

/// Writes a text as one field of CSV (RFC 4180), hidden characters as their codes.
fn quoted(text: &str) -> String {
    let text = &visible_page(text);
    if computes(text) && text.parse::<f64>().is_err() {
        return quoted(&format!("'{text}"));
    }
    if text.contains(['"', ',', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

/// Names rows one after the other.
#[derive(Debug)]
pub struct BatchNamer<'n> {
    namer: &'n RingNamer,
    identifier: Identifier<'n>,
    header: &'n BatchHeader,
    top: usize,
}

impl<'n> BatchNamer<'n> {
    /// Makes a namer that gives at most `top` rings a row.
    pub fn new(namer: &'n RingNamer, header: &'n BatchHeader, top: usize) -> Self {
        Self {
            namer,
            identifier: Identifier::new(namer.candidates()),
            header,
            top,
        }
    }

    /// Names the ring of one row and writes its lines of [`OUT_COLUMNS`], or one line that says why it cannot be used.
    ///
    /// # Errors
    /// Returns why the row cannot be used; its line is written then too.
    pub fn name_row(&mut self, row: &BatchRow, out: &mut Vec<u8>) -> Result<(), BatchError> {
        use std::io::Write as _;
        let case = self.header.field(row, CASE);
        match evidence_of(self.namer, self.header, row) {
            Ok(evidence) => {
                let found = self.identifier.identify(&evidence);
                self.write(case, &found, out);
                Ok(())
            }
            Err(error) => {
                let (case, words) = (quoted(case), quoted(&visible(&error.to_string())));
                // Writing into memory does not fail.
                let _ = writeln!(out, "{case},,,,,,,{words}");
                Err(error)
            }
        }
    }

    fn write(&self, case: &str, found: &Identification, out: &mut Vec<u8>) {
        use std::io::Write as _;
        let case = quoted(case);
        for (place, ranked) in found.ranked.iter().take(self.top).enumerate() {
            let (front, others) = &TEXTS[ranked.ring];
            let (rank, odds) = (place + 1, ranked.probability);
            // Writing into memory does not fail.
            let _ = writeln!(out, "{case},{rank},{front},{odds:.6},{others},");
        }
    }
}

fn evidence_of(
    namer: &RingNamer,
    header: &BatchHeader,
    row: &BatchRow,
) -> Result<Evidence, BatchError> {
    if !row.is_text {
        return Err(BatchError::NoText { line: row.line });
    }
    if row.record.len() != header.fields {
        return Err(BatchError::Fields {
            line: row.line,
            found: row.record.len(),
            wanted: header.fields,
        });
    }
    let wrong = |column: usize, message: String| BatchError::Row {
        line: row.line,
        column: COLUMNS[column],
        message,
    };
    let condition = match header.field(row, CONDITION) {
        "" => Condition::default(),
        word => condition_of(word).ok_or_else(|| {
            wrong(
                CONDITION,
                format!("{word:?} is not a condition: write new, used or rough"),
            )
        })?,
    };
    let polymer = match header.field(row, POLYMER) {
        "" => None,
        word => Some(Polymer::from_word(word).ok_or_else(|| {
            wrong(
                POLYMER,
                format!("{word:?} is not a polymer: write letters such as NBR or FKM"),
            )
        })?),
    };
    let mut readings = Vec::with_capacity(READINGS.len());
    for columns in &READINGS {
        let value = header.field(row, columns.value);
        if value.is_empty() {
            continue;
        }
        let method = columns.method.map_or("", |at| header.field(row, at));
        readings.push(
            read_cell(columns.measurand, value, method).map_err(|m| wrong(columns.value, m))?,
        );
    }
    let instruments = namer.instruments_for(&readings);
    Evidence::new(&readings, condition, polymer, &instruments)
        .map_err(|error| wrong(CASE, error.to_string()))
}

/// Reads the plain decimals that nearly every cell holds; whatever else may be meant is left to the reader of lengths.
fn plain_number(text: &str) -> Option<f64> {
    const MOST_DIGITS: usize = 9;
    let plain = text.len() <= MOST_DIGITS
        && text.bytes().all(|b| b.is_ascii_digit() || b == b'.')
        && text.as_bytes()[0].is_ascii_digit();
    if plain { text.parse().ok() } else { None }
}

fn read_cell(measurand: Measurand, value: &str, method: &str) -> Result<Reading, String> {
    let mut reading = match plain_number(value) {
        Some(number) => Reading {
            measurand,
            values: vec![number],
            method: String::new(),
            typed: value.to_owned(),
        },
        None => read_text(measurand, value)?,
    };
    reading.method = method.to_lowercase();
    Ok(reading)
}

fn read_text(measurand: Measurand, value: &str) -> Result<Reading, String> {
    let text = if measurand == Measurand::Mass {
        format!("{value} g")
    } else {
        value.to_owned()
    };
    Reading::parse(measurand, &text, Some(LengthUnit::Mm)).map_err(|error| error.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_cells_read_as_the_reader_of_lengths_reads_them() {
        for text in ["12.85", "1.78", "3", "0.5", "59.244", "100.25"] {
            let slow = read_text(Measurand::Od, text).expect("reads").values;
            assert_eq!(plain_number(text).map(|v| vec![v]), Some(slow), "{text}");
        }
        for text in ["1/2 in", "12,85", ".5", "1e3", "-3", "12.8 12.9", "1.2.3"] {
            assert_eq!(plain_number(text), None, "{text}");
        }
    }

    #[test]
    fn fields_with_commas_and_quotes_are_quoted() {
        assert_eq!(quoted("a, \"b\""), "\"a, \"\"b\"\"\"");
        assert_eq!(quoted("tray 4"), "tray 4");
        assert_eq!(quoted("\u{1b}[2J"), "\\u{1b}[2J");
    }
}
