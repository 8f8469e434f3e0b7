//! How values of the program become values of SQLite and come back.

use crate::core::quantity::{
    Angle, Dimension, Length, Pressure, PressureReference, PressureUnit, Typed,
};
use rusqlite::Row;
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSql, ToSqlOutput, ValueRef};
use serde::Serialize;
use serde::de::DeserializeOwned;

/// Carries a word of a fixed list, or a date, written as the program's machine output writes it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Word<T>(pub(super) T);

impl<T: Serialize> ToSql for Word<T> {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        match serde_json::to_value(&self.0) {
            Ok(serde_json::Value::String(word)) => Ok(ToSqlOutput::from(word)),
            Ok(other) => Err(rusqlite::Error::ToSqlConversionFailure(
                format!("{other} is no word").into(),
            )),
            Err(error) => Err(rusqlite::Error::ToSqlConversionFailure(error.into())),
        }
    }
}

impl<T: DeserializeOwned> FromSql for Word<T> {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        let word = value.as_str()?;
        serde_json::from_value(serde_json::Value::from(word))
            .map(Self)
            .map_err(|error| FromSqlError::Other(error.into()))
    }
}

/// Reads a column that holds a word or nothing.
pub(super) fn optional_word<T: DeserializeOwned>(
    row: &Row<'_>,
    column: &str,
) -> rusqlite::Result<Option<T>> {
    Ok(row.get::<_, Option<Word<T>>>(column)?.map(|word| word.0))
}

/// Puts a value beside what was typed, where both columns hold something.
pub(super) fn typed<T>(value: Option<T>, text: Option<String>) -> Option<Typed<T>> {
    Some(Typed {
        value: value?,
        text: text?,
    })
}

/// Reads the columns `<name>_pa`, `<name>_reference` and `<name>_typed` of a pressure.
pub(super) fn pressure_of(row: &Row<'_>, name: &str) -> rusqlite::Result<Option<Typed<Pressure>>> {
    let pascals: Option<f64> = row.get(format!("{name}_pa").as_str())?;
    let reference = optional_word(row, &format!("{name}_reference"))?;
    let text = row.get(format!("{name}_typed").as_str())?;
    let value = match (pascals, reference) {
        (Some(pascals), Some(PressureReference::Gauge)) => {
            Pressure::gauge(pascals, PressureUnit::Pa)
        }
        (Some(pascals), Some(PressureReference::Absolute)) => {
            Pressure::absolute(pascals, PressureUnit::Pa)
        }
        _ => None,
    };
    Ok(typed(value, text))
}

/// Reads the columns `angle_deg` and `angle_typed`.
pub(super) fn angle_of(row: &Row<'_>) -> rusqlite::Result<Option<Typed<Angle>>> {
    let degrees: Option<f64> = row.get("angle_deg")?;
    let value = degrees.and_then(Angle::from_degrees);
    Ok(typed(value, row.get("angle_typed")?))
}

/// Returns a pressure in pascals, counted from its own reference.
pub(super) fn pascals(pressure: Pressure) -> f64 {
    match pressure.reference {
        PressureReference::Gauge => pressure.gauge_in(PressureUnit::Pa),
        PressureReference::Absolute => pressure.absolute_in(PressureUnit::Pa),
    }
}

/// Reads the columns `nominal_nm`, `plus_nm` and `minus_nm`.
pub(super) fn dimension_of(row: &Row<'_>) -> rusqlite::Result<Dimension> {
    let length = |column: &str| row.get(column).map(Length::from_nm);
    Ok(Dimension {
        nominal: length("nominal_nm")?,
        plus: length("plus_nm")?,
        minus: length("minus_nm")?,
    })
}
