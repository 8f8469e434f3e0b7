//! How many jobs there are, and where each record ends: kept apart from the records, so that what is taken away is missed.
//!
//! The heads are written in the transaction of the entry. Not found is a chain written anew, with its head, by somebody
//! who knows how: the seal on the printed record and the figures that `book check` prints, written down elsewhere, tell
//! that. It is no signature.

use super::book::BookWriter;
use super::error::StoreError;
use super::migration::keeps_job_heads;
use super::record::rows;
use crate::core::job::hex;
use rusqlite::{Connection, OptionalExtension};
use serde::Serialize;
use sha2::{Digest, Sha256};

/// The triggers that keep counts and heads from being set back.
pub(super) const HEAD_GUARDS: [&str; 4] = [
    "job_count_is_never_removed",
    "job_count_only_grows",
    "job_head_is_never_removed",
    "job_head_only_grows",
];

/// Hexadecimal digits of the seal that a person writes down: 80 bits.
const FIGURE_DIGITS: usize = 20;

/// What the job records come to, to be written down outside the book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct JobFigures {
    /// Jobs that were ever opened.
    pub jobs: i64,
    /// Entries of all of them.
    pub entries: i64,
    /// The first twenty hexadecimal digits of SHA-256 over number, entries and last seal of each job, in their order.
    pub seal: String,
}

/// Where the record of one job ends.
struct Head {
    job: i64,
    entries: i64,
    seal: String,
}

impl BookWriter<'_> {
    /// Counts a job that was opened.
    pub(super) fn count_job(&self) -> Result<(), StoreError> {
        self.change("UPDATE job_count SET jobs = jobs + 1", &[])
    }

    /// Keeps where a record ends now; the book refuses it where entries were taken away since the last time.
    pub(super) fn keep_head(&self, job: i64, entries: i64, seal: &str) -> Result<(), StoreError> {
        self.change(
            "INSERT INTO job_head (job_id, entries, seal) VALUES (?1, ?2, ?3)
             ON CONFLICT (job_id) DO UPDATE SET entries = excluded.entries, seal = excluded.seal",
            &[&job, &entries, &seal],
        )
    }
}

/// Tells whether a book is of a version that keeps heads.
pub(super) fn keeps_heads(sql: &Connection) -> bool {
    let version: rusqlite::Result<u32> =
        sql.pragma_query_value(None, "user_version", |row| row.get(0));
    version.is_ok_and(keeps_job_heads)
}

/// Returns what the records come to by the heads; `None` where the book keeps none or they cannot be read.
pub(super) fn figures(sql: &Connection) -> Option<JobFigures> {
    if !keeps_heads(sql) {
        return None;
    }
    let heads = heads(sql).ok()?;
    let jobs = counted(sql).ok()??;
    let mut hash = Sha256::new();
    for head in &heads {
        hash.update(format!("{} {} {}\n", head.job, head.entries, head.seal));
    }
    let mut seal = hex(&hash.finalize());
    seal.truncate(FIGURE_DIGITS);
    Some(JobFigures {
        jobs,
        entries: heads.iter().map(|head| head.entries).sum(),
        seal,
    })
}

/// Lists where records do not end as their heads say, in words; a book from before the heads has none.
pub(super) fn head_faults(sql: &Connection) -> rusqlite::Result<Vec<String>> {
    if !keeps_heads(sql) {
        return Ok(Vec::new());
    }
    let mut faults = Vec::new();
    let present: i64 = sql.query_row("SELECT count(*) FROM job", [], |row| row.get(0))?;
    match counted(sql)? {
        None => faults.push("the count of jobs is gone".to_owned()),
        Some(opened) if opened != present => faults.push(format!(
            "{opened} jobs were opened and {present} are there: whole jobs were removed or brought in"
        )),
        Some(_) => {}
    }
    for head in heads(sql)? {
        faults.extend(head.fault(sql)?);
    }
    let without = "SELECT id FROM job WHERE id NOT IN (SELECT job_id FROM job_head) ORDER BY id";
    for job in rows(sql, without, &[], |row| row.get::<_, i64>(0))? {
        faults.push(format!(
            "record of job {job}: where it ends is not kept, so that nothing tells whether entries were removed"
        ));
    }
    Ok(faults)
}

fn counted(sql: &Connection) -> rusqlite::Result<Option<i64>> {
    sql.query_row("SELECT jobs FROM job_count", [], |row| row.get(0))
        .optional()
}

fn heads(sql: &Connection) -> rusqlite::Result<Vec<Head>> {
    let all = "SELECT job_id, entries, seal FROM job_head ORDER BY job_id";
    rows(sql, all, &[], |row| {
        Ok(Head {
            job: row.get(0)?,
            entries: row.get(1)?,
            seal: row.get(2)?,
        })
    })
}

impl Head {
    /// Says in what the record does not end as it was written.
    fn fault(&self, sql: &Connection) -> rusqlite::Result<Option<String>> {
        let Self { job, entries, seal } = self;
        let there: bool = sql.query_row(
            "SELECT EXISTS (SELECT 1 FROM job WHERE id = ?1)",
            [job],
            |row| row.get(0),
        )?;
        let last: Option<i64> = sql.query_row(
            "SELECT max(place) FROM job_entry WHERE job_id = ?1",
            [job],
            |row| row.get(0),
        )?;
        let last = last.unwrap_or(0);
        let stands: Option<String> = sql
            .query_row(
                "SELECT hash FROM job_entry WHERE job_id = ?1 AND place = ?2",
                [job, entries],
                |row| row.get(0),
            )
            .optional()?;
        Ok(if !there {
            Some(format!(
                "job {job} is gone: its record had entries to {entries}, and the last seal {seal}"
            ))
        } else if last < *entries {
            Some(format!(
                "record of job {job}: entries behind {last} are gone: it had entries to {entries}, and the last seal {seal}"
            ))
        } else if last > *entries {
            Some(format!(
                "record of job {job}: entries behind {entries} were not added by this program"
            ))
        } else if stands.as_deref() != Some(seal) {
            Some(format!(
                "record of job {job}: the seal of entry {entries} is not the one that was kept apart, {seal}"
            ))
        } else {
            None
        })
    }
}
