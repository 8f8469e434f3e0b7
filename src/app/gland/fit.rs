//! Finds the listed rings that suit a gland.

use super::question::{GlandQuestion, QuestionError};
use crate::core::caution::{Caution, Warnings};
use crate::core::gland::{Duty, FitCandidate, GlandKind, RuleSet};
use crate::core::quantity::Hardness;
use serde::Serialize;

/// The listed rings tried in a gland, best first.
#[derive(Debug, Clone, Serialize)]
pub struct GlandFitReport {
    pub kind: GlandKind,
    pub duty: Duty,
    pub rules: RuleSet,
    pub candidates: Vec<FitCandidate>,
    pub tried: usize,
    /// How many of them are good or marginal.
    pub fitting: usize,
    /// Where nothing fits: the nearest ring and by how much it fails.
    pub nothing_fits: Option<String>,
    /// Points to see before relying on the answer.
    pub warnings: Warnings,
}

/// Tries every listed ring in the gland of the question and reports the best `top`.
///
/// # Errors
/// Says what is missing or contradicts itself in the gland.
pub fn fit_gland(question: &GlandQuestion, top: usize) -> Result<GlandFitReport, QuestionError> {
    let geometry = question.geometry()?;
    let polymer = question.conditions.polymer;
    let service = question.service(&geometry, polymer, question.hardness)?;
    let outcome = service.fit(top, Hardness::shore_a(service.shore_a));
    let assumed = question.assumptions(&geometry, polymer, question.hardness);
    Ok(GlandFitReport {
        kind: geometry.kind(),
        duty: service.duty,
        rules: service.rules,
        candidates: outcome.candidates,
        tried: outcome.tried,
        fitting: outcome.fitting,
        nothing_fits: outcome.nothing_fits,
        warnings: Warnings::new(assumed, Caution::Gland),
    })
}
