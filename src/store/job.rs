//! Jobs: records that are only added to.

use super::book::{BookReader, BookWriter};
use super::error::StoreError;
use super::id::UnitId;
use crate::core::job::{
    EntryWords, JobEntry, JobRecord, JobWords, SealedEntry, entry_seal, job_seal,
};

/// A job to be opened.
#[derive(Debug, Clone, Copy)]
pub struct NewJob<'j> {
    pub unit: UnitId,
    /// Its model in words.
    pub model: &'j str,
    /// Its serial number.
    pub serial: &'j str,
    /// When, ISO 8601.
    pub opened_at: &'j str,
}

impl BookReader<'_> {
    /// Lists all records, oldest first.
    pub fn jobs(&self) -> Result<Vec<JobRecord>, StoreError> {
        let records = self.records(
            "SELECT id AS number, model, serial, opened_at FROM job ORDER BY id",
            &[],
        )?;
        let records = records.into_iter();
        records.map(|record| self.with_entries(record)).collect()
    }

    /// Finds the record of a job.
    pub fn job(&self, number: i64) -> Result<Option<JobRecord>, StoreError> {
        let record = self.record(
            "SELECT id AS number, model, serial, opened_at FROM job WHERE id = ?1",
            &[&number],
        )?;
        record.map(|record| self.with_entries(record)).transpose()
    }

    /// Returns the unit of a job.
    pub fn unit_of_job(&self, number: i64) -> Result<Option<UnitId>, StoreError> {
        self.first("SELECT unit_id FROM job WHERE id = ?1", &[&number], |row| {
            row.get(0)
        })
    }

    /// Lists the jobs on a unit whose records are not closed, oldest first.
    pub fn open_jobs(&self, unit: UnitId) -> Result<Vec<i64>, StoreError> {
        self.list(
            "SELECT id FROM job WHERE unit_id = ?1
             AND NOT EXISTS (SELECT 1 FROM job_entry e WHERE e.job_id = job.id AND e.kind = 'close') ORDER BY id",
            &[&unit],
            |row| row.get(0),
        )
    }

    /// Lists the jobs whose records are not closed, oldest first.
    pub fn all_open_jobs(&self) -> Result<Vec<i64>, StoreError> {
        self.list(
            "SELECT id FROM job WHERE NOT EXISTS
             (SELECT 1 FROM job_entry e WHERE e.job_id = job.id AND e.kind = 'close') ORDER BY id",
            &[],
            |row| row.get(0),
        )
    }

    /// Lists the jobs that have an entry of the kind, the one that was written to last first.
    pub fn jobs_saying(&self, kind: &str) -> Result<Vec<i64>, StoreError> {
        self.list(
            "SELECT job_id FROM job_entry WHERE kind = ?1 GROUP BY job_id ORDER BY max(added_at) DESC, job_id DESC",
            &[&kind],
            |row| row.get(0),
        )
    }

    fn with_entries(&self, mut record: JobRecord) -> Result<JobRecord, StoreError> {
        let rows: Vec<(u32, String, String, String, String)> = self.list(
            "SELECT place, added_at, person, body, hash FROM job_entry WHERE job_id = ?1 ORDER BY place",
            &[&record.number],
            |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?, row.get(4)?)),
        )?;
        for (place, added_at, person, body, seal) in rows {
            let entry: JobEntry = serde_json::from_str(&body)
                .map_err(|error| self.bad_row("job entry", error.to_string()))?;
            record.entries.push(SealedEntry {
                place,
                added_at,
                person,
                entry,
                seal,
            });
        }
        Ok(record)
    }
}

impl BookWriter<'_> {
    /// Opens a job and returns its number.
    pub fn add_job(&self, new: &NewJob<'_>) -> Result<i64, StoreError> {
        self.change(
            "INSERT INTO job (unit_id, model, serial, opened_at) VALUES (?1, ?2, ?3, ?4)",
            &[&new.unit, &new.model, &new.serial, &new.opened_at],
        )?;
        let number = self.sql.last_insert_rowid();
        self.count_job()?;
        Ok(number)
    }

    /// Adds an entry to the record of a job, sealed to the one before.
    ///
    /// # Errors
    /// Fails where the book cannot be written; the book itself refuses all but corrections in a closed record, and everything in
    /// one of which entries were taken away.
    pub fn add_job_entry(
        &self,
        job: i64,
        person: &str,
        added_at: &str,
        entry: &JobEntry,
    ) -> Result<(), StoreError> {
        let last: Option<(i64, String)> = self.first(
            "SELECT place, hash FROM job_entry WHERE job_id = ?1 ORDER BY place DESC LIMIT 1",
            &[&job],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )?;
        let (place, before) = match last {
            Some((place, seal)) => (place + 1, seal),
            None => (1, self.first_seal(job)?),
        };
        let body = serde_json::to_string(entry)
            .map_err(|error| self.bad_row("job entry", error.to_string()))?;
        let seal = entry_seal(
            before.as_bytes(),
            &EntryWords {
                place,
                added_at: added_at.as_bytes(),
                person: person.as_bytes(),
                kind: entry.kind().as_bytes(),
                body: body.as_bytes(),
            },
        );
        self.change(
            "INSERT INTO job_entry (job_id, place, added_at, person, kind, body, hash)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            &[
                &job,
                &place,
                &added_at,
                &person,
                &entry.kind(),
                &body,
                &seal,
            ],
        )?;
        self.keep_head(job, place, &seal)
    }

    fn first_seal(&self, job: i64) -> Result<String, StoreError> {
        let seal = self.first(
            "SELECT unit_id, model, serial, opened_at FROM job WHERE id = ?1",
            &[&job],
            |row| {
                let (model, serial, opened): (String, String, String) =
                    (row.get(1)?, row.get(2)?, row.get(3)?);
                Ok(job_seal(&JobWords {
                    number: job,
                    unit: row.get(0)?,
                    model: model.as_bytes(),
                    serial: serial.as_bytes(),
                    opened_at: opened.as_bytes(),
                }))
            },
        )?;
        seal.ok_or_else(|| self.bad_row("job", format!("there is no job {job}")))
    }
}
