//! A record with what its unit is held against: the parts list of its model for its gas.

use super::JobError;
use crate::app::model::find::{find_model, if_there};
use crate::app::model::list_maker::ListMaker;
use crate::app::model::maker::MakerShelf;
use crate::app::model::parts_list::PartsQuestion;
use crate::app::model::statements::Statements;
use crate::app::model::unit_records::RecordedModel;
use crate::core::job::{ClosingAsked, JobGas, JobRecord, PlaceList, ReleaseQuestion, UnitState};
use crate::core::note::Header;
use crate::core::stage::SettingLimits;
use crate::store::{BookPlace, BookReader, StoreError};

/// A record as it was read, and what its parts list is made from.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct JobRead {
    pub(super) record: JobRecord,
    /// What its seals say.
    pub(super) changed: Option<String>,
    /// What the newest of our own notes on the unit says of it.
    noted: Option<Header>,
    /// Other jobs on the unit that are open.
    open_beside: Vec<i64>,
    /// What its parts list is made from; `None` where the book does not have the model any more.
    basis: Option<Basis>,
}

/// What a parts list is made from, its gas apart.
#[derive(Debug, Clone, PartialEq)]
struct Basis {
    model: RecordedModel,
    said: Statements,
}

/// The places of a unit, and what they were worked out from.
pub(super) struct Listed {
    pub(super) places: PlaceList,
    gas: JobGas,
    basis: Option<Basis>,
}

impl JobRead {
    pub(super) fn of(book: &BookReader<'_>, number: i64) -> Result<Self, JobError> {
        let record = book.job(number)?.ok_or(JobError::NoJob(number))?;
        let (notes, mut open_beside) = match book.unit_of_job(number)? {
            Some(unit) => (book.notes(unit)?, book.open_jobs(unit)?),
            None => (Vec::new(), Vec::new()),
        };
        open_beside.retain(|job| *job != number);
        Ok(Self {
            changed: book.job_fault(number)?,
            noted: notes.into_iter().next().map(|stored| stored.note.header),
            open_beside,
            basis: basis_of(book, &record.model)?,
            record,
        })
    }

    /// Works out the places by the parts list for the gas of the job. This takes time: no lock is to be held meanwhile.
    pub(super) fn listed(&self, place: &BookPlace) -> Listed {
        let gas = self.gas();
        Listed {
            places: places_for(place, self.basis.as_ref(), &gas),
            gas,
            basis: self.basis.clone(),
        }
    }

    /// Asks what stands against the release of the unit.
    pub(super) fn question<'q>(
        &'q self,
        listed: &'q Listed,
        limits: &'q SettingLimits,
        closing: Option<ClosingAsked<'q>>,
    ) -> ReleaseQuestion<'q> {
        ReleaseQuestion {
            places: &listed.places,
            limits,
            noted: self.noted.as_ref(),
            open_beside: &self.open_beside,
            changed: self.changed.as_deref(),
            closing,
        }
    }

    /// Asks for the parts list of the unit; `None` where the book does not have its model any more.
    pub(super) fn parts_question(&self) -> Option<PartsQuestion> {
        Some(self.basis.as_ref()?.question(&self.gas()))
    }

    fn gas(&self) -> JobGas {
        UnitState::of(&self.record, &PlaceList::default()).gas
    }
}

impl Basis {
    fn question(&self, gas: &JobGas) -> PartsQuestion {
        PartsQuestion {
            threshold: gas.threshold.clone(),
            gas: Some(gas.stated.clone()),
            ..PartsQuestion::of_one(self.model.name.to_string())
        }
    }
}

impl Listed {
    /// Tells whether the places are still those of what was read now.
    pub(super) fn holds(&self, now: &JobRead) -> bool {
        self.basis == now.basis && self.gas == now.gas()
    }
}

fn basis_of(book: &BookReader<'_>, model: &str) -> Result<Option<Basis>, StoreError> {
    let Some(stored) = if_there(find_model(book, model))? else {
        return Ok(None);
    };
    let mut model = RecordedModel::read(stored, &mut MakerShelf::open(book)?)?;
    model.keep_ours();
    let said = Statements::read(book)?;
    Ok(Some(Basis { model, said }))
}

fn places_for(place: &BookPlace, basis: Option<&Basis>, gas: &JobGas) -> PlaceList {
    let Some(basis) = basis else {
        return PlaceList::default();
    };
    let question = basis.question(gas);
    let report = ListMaker::beside(place).report(&basis.model, &basis.said, &question);
    PlaceList::of_lines(&report.list.lines)
}
