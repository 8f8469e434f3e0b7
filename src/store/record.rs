//! Rows and records: how values of the program become values of SQLite and come back.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSqlOutput, Type, ValueRef};
use rusqlite::{Connection, Row, ToSql};
use serde::Serialize;
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
}

impl BookWriter<'_> {
    /// Adds a row, each value under the name of its column with a colon before it.
    pub(super) fn insert(&self, table: &str, row: &[(&str, &dyn ToSql)]) -> Result<(), StoreError> {
        let marks: Vec<&str> = row.iter().map(|(mark, _)| *mark).collect();
        let marks = marks.join(", ");
        let columns = marks.replace(':', "");
        let sql = format!("INSERT INTO {table} ({columns}) VALUES ({marks})");
        let run = || self.sql.prepare_cached(&sql)?.execute(row).map(drop);
        run().map_err(|error| self.fault(error))
    }
}

/// Reads every row of a query.
pub(super) fn rows<T>(
    sql: &Connection,
    query: &str,
    values: &[&dyn ToSql],
    row: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
) -> rusqlite::Result<Vec<T>> {
    sql.prepare_cached(query)?.query_map(values, row)?.collect()
}

/// Reads a row of one column that holds a value as JSON.
pub(super) fn body<T: DeserializeOwned>(row: &Row<'_>) -> rusqlite::Result<T> {
    row.get::<_, Json<T>>(0).map(|body| body.0)
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
    for (place, column) in row.as_ref().column_names().enumerate() {
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

/// Carries a value that is kept whole, as JSON.
#[derive(Debug, Clone, Copy)]
pub(super) struct Json<T>(pub(super) T);

impl<T: Serialize> ToSql for Json<T> {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        let text = serde_json::to_string(&self.0);
        text.map(ToSqlOutput::from)
            .map_err(|error| rusqlite::Error::ToSqlConversionFailure(error.into()))
    }
}

impl<T: DeserializeOwned> FromSql for Json<T> {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        serde_json::from_str(value.as_str()?)
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
