//! Whether the records of jobs are as they were written.

use super::book::BookReader;
use super::error::StoreError;
use super::job_head::{HEAD_GUARDS, head_faults, keeps_heads};
use super::record::rows;
use crate::core::job::{EntryWords, JobWords, entry_seal, job_seal};
use rusqlite::types::ValueRef;
use rusqlite::{Connection, Row};

/// The triggers that keep records from being changed.
const GUARDS: [&str; 6] = [
    "job_is_never_changed",
    "job_is_never_removed",
    "job_entry_is_never_changed",
    "job_entry_is_never_removed",
    "job_entry_follows_the_last",
    "job_closed_takes_corrections_only",
];

/// Lists what is not as it was written, in words; a book from before the records of jobs has none.
///
/// Every seal is formed anew from the bytes that stand in the file; the first entry of a record that does not fit is
/// named, because those after it rest on it.
pub(super) fn job_faults(sql: &Connection) -> Vec<String> {
    let tables: i64 = sql
        .query_row(
            "SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name IN ('job', 'job_entry')",
            [],
            |row| row.get(0),
        )
        .unwrap_or(0);
    if tables < 2 {
        return Vec::new();
    }
    let of_heads: &[&str] = if keeps_heads(sql) { &HEAD_GUARDS } else { &[] };
    let mut faults: Vec<String> = GUARDS
        .iter()
        .chain(of_heads)
        .filter(|guard| !has_guard(sql, guard))
        .map(|guard| {
            format!(
                "the guard {guard} of the job records is gone: somebody took it out of the file"
            )
        })
        .collect();
    match records(sql).and_then(|mut found| {
        found.extend(head_faults(sql)?);
        Ok(found)
    }) {
        Ok(found) => faults.extend(found),
        Err(error) => faults.push(format!("the records of jobs cannot be read: {error}")),
    }
    faults
}

fn has_guard(sql: &Connection, guard: &str) -> bool {
    sql.query_row(
        "SELECT 1 FROM sqlite_schema WHERE type = 'trigger' AND name = ?1",
        [guard],
        |_| Ok(()),
    )
    .is_ok()
}

fn bytes(value: ValueRef<'_>) -> Vec<u8> {
    match value {
        ValueRef::Text(text) | ValueRef::Blob(text) => text.to_vec(),
        ValueRef::Integer(number) => number.to_string().into_bytes(),
        ValueRef::Real(number) => number.to_string().into_bytes(),
        ValueRef::Null => Vec::new(),
    }
}

fn shown(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// A job's own row as its bytes stand in the file.
struct JobRow {
    number: i64,
    unit: i64,
    model: Vec<u8>,
    serial: Vec<u8>,
    opened_at: Vec<u8>,
}

impl JobRow {
    fn of(row: &Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self {
            number: row.get(0)?,
            unit: row.get(1)?,
            model: bytes(row.get_ref(2)?),
            serial: bytes(row.get_ref(3)?),
            opened_at: bytes(row.get_ref(4)?),
        })
    }

    /// Says what of the record is not as it was written, with the record's name.
    fn fault(&self, sql: &Connection) -> Option<String> {
        let seal = job_seal(&JobWords {
            number: self.number,
            unit: self.unit,
            model: &self.model,
            serial: &self.serial,
            opened_at: &self.opened_at,
        });
        let name = format!(
            "record of job {} ({} {})",
            self.number,
            shown(&self.model),
            shown(&self.serial)
        );
        match record_fault(sql, self.number, &seal) {
            Ok(fault) => fault.map(|fault| format!("{name}: {fault}")),
            Err(error) => Some(format!("{name} cannot be read: {error}")),
        }
    }
}

impl BookReader<'_> {
    /// Says what of the record of one job is not as it was written; `None` where its seals fit.
    pub fn job_fault(&self, number: i64) -> Result<Option<String>, StoreError> {
        let row = self.first(
            "SELECT id, unit_id, model, serial, opened_at FROM job WHERE id = ?1",
            &[&number],
            JobRow::of,
        )?;
        Ok(row.and_then(|row| row.fault(self.sql)))
    }
}

fn records(sql: &Connection) -> rusqlite::Result<Vec<String>> {
    let jobs = "SELECT id, unit_id, model, serial, opened_at FROM job ORDER BY id";
    let jobs = rows(sql, jobs, &[], JobRow::of)?.into_iter();
    let mut faults: Vec<String> = jobs.filter_map(|job| job.fault(sql)).collect();
    let orphans: i64 = sql.query_row(
        "SELECT count(*) FROM job_entry WHERE job_id NOT IN (SELECT id FROM job)",
        [],
        |row| row.get(0),
    )?;
    if orphans > 0 {
        faults.push(format!("{orphans} entries of records belong to no job: the job's own row was changed or removed"));
    }
    Ok(faults)
}

fn record_fault(sql: &Connection, job: i64, first: &str) -> rusqlite::Result<Option<String>> {
    let mut entries = sql.prepare(
        "SELECT place, added_at, person, kind, body, hash FROM job_entry WHERE job_id = ?1 ORDER BY place",
    )?;
    let mut rows = entries.query([job])?;
    let mut before = first.as_bytes().to_vec();
    let mut expected = 0_i64;
    while let Some(row) = rows.next()? {
        expected += 1;
        let place: i64 = row.get(0)?;
        if place != expected {
            return Ok(Some(format!("entry {expected} is gone")));
        }
        let fields = (1..=4)
            .map(|column| Ok(bytes(row.get_ref(column)?)))
            .collect::<rusqlite::Result<Vec<Vec<u8>>>>()?;
        let stored = bytes(row.get_ref(5)?);
        let seal = entry_seal(
            &before,
            &EntryWords {
                place,
                added_at: &fields[0],
                person: &fields[1],
                kind: &fields[2],
                body: &fields[3],
            },
        );
        if seal.as_bytes() != stored {
            return Ok(Some(format!(
                "entry {place} ({}, by {}, {}) or the job's own row was changed after it was written: its seal does not fit",
                shown(&fields[2]),
                shown(&fields[1]),
                shown(&fields[0])
            )));
        }
        before = stored;
    }
    Ok((expected == 0).then(|| "it has no entries: they were removed".to_owned()))
}
