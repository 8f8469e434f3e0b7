//! Shows a model: its recorded units, and what they agree and disagree on.

use super::parts_list::{PartsQuestion, parts_list};
use crate::core::book::{Conflict, Elsewhere, PartsUnit};
use crate::core::caution::Caution;
use crate::store::{BookPlace, StoreError};
use serde::Serialize;

/// A model with what its units agree and disagree on.
#[derive(Debug, Clone, Serialize)]
pub struct ModelShown {
    pub model: String,
    pub units: Vec<PartsUnit>,
    /// Its parts in the order in which they come off.
    pub parts: Vec<ModelPart>,
    /// Points that concern the model as a whole.
    pub warnings: Vec<String>,
    /// What stands on every answer of this kind.
    pub cautions: Vec<Caution>,
}

/// One part of a model with what the units say of it.
#[derive(Debug, Clone, Serialize)]
pub struct ModelPart {
    pub section: String,
    pub position: String,
    pub part: String,
    /// Its size in a few words.
    pub size: String,
    pub how_sure: String,
    pub units_recorded: usize,
    /// Units that speak for the size.
    pub units_agree: Vec<String>,
    /// Where units contradict each other.
    pub conflicts: Vec<Conflict>,
    /// Other shops whose records it rests on.
    pub rests_on: Vec<String>,
    /// What the units of other shops would make of it; ours stands.
    pub elsewhere: Vec<Elsewhere>,
}

/// Shows a model.
///
/// # Errors
/// Fails where the book cannot be read.
pub fn show_model(place: &BookPlace, model: &str) -> Result<ModelShown, StoreError> {
    let list = parts_list(place, &PartsQuestion::of_one(model))?.list;
    Ok(ModelShown {
        model: list.model.to_string(),
        units: list.units,
        warnings: list.warnings,
        cautions: vec![Caution::Standing],
        parts: list
            .lines
            .into_iter()
            .map(|line| ModelPart {
                size: line.size.words().to_owned(),
                section: line.section,
                position: line.position,
                part: line.part,
                how_sure: line.size.how_sure,
                units_recorded: line.units_recorded,
                units_agree: line.units_agree,
                conflicts: line.conflicts,
                rests_on: line.rests_on,
                elsewhere: line.elsewhere,
            })
            .collect(),
    })
}
