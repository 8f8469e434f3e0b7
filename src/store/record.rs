//! Rows as records: every column goes to the field of its name.
//!
//! A query names its columns as the struct names its fields. Columns that share a name ending in `[]` become one list,
//! null where one of them is null; a column whose name ends in `{}` holds JSON. What does not fit the struct is a
//! row that the book must not hold, and is reported as one.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use rusqlite::types::{Type, ValueRef};
use rusqlite::{Row, ToSql};
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};

impl BookReader<'_> {
    /// Reads every row of a query as a record.
    pub(super) fn records<T: DeserializeOwned>(
        &self,
        sql: &str,
        values: &[&dyn ToSql],
    ) -> Result<Vec<T>, StoreError> {
        self.list(sql, values, record)
    }

    /// Reads the first row of a query as a record, where it has one.
    pub(super) fn record<T: DeserializeOwned>(
        &self,
        sql: &str,
        values: &[&dyn ToSql],
    ) -> Result<Option<T>, StoreError> {
        self.first(sql, values, record)
    }

    /// Reads rows of one column that holds a record as JSON.
    pub(super) fn bodies<T: DeserializeOwned>(
        &self,
        sql: &str,
        values: &[&dyn ToSql],
    ) -> Result<Vec<T>, StoreError> {
        self.list(sql, values, |row| {
            serde_json::from_str(row.get_ref(0)?.as_str()?).map_err(misfit)
        })
    }
}

impl BookWriter<'_> {
    /// Adds a row, each value under the name of its column with a colon before it, and returns its number.
    pub(super) fn insert(
        &self,
        table: &str,
        row: &[(&str, &dyn ToSql)],
    ) -> Result<i64, StoreError> {
        let marks: Vec<&str> = row.iter().map(|(mark, _)| *mark).collect();
        let marks = marks.join(", ");
        let columns = marks.replace(':', "");
        let sql = format!("INSERT INTO {table} ({columns}) VALUES ({marks})");
        let run = || self.sql.prepare_cached(&sql)?.insert(row);
        run().map_err(|error| self.fault(error))
    }
}

/// Reads one row as a record.
fn record<T: DeserializeOwned>(row: &Row<'_>) -> rusqlite::Result<T> {
    become_record(fields(row)?)
}

/// Makes a record of fields.
pub(super) fn become_record<T: DeserializeOwned>(
    fields: Map<String, Value>,
) -> rusqlite::Result<T> {
    serde_json::from_value(Value::Object(fields)).map_err(misfit)
}

/// Reads the fields of one row.
pub(super) fn fields(row: &Row<'_>) -> rusqlite::Result<Map<String, Value>> {
    let mut fields = Map::new();
    for (place, column) in row.as_ref().column_names().into_iter().enumerate() {
        let value = match row.get_ref(place)? {
            ValueRef::Null => Value::Null,
            ValueRef::Integer(number) => number.into(),
            ValueRef::Real(number) => number.into(),
            ValueRef::Text(_) if column.ends_with("{}") => {
                serde_json::from_str(row.get_ref(place)?.as_str()?).map_err(misfit)?
            }
            ValueRef::Text(_) => row.get_ref(place)?.as_str()?.into(),
            ValueRef::Blob(_) => return Err(misfit("bytes where a word is kept")),
        };
        match column.strip_suffix("[]") {
            None => {
                fields.insert(column.trim_end_matches("{}").to_owned(), value);
            }
            Some(name) => match fields
                .entry(name)
                .or_insert_with(|| Vec::<Value>::new().into())
            {
                Value::Array(list) if !value.is_null() => list.push(value),
                list => *list = Value::Null,
            },
        }
    }
    Ok(fields)
}

fn misfit(error: impl Into<Box<dyn std::error::Error + Send + Sync>>) -> rusqlite::Error {
    rusqlite::Error::FromSqlConversionFailure(0, Type::Text, error.into())
}
