//! Names many rings from a CSV table, row by row.

use super::identify::RingNamer;
use crate::core::elastomer::Polymer;
use crate::core::identification::{Evidence, Identification, identify_only};
use crate::core::measurement::{Condition, Measurand, Reading};
use crate::core::quantity::LengthUnit;
use crate::core::sizes::SizeTable;

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

/// The columns that are written.
pub const OUT_COLUMNS: [&str; 7] = [
    "case",
    "rank",
    "code",
    "id_mm",
    "cs_mm",
    "probability",
    "other_codes",
];

/// Says which row of a batch is wrong, and what is wrong with it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum BatchError {
    /// A column is missing or unknown.
    #[error("line 1: {0}")]
    Header(String),
    /// A row cannot be used.
    #[error("line {line}, {column}: {message}")]
    Row {
        /// Line of the file.
        line: u64,
        /// Name of the column.
        column: &'static str,
        /// What is wrong and what to write.
        message: String,
    },
}

/// Holds where each known column stands.
#[derive(Debug, Clone)]
pub struct BatchHeader {
    places: [Option<usize>; COLUMNS.len()],
}

/// Holds one row as text, with its line in the file.
#[derive(Debug, Clone)]
pub struct BatchRow {
    /// Line of the file.
    pub line: u64,
    /// The fields.
    pub record: csv::StringRecord,
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
        let header = Self { places };
        let measures = READINGS.iter().any(|r| header.place(r.value).is_some());
        if !measures {
            return Err(BatchError::Header(
                "no column holds a measurement: give id_mm, od_mm, cs_mm, width_mm, cut_length_mm or mass_g"
                    .to_owned(),
            ));
        }
        Ok(header)
    }

    fn place(&self, column: &str) -> Option<usize> {
        let at = COLUMNS.iter().position(|c| *c == column)?;
        self.places[at]
    }

    fn field<'r>(&self, row: &'r BatchRow, column: &str) -> &'r str {
        self.place(column)
            .and_then(|at| row.record.get(at))
            .map_or("", str::trim)
    }
}

struct ReadingColumns {
    measurand: Measurand,
    value: &'static str,
    method: &'static str,
}

const fn columns(
    measurand: Measurand,
    value: &'static str,
    method: &'static str,
) -> ReadingColumns {
    ReadingColumns {
        measurand,
        value,
        method,
    }
}

const READINGS: [ReadingColumns; 6] = [
    columns(Measurand::Id, "id_mm", "id_method"),
    columns(Measurand::Od, "od_mm", "od_method"),
    columns(Measurand::Cs, "cs_mm", "cs_method"),
    columns(Measurand::Width, "width_mm", "width_method"),
    columns(Measurand::CutLength, "cut_length_mm", ""),
    columns(Measurand::Mass, "mass_g", ""),
];

/// Names the ring of one row. Returns at most `top` lines of [`OUT_COLUMNS`].
///
/// # Errors
/// Names line and column of what cannot be used.
pub fn name_row(
    namer: &RingNamer,
    header: &BatchHeader,
    row: &BatchRow,
    top: usize,
) -> Result<Vec<[String; 7]>, BatchError> {
    let evidence = evidence_of(namer, header, row)?;
    let found = identify_only(&evidence, namer.candidates());
    Ok(lines(header.field(row, "case"), &found, top))
}

fn evidence_of(
    namer: &RingNamer,
    header: &BatchHeader,
    row: &BatchRow,
) -> Result<Evidence, BatchError> {
    let wrong = |column: &'static str, message: String| BatchError::Row {
        line: row.line,
        column,
        message,
    };
    let condition = match header.field(row, "condition") {
        "" => Condition::default(),
        word => Condition::from_word(word).ok_or_else(|| {
            wrong(
                "condition",
                format!("{word:?} is no condition: write new, used or rough"),
            )
        })?,
    };
    let polymer = match header.field(row, "polymer") {
        "" => None,
        word => Some(Polymer::from_word(word).ok_or_else(|| {
            wrong(
                "polymer",
                format!("{word:?} is no polymer: write letters such as NBR or FKM"),
            )
        })?),
    };
    let mut readings = Vec::new();
    for columns in &READINGS {
        let value = header.field(row, columns.value);
        if value.is_empty() {
            continue;
        }
        readings.push(
            read_cell(columns, value, header.field(row, columns.method))
                .map_err(|m| wrong(columns.value, m))?,
        );
    }
    let instruments = namer.instruments_for(&readings);
    Evidence::new(&readings, condition, polymer, &instruments)
        .map_err(|error| wrong("case", error.to_string()))
}

fn read_cell(columns: &ReadingColumns, value: &str, method: &str) -> Result<Reading, String> {
    let text = if columns.measurand == Measurand::Mass {
        format!("{value} g")
    } else {
        value.to_owned()
    };
    let mut reading = Reading::parse(columns.measurand, &text, Some(LengthUnit::Mm))
        .map_err(|error| error.to_string())?;
    reading.method = method.to_lowercase();
    Ok(reading)
}

fn lines(case: &str, found: &Identification, top: usize) -> Vec<[String; 7]> {
    let table = SizeTable::shipped();
    found
        .ranked
        .iter()
        .take(top)
        .enumerate()
        .map(|(place, ranked)| {
            let ring = &table.rings()[ranked.ring];
            let mut codes = table.codes(ring).into_iter();
            [
                case.to_owned(),
                (place + 1).to_string(),
                codes.next().unwrap_or_default(),
                ring.id.nominal.mm_rounded().to_string(),
                ring.section.nominal.mm_rounded().to_string(),
                format!("{:.6}", ranked.probability),
                codes.collect::<Vec<_>>().join("; "),
            ]
        })
        .collect()
}
