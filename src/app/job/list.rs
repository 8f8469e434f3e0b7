//! The list of jobs.

use super::{JobDesk, JobError};
use crate::core::job::{JobRecord, JobStanding, PlaceList, UnitState};
use crate::core::quantity::Date;
use crate::store::Book;
use serde::Serialize;

/// One line of the list of jobs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JobLine {
    /// Its number.
    pub job: i64,
    pub model: String,
    pub serial: String,
    pub opened_at: String,
    pub entries: usize,
    pub standing: JobStanding,
    /// When it is due again.
    pub due: Option<Date>,
}

/// The list of jobs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JobList {
    /// Jobs, oldest first.
    pub jobs: Vec<JobLine>,
}

impl JobDesk<'_> {
    /// Lists the jobs.
    pub fn list(&self) -> Result<JobList, JobError> {
        Book::open_to_read(self.book)?.read(|book| {
            let records = book.jobs()?;
            Ok(JobList {
                jobs: records.iter().map(line_of).collect(),
            })
        })
    }
}

fn line_of(record: &JobRecord) -> JobLine {
    // Where a job stands does not depend on how the parts list names its places.
    let state = UnitState::of(record, &PlaceList::default());
    JobLine {
        job: record.number,
        model: record.model.clone(),
        serial: record.serial.clone(),
        opened_at: record.opened_at.clone(),
        entries: record.entries.len(),
        standing: state.standing(),
        due: state.closing.and_then(|closing| closing.what.due),
    }
}
