//! A record with what its unit is held against: the parts list of its model for its gas.

use super::JobError;
use crate::app::find_model::{Found, find_model};
use crate::app::parts_list::{PartsQuestion, report_of};
use crate::app::unit_records::unit_records;
use crate::core::book::{ModelName, UnitRecord};
use crate::core::job::{JobGas, JobRecord, PlaceList, UnitState};
use crate::core::quantity::Date;
use crate::store::{BookReader, StoreError};

/// Holds a record as it was read, and what its parts list is made from.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct JobRead {
    pub(super) record: JobRecord,
    /// What its seals say.
    pub(super) changed: Option<String>,
    /// The day of the unit's newest note.
    pub(super) teardown: Option<Date>,
    /// The model and its units; `None` where the book does not have it any more.
    units: Option<(ModelName, Vec<UnitRecord>)>,
}

/// Holds the places of a unit, and what they were worked out from.
pub(super) struct Listed {
    pub(super) places: PlaceList,
    gas: JobGas,
    units: Option<(ModelName, Vec<UnitRecord>)>,
}

impl JobRead {
    pub(super) fn of(book: &BookReader<'_>, number: i64) -> Result<Self, JobError> {
        let record = book.job(number)?.ok_or(JobError::NoJob(number))?;
        Ok(Self {
            changed: book.job_fault(number)?,
            teardown: newest_note(book, number)?,
            units: units_of(book, &record.model)?,
            record,
        })
    }

    /// Works out the places by the parts list for the gas of the job. This takes time: no lock is to be held meanwhile.
    pub(super) fn listed(&self) -> Listed {
        let gas = self.gas();
        Listed {
            places: places_for(self.units.as_ref(), &gas),
            gas,
            units: self.units.clone(),
        }
    }

    fn gas(&self) -> JobGas {
        UnitState::of(&self.record, &PlaceList::default()).gas
    }
}

impl Listed {
    /// Tells whether the places are still those of what was read now.
    pub(super) fn holds(&self, now: &JobRead) -> bool {
        self.units == now.units && self.gas == now.gas()
    }
}

fn newest_note(book: &BookReader<'_>, job: i64) -> Result<Option<Date>, StoreError> {
    let Some(unit) = book.unit_of_job(job)? else {
        return Ok(None);
    };
    let notes = book.notes(unit)?;
    Ok(notes.first().and_then(|note| note.header.date))
}

fn units_of(
    book: &BookReader<'_>,
    model: &str,
) -> Result<Option<(ModelName, Vec<UnitRecord>)>, StoreError> {
    let Found::Yes(stored) = find_model(book, model)? else {
        return Ok(None);
    };
    let units = unit_records(book, stored.id)?;
    Ok(Some((stored.name, units)))
}

fn places_for(units: Option<&(ModelName, Vec<UnitRecord>)>, gas: &JobGas) -> PlaceList {
    let Some((model, units)) = units else {
        return PlaceList::default();
    };
    let question = PartsQuestion {
        threshold: gas.threshold.clone(),
        ..PartsQuestion::of_one(model.to_string())
    };
    PlaceList::of_lines(&report_of(model.clone(), units, &question).list.lines)
}
