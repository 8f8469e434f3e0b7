//! Gathers what is known of a part that is to be made because it cannot be bought.

use crate::app::model::line::{NoLine, line_of_model};
use crate::core::book::{MadePart, PartLine};
use crate::core::caution::Caution;
use crate::core::note::PartKind;
use crate::store::BookPlace;
use serde::Serialize;

/// A part to be made with its line of the parts list.
#[derive(Debug, Clone, Serialize)]
pub struct MakeReport {
    pub model: String,
    /// Its line in the parts list.
    pub line: PartLine,
    /// What is known of it, and what is asked.
    #[serde(flatten)]
    pub part: MadePart,
    pub cautions: Vec<Caution>,
}

/// Says why there is no part to draw.
#[derive(Debug, thiserror::Error)]
pub enum MakeError {
    /// There is no such line.
    #[error(transparent)]
    NoLine(#[from] NoLine),
    /// The part has another form.
    #[error(
        "line {number} is a {}: drawn are flat round parts ({}). Give the line of one of these",
        .kind.word(), kinds()
    )]
    OtherForm { number: usize, kind: PartKind },
}

/// Gathers what the units of a model say of the part in a line, given by its number or its words.
///
/// # Errors
/// Says why there is no such part, or that the book cannot be read.
pub fn part_to_make(place: &BookPlace, model: &str, line: &str) -> Result<MakeReport, MakeError> {
    let (model, line) = line_of_model(place, model, line)?;
    let (number, kind) = (line.number, line.kind);
    let part =
        MadePart::of_line(&model.units, number).ok_or(MakeError::OtherForm { number, kind })?;
    Ok(MakeReport {
        model: model.name.to_string(),
        line,
        part,
        cautions: vec![Caution::MadePart],
    })
}

fn kinds() -> String {
    let words: Vec<&str> = MadePart::KINDS.iter().map(|kind| kind.word()).collect();
    words.join(", ")
}
