//! What a job's record gives to `shim` and `setting`: its unit's own settings, its last readings, the ratings of its parts.

use super::job::JobError;
use crate::core::job::{JobEntry, JobRecord, OwnSettings, ReadState, own_settings};
use crate::core::stage::{GaugeStanding, SettingQuestion, SettingReading, SupplyRating};
use crate::store::{Book, BookPlace};
use serde::Serialize;

/// Holds the settings of a unit from its record, and the ratings that bound them.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JobSettings {
    /// The settings.
    #[serde(flatten)]
    pub own: OwnSettings,
    /// Recorded ratings of the unit's parts.
    pub ratings: Vec<SupplyRating>,
}

/// Names an entry of a record whose readings are judged.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FromEntry {
    /// Number of the job.
    pub job: i64,
    /// Place of the entry.
    pub entry: u32,
    /// When in the work it was read.
    pub state: ReadState,
    /// Who read.
    pub person: String,
    /// When it was written down, ISO 8601.
    pub added_at: String,
}

/// Reads a record whose seals fit.
fn sound_record(place: &BookPlace, job: i64) -> Result<JobRecord, JobError> {
    Book::open_to_read(place)?.read(|book| {
        if let Some(fault) = book.job_fault(job)? {
            return Err(JobError::Changed(fault));
        }
        book.job(job)?.ok_or(JobError::NoJob(job))
    })
}

/// Gathers the settings of a job's unit, compared at `supply_bar` or at the highest supply of the last reading.
///
/// # Errors
/// No such job, a record that was changed in the file, or a book that cannot be read.
pub fn settings_of_job(
    place: &BookPlace,
    job: i64,
    supply_bar: Option<f64>,
) -> Result<JobSettings, JobError> {
    let record = sound_record(place, job)?;
    Ok(JobSettings {
        own: own_settings(&record, supply_bar),
        ratings: record.ratings(),
    })
}

/// Completes a question about a setting from a record: the ratings always; the readings, with their gauge, of an entry (else
/// of the last that has any) where the question has none.
///
/// # Errors
/// No such job or entry, no readings in it, a record that was changed in the file, or a book that cannot be read.
pub fn complete_from_job(
    place: &BookPlace,
    (job, wanted): (i64, Option<u32>),
    question: &mut SettingQuestion,
) -> Result<Option<FromEntry>, JobError> {
    let record = sound_record(place, job)?;
    question.ratings.extend(record.ratings());
    if !question.readings.is_empty() || !question.creep.is_empty() {
        return Ok(None);
    }
    let corrected = |place: u32| {
        record
            .said()
            .any(|entry| matches!(entry, JobEntry::Correction { of, .. } if *of == place))
    };
    let found = record.entries.iter().rev().find_map(|sealed| {
        let read = Read::of(&sealed.entry)?;
        let asked = wanted.map_or(!corrected(sealed.place), |place| place == sealed.place);
        asked.then_some((sealed, read))
    });
    let Some((sealed, read)) = found else {
        return Err(match wanted {
            Some(entry) => JobError::NoReading { job, entry },
            None => JobError::NoReadings(job),
        });
    };
    if corrected(sealed.place) {
        return Err(JobError::CorrectedReading {
            job,
            entry: sealed.place,
        });
    }
    let from = FromEntry {
        job,
        entry: sealed.place,
        state: read.state,
        person: sealed.person.clone(),
        added_at: sealed.added_at.clone(),
    };
    question.readings = read.readings;
    question.creep = read.creep;
    question.lock_up_s = question.lock_up_s.or(read.lock_up_s);
    if question.gauge == GaugeStanding::Unnamed {
        question.gauge = read.standing.unwrap_or(GaugeStanding::Unnamed);
    }
    Ok(Some(from))
}

/// What an entry read.
struct Read {
    state: ReadState,
    readings: Vec<SettingReading>,
    creep: Vec<(f64, f64)>,
    lock_up_s: Option<f64>,
    standing: Option<GaugeStanding>,
}

impl Read {
    fn of(entry: &JobEntry) -> Option<Self> {
        let JobEntry::Reading {
            state,
            readings,
            creep,
            lock_up_s,
            standing,
            not_tested: None,
            ..
        } = entry
        else {
            return None;
        };
        Some(Self {
            state: *state,
            readings: readings.clone(),
            creep: creep.clone(),
            lock_up_s: *lock_up_s,
            standing: standing.clone(),
        })
    }
}
