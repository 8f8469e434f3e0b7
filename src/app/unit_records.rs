//! The units of a model as the book's logic takes them.

use super::find_model::{Found, find_model};
use crate::core::book::{ModelName, RecordedPart, UnitRecord};
use crate::core::note::Place;
use crate::store::{BookReader, ModelId, StoreError};

/// Finds the model of a name and reads every unit of it that has a note.
///
/// # Errors
/// Fails where the book cannot be read.
pub(super) fn recorded_model(
    book: &BookReader<'_>,
    asked: &str,
) -> Result<Found<(ModelName, Vec<UnitRecord>)>, StoreError> {
    Ok(match find_model(book, asked)? {
        Found::Yes(model) => {
            let units = unit_records(book, model.id)?;
            Found::Yes((model.name, units))
        }
        Found::No(missing) => Found::No(missing),
    })
}

/// Reads every unit of a model that has a note.
///
/// The newest note of a unit speaks; older ones fill in the places that it leaves out, because a later teardown may open
/// only a part of the unit.
///
/// # Errors
/// Fails where the book cannot be read.
pub(super) fn unit_records(
    book: &BookReader<'_>,
    model: ModelId,
) -> Result<Vec<UnitRecord>, StoreError> {
    let mut records = Vec::new();
    for unit in book.units(model)? {
        let notes = book.notes(unit.id)?;
        let Some(newest) = notes.first() else {
            continue;
        };
        let mut record = UnitRecord {
            serial: unit.serial.clone(),
            header: newest.header.clone(),
            parts: Vec::new(),
            unread_lines: newest.unread_lines,
        };
        for note in &notes {
            let known: Vec<Place> = record.parts.iter().map(|p| p.entry.place()).collect();
            for (id, entry) in book.entries(note.id)? {
                if !known.contains(&entry.place()) {
                    let kept = book.identification(id)?.map(|made| made.identification);
                    record.parts.push(RecordedPart { entry, kept });
                }
            }
        }
        records.push(record);
    }
    Ok(records)
}
