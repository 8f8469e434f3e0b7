//! Finds the listed rings that suit a gland.

use super::question::{GlandQuestion, QuestionError};
use crate::core::caution::{Caution, Warnings};
use crate::core::gland::{Duty, Figure, FitCandidate, GlandKind, RuleSet, Verdict};
use crate::core::quantity::Hardness;
use crate::core::sizes::NominalSize;
use serde::{Serialize, Serializer};

/// Holds the listed rings tried in a gland, best first.
#[derive(Debug, Clone, Serialize)]
pub struct GlandFitReport {
    pub kind: GlandKind,
    /// Motion.
    pub duty: Duty,
    /// The rule set that spoke.
    pub rules: RuleSet,
    /// The rings.
    pub candidates: Vec<FitRow>,
    /// How many listed rings were tried.
    pub tried: usize,
    /// How many of them are good or marginal.
    pub fitting: usize,
    /// Where nothing fits: the nearest ring and by how much it fails.
    pub nothing_fits: Option<String>,
    /// Points to see before relying on the answer.
    pub warnings: Warnings,
}

/// Holds one ring tried. Lengths are serialized in millimetres; the percentages are nominal.
#[derive(Debug, Clone, Serialize)]
pub struct FitRow {
    /// Place in the order, from 1.
    pub rank: usize,
    /// Codes under which it is listed.
    pub codes: Vec<String>,
    #[serde(flatten)]
    pub size: NominalSize,
    pub verdict: Verdict,
    /// Chance of meeting every limit, cautions left out.
    #[serde(serialize_with = "four_decimals")]
    pub pass_probability: f64,
    /// Squeeze, stretch counted in.
    #[serde(serialize_with = "four_decimals")]
    pub squeeze_pct: f64,
    /// Stretch.
    #[serde(serialize_with = "four_decimals")]
    pub stretch_pct: f64,
    /// Fill.
    #[serde(serialize_with = "four_decimals")]
    pub fill_pct: f64,
    /// Distance from the nearest end of a two-sided limit, as a share of its width.
    #[serde(serialize_with = "four_decimals")]
    pub margin: f64,
    /// Why it is rejected.
    pub reasons: Vec<String>,
    /// Which figures are marginal, and by how much.
    pub marginal: Vec<String>,
}

#[allow(
    clippy::trivially_copy_pass_by_ref,
    reason = "the signature that serialize_with asks for"
)]
fn four_decimals<S: Serializer>(value: &f64, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_f64((value * 1e4).round() / 1e4)
}

/// Tries every listed ring in the gland of the question and reports the best `top`.
///
/// # Errors
/// Says what is missing or contradicts itself in the gland.
pub fn fit_gland(question: &GlandQuestion, top: usize) -> Result<GlandFitReport, QuestionError> {
    let geometry = question.geometry()?;
    let service = question.service(&geometry, question.polymer, question.hardness)?;
    let outcome = service.fit(top, Hardness::shore_a(service.shore_a));
    let assumed = question.assumptions(&geometry, question.polymer, question.hardness);
    Ok(GlandFitReport {
        kind: geometry.kind(),
        duty: service.duty,
        rules: service.rules,
        candidates: outcome
            .candidates
            .iter()
            .enumerate()
            .map(|(index, candidate)| FitRow::of(index + 1, candidate))
            .collect(),
        tried: outcome.tried,
        fitting: outcome.fitting,
        nothing_fits: outcome.nothing_fits,
        warnings: Warnings::new(assumed, Caution::Gland),
    })
}

impl FitRow {
    fn of(rank: usize, candidate: &FitCandidate) -> Self {
        let figures = &candidate.judgement.states[0].1;
        let nominal = |figure| figures.get(figure).map_or(f64::NAN, |b| b.nominal);
        Self {
            rank,
            codes: candidate.ring.codes.clone(),
            size: candidate.ring.nominal(),
            verdict: candidate.judgement.verdict,
            pass_probability: candidate.pass_probability,
            squeeze_pct: nominal(Figure::SqueezePct),
            stretch_pct: nominal(Figure::StretchPct),
            fill_pct: nominal(Figure::FillPct),
            margin: candidate.margin,
            reasons: candidate.reasons.clone(),
            marginal: candidate.marginal.clone(),
        }
    }
}
