//! The units of a model as the book's logic takes them.

use super::find::{find_model, if_there};
use super::maker::{MakerShelf, OtherModels};
use crate::core::book::{ModelName, UnitChoice, UnitRecord, name_key, near_names};
use crate::core::identification::SoldSize;
use crate::core::job::{JobRecord, JobStanding, PlaceList, UnitState};
use crate::core::note::{Entry, Place};
use crate::core::provenance::Whose;
use crate::store::{BookReader, ModelId, StoreError, StoredModel, StoredNote};
use std::sync::Arc;

/// A model with its units as they were read at one moment.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::app) struct RecordedModel {
    /// Its name, with what was chosen of its units.
    pub(in crate::app) name: ModelName,
    pub(in crate::app) units: Vec<UnitRecord>,
    /// The other models of its maker.
    pub(in crate::app) others: OtherModels,
    /// The ring sizes that are sold here and in no list.
    pub(in crate::app) sold: Arc<[SoldSize]>,
}

impl RecordedModel {
    /// Reads a model with every unit of it that has a note.
    pub(in crate::app) fn read(
        model: StoredModel,
        shelf: &mut MakerShelf<'_>,
    ) -> Result<Self, StoreError> {
        Ok(Self {
            units: all_unit_records(shelf.book, model.id)?,
            others: shelf.beside(&model.name)?,
            name: model.name,
            sold: Arc::clone(&shelf.sold),
        })
    }

    /// Leaves the units that speak where something is decided by the model alone: our own; where there is none, those of other shops.
    pub(in crate::app) fn keep_ours(&mut self) {
        if self.units.iter().any(|unit| unit.whose.is_ours()) {
            self.units.retain(|unit| unit.whose.is_ours());
        }
    }

    /// Returns the unit of a serial number; without one that in work, where it is the only one of the model.
    ///
    /// # Errors
    /// Says what there is, where no unit has the serial number.
    pub(in crate::app) fn unit_asked(
        &self,
        serial: Option<&str>,
        jobs: &[JobRecord],
    ) -> Result<Option<&UnitRecord>, StoreError> {
        let of = |serial: &str| {
            let same = |unit: &&UnitRecord| name_key(&unit.serial) == name_key(serial);
            self.units.iter().find(same)
        };
        let Some(serial) = serial else {
            return Ok(unit_in_work(jobs, &self.name.to_string()).and_then(of));
        };
        of(serial).map(Some).ok_or_else(|| {
            let serials = self.units.iter().map(|unit| unit.serial.as_str());
            StoreError::not_found("unit", serial, near_names(serial, serials))
        })
    }
}

/// Returns the unit that is in work, where it is the only one of its model.
fn unit_in_work<'j>(jobs: &'j [JobRecord], model: &str) -> Option<&'j str> {
    let open = |job: &&JobRecord| {
        job.model == model
            && UnitState::of(job, &PlaceList::default()).standing() == JobStanding::Open
    };
    let mut units = jobs.iter().filter(open).map(|job| job.serial.as_str());
    let first = units.next()?;
    units.all(|other| other == first).then_some(first)
}

/// Reads every model with all its units, by name.
pub(in crate::app) fn recorded_models(
    book: &BookReader<'_>,
) -> Result<Vec<RecordedModel>, StoreError> {
    let mut shelf = MakerShelf::open(book)?;
    let models = book.models()?.into_iter();
    models
        .map(|model| RecordedModel::read(model, &mut shelf))
        .collect()
}

/// Finds the model of a name and reads every unit of it that has a note; `MODEL (CHOICE)` reads only the units of a variant or a
/// range of serial numbers.
pub(in crate::app) fn recorded_model(
    book: &BookReader<'_>,
    asked: &str,
) -> Result<RecordedModel, StoreError> {
    let (model, choice) = match UnitChoice::parted(asked) {
        None => (find_model(book, asked)?, None),
        Some((name, choice)) => match if_there(find_model(book, asked))? {
            Some(whole) => (whole, None),
            None => (find_model(book, name)?, Some(choice)),
        },
    };
    let mut model = RecordedModel::read(model, &mut MakerShelf::open(book)?)?;
    if let Some(choice) = choice {
        let all = model.units.iter().map(|unit| match &unit.header.variant {
            Some(variant) => format!("{} ({variant})", unit.serial),
            None => format!("{} (no variant in its note)", unit.serial),
        });
        let all: Vec<String> = all.collect();
        model.units.retain(|unit| choice.takes(unit));
        if model.units.is_empty() {
            let what = "unit of that variant or range of serial numbers under";
            return Err(StoreError::not_found(what, asked.trim(), all));
        }
        let chosen = asked.rsplit_once('(').map_or("", |(_, chosen)| chosen);
        model.name.name = format!("{} ({}", model.name.name, chosen.trim_end());
    }
    Ok(model)
}

/// Reads every unit of a model that has a note, our own before those of other shops.
///
/// The newest note of a unit speaks; older ones fill in the places that it leaves out, because a later teardown may open
/// only a part of the unit.
pub(in crate::app) fn all_unit_records(
    book: &BookReader<'_>,
    model: ModelId,
) -> Result<Vec<UnitRecord>, StoreError> {
    let mut records = Vec::new();
    for unit in book.units(model)? {
        let notes = book.speaking_notes(unit.id)?;
        let Some(newest) = notes.first() else {
            continue;
        };
        let mut record = UnitRecord {
            serial: unit.serial.clone(),
            header: newest.note.header.clone(),
            parts: Vec::new(),
            unread_lines: newest.unread_lines,
            whose: whose(&notes),
        };
        for stored in notes {
            fill_in(&mut record.parts, stored.note.entries);
        }
        records.push(record);
    }
    records.sort_by_key(|record| !record.whose.is_ours());
    Ok(records)
}

/// Adds the parts of an older note whose places the newer ones leave out.
pub(in crate::app) fn fill_in(parts: &mut Vec<Entry>, mut older: Vec<Entry>) {
    let known: Vec<Place> = parts.iter().map(Entry::place).collect();
    older.retain(|part| !known.contains(&part.place()));
    parts.append(&mut older);
}

/// Says whose word the notes that speak for a unit are.
fn whose(notes: &[StoredNote]) -> Whose {
    let mut shops: Vec<String> = notes.iter().filter_map(|n| n.from_shop.clone()).collect();
    shops.sort();
    shops.dedup();
    if !notes.iter().any(StoredNote::is_ours) {
        Whose::Theirs(shops)
    } else if shops.is_empty() {
        Whose::Ours
    } else {
        Whose::Accepted(shops)
    }
}
