//! Checks one ring in one gland.

use super::question::{GlandQuestion, QuestionError};
use crate::core::caution::{Caution, Warnings};
use crate::core::confidence::Confidence;
use crate::core::elastomer::Polymer;
use crate::core::gland::{
    Bounds, Check, Duty, FORCE_LAWS, FRICTION, Figure, Figures, GlandKind, GlandRing, Judgement,
    LAWS, PrintedGroove, RuleSet, Service, State, Survey, Verdict,
};
use crate::core::quantity::{Hardness, Length, LengthUnit, as_mm};
use serde::Serialize;

/// A ring checked in a gland: every figure, every check, the verdict.
#[derive(Debug, Clone, Serialize)]
pub struct GlandCheckReport {
    pub kind: GlandKind,
    pub duty: Duty,
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
    /// Squeeze left on the side that runout and side shift open, where either was stated.
    pub open_side_squeeze_mm: Option<Bounds>,
    /// The same in per cent.
    pub open_side_squeeze_pct: Option<Bounds>,
    /// Squeeze on the side that they close, in per cent.
    pub closed_side_squeeze_pct: Option<Bounds>,
    pub contact_width_mm: Option<Bounds>,
    /// Peak contact stress, modulus by Gent.
    pub contact_stress_mpa: Option<Bounds>,
    /// Load that presses two faces apart, modulus by Gent.
    pub face_load_n: Option<Bounds>,
    /// Squeeze, fill and gap in every state.
    pub states: Vec<StateShown>,
    pub rules: RuleSet,
    pub checks: Vec<Check>,
    /// What the tolerances do: chances, spreads, and which dimension carries the doubt.
    pub stack: Survey,
    /// The back-up rings that the pressure calls for.
    pub back_up: Option<BackUp>,
    /// The worst verdict of all checks.
    pub verdict: Verdict,
    /// What the verdict leaves out, because what it rests on was not given.
    pub not_checked: Vec<&'static str>,
    /// The laws behind the figures.
    pub laws: Vec<&'static str>,
    /// Points to see before relying on the answer.
    pub warnings: Warnings,
}

/// The ring as it is shown. Lengths are serialized in millimetres.
#[derive(Debug, Clone, Serialize)]
pub struct RingShown {
    pub codes: Vec<String>,
    #[serde(rename = "id_mm", serialize_with = "as_mm")]
    pub id: Length,
    #[serde(rename = "id_tol_mm", serialize_with = "as_mm")]
    pub id_tolerance: Length,
    #[serde(rename = "cs_mm", serialize_with = "as_mm")]
    pub section: Length,
    #[serde(rename = "cs_tol_mm", serialize_with = "as_mm")]
    pub section_tolerance: Length,
    pub polymer: Option<Polymer>,
    pub hardness: Option<Hardness>,
}

/// Squeeze and fill in one state.
#[derive(Debug, Clone, Serialize)]
pub struct StateShown {
    /// The state.
    pub name: String,
    pub squeeze_mm: Bounds,
    pub squeeze_pct: Bounds,
    pub fill_pct: Bounds,
    /// The whole diametral clearance.
    pub gap_mm: Option<Bounds>,
    /// The worst verdict of the checks in this state.
    pub verdict: Verdict,
}

/// What to know about back-up rings where they are called for. Widths are least and greatest, in millimetres.
#[derive(Debug, Clone, Serialize)]
pub struct BackUp {
    /// Whether the gap is wider than the ring alone bears.
    pub needed: bool,
    /// On which side one belongs.
    pub side: &'static str,
    /// Groove width with one back-up ring, where it is printed for the section.
    pub width_one_mm: Option<(f64, f64)>,
    /// Groove width with two.
    pub width_two_mm: Option<(f64, f64)>,
    /// Where the rule and the widths come from.
    pub source: String,
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
    let geometry = &geometry;
    if ring.id.least() <= Length::ZERO || ring.section.least() <= Length::ZERO {
        return Err(QuestionError::NoRing);
    }
    let service = question.service(geometry, ring.polymer, ring.hardness)?;
    let stated = ring.hardness;
    let mut ring = ring;
    ring.hardness = stated.or(Hardness::shore_a(service.shore_a));
    let judgement = service.judge(&ring);
    let stack = service.survey(&ring, question.samples);
    let mut warnings = ring.notes.clone();
    warnings.extend(question.assumptions(geometry, ring.polymer, stated));
    warnings.extend(cautions(&ring, &judgement));
    ring.hardness = stated;
    let warnings = Warnings::new(warnings, Caution::Gland);
    Ok(report(&service, &ring, judgement, stack, warnings))
}

fn report(
    service: &Service<'_>,
    ring: &GlandRing,
    judgement: Judgement,
    stack: Survey,
    warnings: Warnings,
) -> GlandCheckReport {
    const HALF: f64 = 0.5;
    let figures = &judgement.states[0].1;
    let shifted = figures.get(Figure::OpenSideMm).map(|b| b.min)
        < figures.get(Figure::SqueezeMm).map(|b| b.min);
    let beside = |figure| figures.get(figure).filter(|_| shifted);
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
        open_side_squeeze_mm: beside(Figure::OpenSideMm),
        open_side_squeeze_pct: beside(Figure::OpenSidePct),
        closed_side_squeeze_pct: beside(Figure::ClosedSidePct),
        contact_width_mm: figures.get(Figure::ContactWidthMm),
        contact_stress_mpa: figures.get(Figure::ContactStress),
        face_load_n: figures.get(Figure::FaceLoad),
        states: judgement
            .states
            .iter()
            .map(|(state, figures)| StateShown::of(state, figures, &judgement.checks))
            .collect(),
        stack,
        back_up: back_up(service, ring, &judgement),
        rules: service.rules,
        checks: judgement.checks,
        verdict: judgement.verdict,
        not_checked: match service.pressure {
            Some(_) => Vec::new(),
            None => vec!["extrusion"],
        },
        laws: vec![LAWS, FORCE_LAWS, FRICTION],
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
    fn of(state: &State, figures: &Figures, checks: &[Check]) -> Self {
        Self {
            gap_mm: figures.get(Figure::GapMm),
            verdict: checks
                .iter()
                .filter(|c| c.state == state.name)
                .map(|c| c.verdict)
                .max()
                .unwrap_or(Verdict::Good),
            name: state.name.clone(),
            squeeze_mm: always(figures, Figure::SqueezeMm),
            squeeze_pct: always(figures, Figure::SqueezePct),
            fill_pct: always(figures, Figure::FillPct),
        }
    }
}

/// Says which back-up rings the pressure calls for, and how wide the groove is with them.
fn back_up(service: &Service<'_>, ring: &GlandRing, judgement: &Judgement) -> Option<BackUp> {
    let figures = &judgement.states[0].1;
    let too_wide = judgement.checks.iter().any(|c| {
        c.figure == Some(Figure::GapMm) && c.value.is_some() && c.verdict == Verdict::Reject
    });
    if !too_wide && !service.wants_back_up(figures) {
        return None;
    }
    let printed = PrintedGroove::of(service.duty.radial_table(), ring.section.nominal.mm());
    let widths = printed.map_or_else(
        || "; no table known here gives widths for this section".to_owned(),
        |row| format!("; widths: {} ({})", row.source, row.confidence),
    );
    Some(BackUp {
        needed: too_wide,
        side: "the side away from the pressure; two, one on each side, where pressure can come from both or so that none can be put in wrong",
        width_one_mm: printed.and_then(|row| row.width_mm(1)),
        width_two_mm: printed.and_then(|row| row.width_mm(2)),
        source: format!(
            "to be considered above 1500 psi (103.5 bar) with a gap: Parker, section IV; side and two preferred: MIL-G-5514G 3.4{widths}"
        ),
    })
}

/// Lists what the verdict does not say by itself.
fn cautions(ring: &GlandRing, judgement: &Judgement) -> Vec<String> {
    /// Below and above these sections no industrial table is printed.
    const PRINTED_MM: std::ops::Range<f64> = 1.5..8.5;
    /// Fill at maximum material that is allowed whatever the medium (Parker, gland overfill).
    const FULL_PCT: f64 = 90.0;
    let mut notes = Vec::new();
    let figures = &judgement.states[0].1;
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
