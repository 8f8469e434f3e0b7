//! The groove to cut for a ring, checked.

use super::check::{GlandCheckReport, check_ring};
use super::question::{GlandQuestion, QuestionError};
use crate::core::confidence::Confidence;
use crate::core::gland::{
    CutError, CutGroove, CutOrder, GlandRing, GlandSpec, PrintedEnd, Verdict,
};
use crate::core::quantity::{Length, as_mm};
use serde::Serialize;

/// The groove to cut for a ring, and the check of that groove.
#[derive(Debug, Clone, Serialize)]
pub struct GlandCutReport {
    pub dimensions: Vec<CutDimension>,
    /// Radius at the bottom, least and greatest, in millimetres.
    pub radius_mm: (f64, f64),
    /// Greatest total runout of the groove to its part, where it is printed.
    pub runout_mm: Option<f64>,
    /// Diameter at which the lead-in chamfer begins.
    pub lead_in_mm: Option<f64>,
    /// Angle of the lead-in chamfer from the axis, least and greatest.
    pub lead_in_deg: (f64, f64),
    /// Finishes: surface, greatest Ra in micrometres, where known from.
    pub finishes: Vec<Finish>,
    /// What was assumed.
    pub notes: Vec<String>,
    /// Where depth and width come from.
    pub source: String,
    pub confidence: Confidence,
    /// The check of this groove with this ring.
    pub check: GlandCheckReport,
}

/// One dimension to cut.
#[derive(Debug, Clone, Serialize)]
pub struct CutDimension {
    /// Its word, as `gland check` takes it.
    pub name: &'static str,
    #[serde(rename = "mm", serialize_with = "as_mm")]
    pub nominal: Length,
    #[serde(rename = "plus_mm", serialize_with = "as_mm")]
    pub plus: Length,
    #[serde(rename = "minus_mm", serialize_with = "as_mm")]
    pub minus: Length,
}

/// The finish of one surface.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct Finish {
    pub surface: &'static str,
    /// Greatest roughness Ra in micrometres.
    pub ra_um: f64,
    pub confidence: Confidence,
}

/// Says why no groove can be given.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CutRefusal {
    /// No table, or the part is too loose.
    #[error(transparent)]
    Cut(#[from] CutError),
    /// The ring or the conditions cannot be used.
    #[error(transparent)]
    Question(#[from] QuestionError),
}

/// Stretches that are tried where neither bore nor rod is fixed: 2 % is ideal (Apple Rubber), small rings take what their
/// tolerance leaves.
const STRETCHES: [f64; 13] = [
    2.0, 2.5, 3.0, 1.5, 1.0, 3.5, 4.0, 0.5, 0.0, 5.0, 6.0, 7.0, 8.0,
];
/// Parts of the printed tolerance that are tried: a ring that is small for its section overfills the groove unless it is cut
/// at the roomy end, or is squeezed too little, stretched as it may be, unless it is cut at the tight end.
const PARTS: [(f64, PrintedEnd); 5] = [
    (1.0, PrintedEnd::Roomy),
    (0.5, PrintedEnd::Roomy),
    (0.2, PrintedEnd::Roomy),
    (0.5, PrintedEnd::Tight),
    (0.2, PrintedEnd::Tight),
];

/// Gives the groove for a ring and checks it; where nothing is fixed, the first stretch whose groove is good is taken.
///
/// # Errors
/// Says which section or kind is in no table, that the given part varies too much, or why the ring cannot be judged.
pub fn cut_gland(
    question: &GlandQuestion,
    order: &CutOrder,
    ring: &GlandRing,
) -> Result<GlandCutReport, CutRefusal> {
    let mut best: Option<GlandCutReport> = None;
    for (share, end) in PARTS {
        for stretch_pct in STRETCHES {
            let tried = CutOrder {
                stretch_pct,
                share,
                end,
                ..order.clone()
            };
            let report = one_cut(question, &tried, ring);
            let report = match (report, &best) {
                // A part that is there may leave no room for less than the whole printed tolerance.
                (Err(CutRefusal::Cut(CutError::TooLoose { .. })), Some(_)) => break,
                (report, _) => report?,
            };
            if best
                .as_ref()
                .is_none_or(|b| report.check.verdict < b.check.verdict)
            {
                best = Some(report);
            }
            let good = best
                .as_ref()
                .is_some_and(|b| b.check.verdict == Verdict::Good);
            if good {
                return best.ok_or(CutRefusal::Question(QuestionError::NoRing));
            }
            if order.fixed.is_some() {
                break;
            }
        }
    }
    best.ok_or(CutRefusal::Question(QuestionError::NoRing))
}

fn one_cut(
    question: &GlandQuestion,
    order: &CutOrder,
    ring: &GlandRing,
) -> Result<GlandCutReport, CutRefusal> {
    let groove = order.cut(ring)?;
    let asked = GlandQuestion {
        spec: GlandSpec {
            pressure: question.spec.pressure.clone(),
            ..groove.spec.clone()
        },
        ..question.clone()
    };
    let check = check_ring(&asked, ring.clone())?;
    Ok(report(order, groove, check))
}

fn report(order: &CutOrder, groove: CutGroove, check: GlandCheckReport) -> GlandCutReport {
    let printed = groove.printed;
    let mut notes = printed.notes;
    if order.fixed.is_none() {
        notes.push(format!(
            "nothing was given to fit the groove to: bore, rod or wall follow from the ring at {} % of stretch or compression",
            order.stretch_pct
        ));
    }
    if order.share < 1.0 {
        notes.push(format!(
            "only the {} {:.0} % of the printed tolerance of depth and width is used: over all of it this ring, \
                small for its section, is not always good",
            if order.end == PrintedEnd::Roomy { "roomiest" } else { "tightest" },
            100.0 * order.share
        ));
    }
    GlandCutReport {
        dimensions: groove
            .spec
            .dimensions
            .iter()
            .map(|(name, typed)| CutDimension {
                name: name.word(),
                nominal: typed.value.nominal,
                plus: typed.value.plus,
                minus: typed.value.minus,
            })
            .collect(),
        radius_mm: printed.radius_mm,
        runout_mm: printed.runout_mm,
        lead_in_mm: groove.lead_in_mm,
        lead_in_deg: (15.0, 20.0),
        finishes: finishes(order),
        notes,
        source: printed.source,
        confidence: printed.confidence,
        check,
    }
}

/// Lists the finishes: handbook figures, recalled and not confirmed in a source (16, 32 and 63 microinch).
fn finishes(order: &CutOrder) -> Vec<Finish> {
    use crate::core::gland::Duty;
    let sealing = if order.duty == Duty::Static { 0.8 } else { 0.4 };
    let of = |surface, ra_um| Finish {
        surface,
        ra_um,
        confidence: Confidence::Memory,
    };
    vec![
        of("surface that the ring seals against or rubs on", sealing),
        of("bottom of the groove", 0.8),
        of("side walls of the groove", 1.6),
    ]
}
