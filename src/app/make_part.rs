//! Gathers what is known of a part that is to be made because it cannot be bought.

use super::find_model::Found;
use super::list_maker::ListMaker;
use super::parts_list::PartsQuestion;
use super::statements::Statements;
use super::unit_records::recorded_model;
use crate::core::book::{MadePart, PartLine};
use crate::core::caution::Caution;
use crate::core::job::{NoPlace, PlaceList};
use crate::core::note::PartKind;
use crate::store::{Book, BookPlace, StoreError};
use serde::Serialize;

/// Holds a part to be made with its line of the parts list.
#[derive(Debug, Clone, Serialize)]
pub struct MakeReport {
    /// The model.
    pub model: String,
    /// Its line in the parts list.
    pub line: PartLine,
    /// What is known of it, and what is asked.
    #[serde(flatten)]
    pub part: MadePart,
    /// Cautions.
    pub cautions: Vec<Caution>,
}

/// Says why there is no part to draw.
#[derive(Debug, thiserror::Error)]
pub enum MakeError {
    /// The book cannot be read.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The words name no one line.
    #[error(transparent)]
    NoPlace(#[from] NoPlace),
    /// The part has another form.
    #[error(
        "line {number} is a {}: drawn are flat round parts ({}). Give the line of one of these",
        .kind.word(), kinds()
    )]
    OtherForm {
        /// The line.
        number: usize,
        /// What it is.
        kind: PartKind,
    },
}

/// Gathers what the units of a model say of the part in a line, given by its number or its words.
///
/// # Errors
/// Says why there is no such part, or that the book cannot be read.
pub fn part_to_make(
    place: &BookPlace,
    model: &str,
    line: &str,
) -> Result<Found<MakeReport>, MakeError> {
    let mut book = Book::open_to_read(place)?;
    let (found, said) = book.read(|book| {
        let found = recorded_model(book, model)?;
        Ok::<_, StoreError>((found, Statements::read(book)?))
    })?;
    let model = match found {
        Found::Yes(model) => model,
        Found::No(missing) => return Ok(Found::No(missing)),
    };
    let question = PartsQuestion::of_one(model.name.to_string());
    let report = ListMaker::beside(place).report(&model, &said, &question);
    let places = PlaceList::of_lines(&report.list.lines);
    let found = places.find(line)?;
    let (number, kind) = (found.number, found.kind);
    let other_form = || MakeError::OtherForm { number, kind };
    let part = MadePart::of_line(&model.units, number).ok_or_else(other_form)?;
    let mut lines = report.list.lines.into_iter();
    let line = lines
        .find(|line| line.number == number)
        .ok_or_else(other_form)?;
    Ok(Found::Yes(MakeReport {
        model: model.name.to_string(),
        line,
        part,
        cautions: vec![Caution::MadePart],
    }))
}

fn kinds() -> String {
    let words: Vec<&str> = MadePart::KINDS.iter().map(|kind| kind.word()).collect();
    words.join(", ")
}
