//! What a job's record gives to `shim` and `setting`: its unit's own settings, its last readings, the ratings of its parts.

use super::JobError;
use crate::core::job::{OwnSettings, PlaceList, ReadState, UnitState, own_settings};
use crate::core::stage::{GaugeStanding, SettingQuestion};
use crate::store::{Book, BookPlace};
use serde::Serialize;

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

/// Forms the state of a unit from a record whose seals fit.
fn sound_state(place: &BookPlace, job: i64) -> Result<UnitState, JobError> {
    Book::open_to_read(place)?.read(|book| {
        if let Some(fault) = book.job_fault(job)? {
            return Err(JobError::Changed(fault));
        }
        let record = book.job(job)?.ok_or(JobError::NoJob(job))?;
        // Settings do not depend on how the parts list names its places.
        Ok(UnitState::of(&record, &PlaceList::default()))
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
) -> Result<OwnSettings, JobError> {
    Ok(own_settings(&sound_state(place, job)?, supply_bar))
}

/// Completes a question about a setting from a record: the ratings always; the readings, with their gauge and design, of the entry `wanted`
/// (else of the last that has any) where the question has none.
///
/// # Errors
/// No such job, no readings that hold in it or in that entry, a record that was changed in the file, or a book that cannot be read.
pub fn complete_from_job(
    place: &BookPlace,
    job: i64,
    wanted: Option<u32>,
    question: &mut SettingQuestion,
) -> Result<Option<FromEntry>, JobError> {
    let state = sound_state(place, job)?;
    question.ratings.extend(state.supply_ratings());
    question.gear = question.gear.or(state.gear);
    if !question.readings.is_empty() || !question.creep.is_empty() {
        return Ok(None);
    }
    let mut taken = state.readings.iter().rev().map(|reading| &reading.said);
    let found =
        taken.find(|said| said.what.is_taken() && wanted.is_none_or(|entry| entry == said.entry));
    let said = found.ok_or(match wanted {
        Some(entry) => JobError::NoReading { job, entry },
        None => JobError::NoReadings(job),
    })?;
    let read = &said.what;
    let ratings = std::mem::take(&mut question.ratings);
    let kept = read.question(ratings, &question.limits, question.gear);
    // What was typed is newer than what the record has.
    *question = SettingQuestion {
        lock_up_s: question.lock_up_s.or(kept.lock_up_s),
        design: question.design.or(kept.design),
        gauge: match std::mem::replace(&mut question.gauge, GaugeStanding::Unnamed) {
            GaugeStanding::Unnamed => kept.gauge,
            typed => typed,
        },
        ..kept
    };
    Ok(Some(FromEntry {
        job,
        entry: said.entry,
        state: read.state,
        person: said.person.clone(),
        added_at: said.at.clone(),
    }))
}
