//! Checks one ring in one gland.

use super::gland_question::{CAUTION, GlandQuestion, QuestionError};
use crate::core::confidence::Confidence;
use crate::core::elastomer::Polymer;
use crate::core::gland::{
    Bounds, Check, Duty, FORCE_LAWS, Figure, Figures, GlandKind, GlandRing, Judgement, LAWS,
    RuleSet, Service, State, Verdict,
};
use crate::core::quantity::{Hardness, Length, LengthUnit, as_mm};
use serde::Serialize;

/// Holds a ring checked in a gland: every figure, every check, the verdict.
#[derive(Debug, Clone, Serialize)]
pub struct GlandCheckReport {
    /// Kind of gland.
    pub kind: GlandKind,
    /// Motion.
    pub duty: Duty,
    /// The ring.
    pub ring: RingShown,
    /// Gland depth L.
    pub gland_depth_mm: Bounds,
    /// Stretch of the inside.
    pub stretch_pct: Bounds,
    /// Compression of the outside, where the ring lies in a bore or against an outer wall.
    pub outside_compression_pct: Option<Bounds>,
    /// Section on its seat.
    pub section_mm: Bounds,
    /// Squeeze, stretch counted in.
    pub squeeze_mm: Bounds,
    /// The same in per cent of the section on its seat.
    pub squeeze_pct: Bounds,
    /// Squeeze as published tables form it, stretch left out.
    pub squeeze_as_printed_mm: Bounds,
    /// The same in per cent of the free section.
    pub squeeze_as_printed_pct: Bounds,
    /// Volume of the ring in per cent of the annulus.
    pub fill_pct: Bounds,
    /// The gap that the ring can be pressed into: the whole diametral clearance.
    pub gap_mm: Option<Bounds>,
    /// Which clearance `gap_mm` is.
    pub gap_kind: &'static str,
    /// Half of it: the gap where the parts are held in the middle.
    pub gap_radial_mm: Option<Bounds>,
    /// Line force, modulus by Gent.
    pub line_force_n_per_mm: Option<Bounds>,
    /// Line force, modulus by Ruess.
    pub line_force_ruess_n_per_mm: Option<Bounds>,
    /// Squeeze and fill in every state.
    pub states: Vec<StateShown>,
    /// The rule set that spoke.
    pub rules: RuleSet,
    /// The checks.
    pub checks: Vec<Check>,
    /// The worst verdict of all checks.
    pub verdict: Verdict,
    /// The laws behind the figures.
    pub laws: Vec<&'static str>,
    /// Points to see before relying on the answer.
    pub warnings: Vec<String>,
}

/// Holds the ring as it is shown. Lengths are serialized in millimetres.
#[derive(Debug, Clone, Serialize)]
pub struct RingShown {
    /// Codes under which it is listed.
    pub codes: Vec<String>,
    /// Inside diameter.
    #[serde(rename = "id_mm", serialize_with = "as_mm")]
    pub id: Length,
    /// Its tolerance.
    #[serde(rename = "id_tol_mm", serialize_with = "as_mm")]
    pub id_tolerance: Length,
    /// Cross-section.
    #[serde(rename = "cs_mm", serialize_with = "as_mm")]
    pub section: Length,
    /// Its tolerance.
    #[serde(rename = "cs_tol_mm", serialize_with = "as_mm")]
    pub section_tolerance: Length,
    /// Polymer, where it is known.
    pub polymer: Option<Polymer>,
    /// Hardness, where it was stated.
    pub hardness: Option<Hardness>,
}

/// Holds squeeze and fill in one state.
#[derive(Debug, Clone, Serialize)]
pub struct StateShown {
    /// The state.
    pub name: String,
    /// Squeeze.
    pub squeeze_mm: Bounds,
    /// Squeeze in per cent.
    pub squeeze_pct: Bounds,
    /// Fill in per cent.
    pub fill_pct: Bounds,
}

/// Checks the ring that `text` names in the gland of the question.
///
/// # Errors
/// Says what is missing or contradicts itself in the gland, or why the ring cannot be read; an ambiguous ring is refused
/// with all its readings.
pub fn check_gland(
    question: &GlandQuestion,
    text: &str,
    declared: Option<LengthUnit>,
) -> Result<GlandCheckReport, QuestionError> {
    question.geometry()?;
    check_ring(question, question.ring(text, declared)?)
}

/// Checks a ring that is known already, such as one of a note, in the gland of the question.
///
/// # Errors
/// Says what is missing or contradicts itself in the gland, or that the ring's hardness is not Shore A.
pub fn check_ring(
    question: &GlandQuestion,
    ring: GlandRing,
) -> Result<GlandCheckReport, QuestionError> {
    let geometry = question.geometry()?;
    let geometry = &*geometry;
    if ring.id.least() <= Length::ZERO || ring.section.least() <= Length::ZERO {
        return Err(QuestionError::NoRing);
    }
    let service = question.service(geometry, ring.polymer, ring.hardness)?;
    let stated = ring.hardness;
    let mut ring = ring;
    ring.hardness = stated.or(Hardness::shore_a(service.shore_a));
    let judgement = service.judge(&ring);
    let mut warnings = ring.notes.clone();
    warnings.extend(question.assumptions(geometry, ring.polymer, stated));
    warnings.extend(cautions(&service, &ring, &judgement));
    warnings.push(CAUTION.to_owned());
    ring.hardness = stated;
    Ok(report(&service, &ring, judgement, warnings))
}

fn report(
    service: &Service<'_>,
    ring: &GlandRing,
    judgement: Judgement,
    warnings: Vec<String>,
) -> GlandCheckReport {
    const HALF: f64 = 0.5;
    let figures = &judgement.states[0].1;
    let gap = figures.get(Figure::GapMm);
    GlandCheckReport {
        kind: service.geometry.kind(),
        duty: service.duty,
        ring: RingShown::of(ring),
        gland_depth_mm: always(figures, Figure::DepthMm),
        stretch_pct: always(figures, Figure::StretchPct),
        outside_compression_pct: figures.get(Figure::OutsideCompressionPct),
        section_mm: always(figures, Figure::SectionMm),
        squeeze_mm: always(figures, Figure::SqueezeMm),
        squeeze_pct: always(figures, Figure::SqueezePct),
        squeeze_as_printed_mm: always(figures, Figure::PrintedSqueezeMm),
        squeeze_as_printed_pct: always(figures, Figure::PrintedSqueezePct),
        fill_pct: always(figures, Figure::FillPct),
        gap_mm: gap,
        gap_kind: "diametral",
        gap_radial_mm: gap.map(|g| g.times(HALF)),
        line_force_n_per_mm: figures.get(Figure::LineForce),
        line_force_ruess_n_per_mm: figures.get(Figure::LineForceRuess),
        states: judgement.states.iter().map(StateShown::of).collect(),
        rules: service.rules,
        checks: judgement.checks,
        verdict: judgement.verdict,
        laws: vec![LAWS, FORCE_LAWS],
        warnings,
    }
}

/// Takes a figure that every gland has.
fn always(figures: &Figures, figure: Figure) -> Bounds {
    figures.get(figure).unwrap_or(Bounds::exact(f64::NAN))
}

impl RingShown {
    fn of(ring: &GlandRing) -> Self {
        Self {
            codes: ring.codes.clone(),
            id: ring.id.nominal,
            id_tolerance: ring.id.plus.max(ring.id.minus),
            section: ring.section.nominal,
            section_tolerance: ring.section.plus.max(ring.section.minus),
            polymer: ring.polymer,
            hardness: ring.hardness,
        }
    }
}

impl StateShown {
    fn of((state, figures): &(State, Figures)) -> Self {
        Self {
            name: state.name.clone(),
            squeeze_mm: always(figures, Figure::SqueezeMm),
            squeeze_pct: always(figures, Figure::SqueezePct),
            fill_pct: always(figures, Figure::FillPct),
        }
    }
}

/// Lists what the verdict does not say by itself.
fn cautions(service: &Service<'_>, ring: &GlandRing, judgement: &Judgement) -> Vec<String> {
    /// Below and above these sections no industrial table is printed.
    const PRINTED_MM: std::ops::Range<f64> = 1.5..8.5;
    /// Fill at maximum material that is allowed whatever the medium (Parker, gland overfill).
    const FULL_PCT: f64 = 90.0;
    let mut notes = Vec::new();
    let figures = &judgement.states[0].1;
    if service.wants_back_up(figures) {
        notes.push(
            "above 1500 psi (103.5 bar) with a gap: consider a back-up ring on the side away from the pressure (Parker, section IV)"
                .to_owned(),
        );
    }
    if matches!(ring.polymer, Some(Polymer::Vmq | Polymer::Fvmq)) {
        notes.push("silicone tears easily: the gap limit is halved".to_owned());
    }
    if ring.polymer == Some(Polymer::Ffkm) {
        notes.push(
            "perfluoro rubber: 13 to 15 % of squeeze at most and more room in the groove when hot (supplier guides)"
                .to_owned(),
        );
    }
    if figures
        .get(Figure::FillPct)
        .is_some_and(|fill| fill.max > FULL_PCT)
    {
        notes.push("the groove is more than 90 % full in the worst case: right only where the ring hardly swells in its medium".to_owned());
    }
    if !PRINTED_MM.contains(&ring.section.nominal.mm()) {
        notes.push(
            "no industrial table is printed for this section: only the service range was checked"
                .to_owned(),
        );
    }
    let recalled: Vec<&str> = judgement
        .checks
        .iter()
        .filter(|c| c.confidence == Confidence::Memory && c.verdict != Verdict::Good)
        .map(|c| c.name.as_str())
        .collect();
    if !recalled.is_empty() {
        notes.push(format!(
            "the verdict rests on limits that were recalled and are not confirmed in a source: {}",
            recalled.join(", ")
        ));
    }
    notes
}
