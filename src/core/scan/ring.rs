//! A measured ring, each figure with its own uncertainty.

use super::defect::{Defect, DefectKind, defects};
use super::outline::{Outlined, outlined};
use super::polar::{MOST_SECTION, NoRing};
use super::scale::Scale;
use super::series::Series;
use super::trace::Traced;
use crate::core::quantity::{Length, as_mm};
use std::f64::consts::{PI, TAU};

/// A length with its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct Measured {
    #[serde(rename = "mm", serialize_with = "as_mm")]
    pub value: Length,
    /// Its standard uncertainty, the scale of the page with it.
    #[serde(rename = "standard_uncertainty_mm", serialize_with = "as_mm")]
    pub uncertainty: Length,
}

impl Measured {
    fn of_mm(value: f64, uncertainty: f64) -> Option<Self> {
        Some(Self {
            value: Length::from_mm(value)?,
            uncertainty: Length::from_mm(uncertainty)?,
        })
    }
}

/// Says why a ring is measured with doubt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Doubt {
    /// It is lighter than the paper.
    Lighter,
    /// It is grey: rubber under talc, or metal.
    Grey,
    /// A part of an edge is hidden by a neighbour, or gone.
    PartlyHidden,
    /// It is not of one width all round.
    UnevenWidth,
    /// An edge is rougher than that of a sound ring.
    Rough,
    /// Its edge is blurred so much that the size is not known to 0.1 mm.
    Blurred,
    /// The section has few points: scan it finer.
    FewPoints,
    /// It is cut through, or a neighbour lies across it.
    Cut,
    /// It is not shaded across its section as a tube is: it may be a flat washer, which looks the same from above.
    Flat,
}

/// A ring as the page shows it.
#[derive(Debug, Clone, serde::Serialize)]
pub struct ScannedRing {
    /// Middle, in points from the left edge of the page.
    #[serde(skip)]
    pub x: f64,
    /// Middle, in points from the upper edge.
    #[serde(skip)]
    pub y: f64,
    /// Outside diameter: length of the outer outline over pi.
    pub od: Measured,
    /// Inside diameter: length of the inner outline over pi.
    pub id: Measured,
    /// Half of outside less inside diameter. It is the extent along the radius, not the axial width of a ring that was
    /// squeezed, and not its section: for the eye alone.
    pub plan_width: Measured,
    /// Greatest less least extent of the outside over their mean.
    pub ovality: f64,
    /// Why it is doubtful; empty: sure.
    pub doubts: Vec<Doubt>,
    pub defects: Vec<Defect>,
    /// The outlines about the middle, mm over the angle (clockwise on the page, from the right).
    #[serde(skip)]
    pub inner: Series,
    /// See `inner`.
    #[serde(skip)]
    pub outer: Series,
    #[serde(skip)]
    pub(super) score: f64,
    /// Second harmonic of the width across the page over the width, for the lens.
    #[serde(skip)]
    pub(super) widening: f64,
}

/// A higher score is no ring.
const WORST: f64 = 0.5;
/// Bounds of a ring that is sure. They were set on simulated pages and 15 photographs.
const SURE_SCORE: f64 = 0.25;
const SURE_ROUGHNESS_MM: f64 = 0.016;
const SURE_WIDTH_SCATTER: f64 = 0.035;
const FEWEST_POINTS: f64 = 7.0;
/// Where more of the edges is not seen than this part of the outside, a ring may lean on another, which shows it smaller.
const MOST_LOST: f64 = 0.08;
/// A wider uncertainty of the outside leaves room for an error of a tenth of a millimetre.
const SURE_UNCERTAINTY_MM: f64 = 0.09;
/// The edge's uncertainty: part of the blur (gamma and lamp unknown), part of a point, and paper, stepping and joints.
const OF_BLUR: f64 = 0.13;
const OF_POINT: f64 = 0.10;
const EDGE_MM: f64 = 0.004;

/// Less shading than this is none: flat washers of black rubber showed 0.016 at most, rings 0.025 at least, under lamps on one side 0.2
/// and more (24 simulated scanners and ten pages).
const LEAST_SHADING: f64 = 0.02;
/// A plate differs less in its light across the section; a tube differs by a fifth and more, in even light by less where it is black.
const FLAT: f64 = 0.08;
/// Black rubber gives back a smaller part of the paper's light.
const BLACK: f32 = 0.1;

impl ScannedRing {
    /// Measures a traced ring, or says why it is none.
    pub(super) fn of(traced: &Traced, scale: &Scale) -> Result<Self, NoRing> {
        let shape = outlined(traced, scale)?;
        let (inner, outer) = (&shape.inner.series, &shape.outer.series);
        let (id, od) = (inner.girth_diameter(), outer.girth_diameter());
        let width = (od - id) / 2.0;
        let profile = WidthProfile::of(inner, outer, width);
        let kept = [&shape.inner, &shape.outer].map(|edge| edge.share_kept(0.2));
        let rough = [shape.inner.scatter, shape.outer.scatter];
        let lost = f64::midpoint(1.0 - kept[0], 1.0 - kept[1]);
        let score = profile.scatter + lost + 10.0 * (rough[0] + rough[1]) / width;
        let (ovality, oval_inside) = (outer.ovality(), inner.ovality());
        if kept[0] < 0.6
            || kept[1] < 0.35
            || rough[0] > 0.02 * id + 0.05
            || rough[1] > 0.02 * od + 0.05
        {
            return Err(NoRing::NotSmooth);
        }
        if ovality.max(oval_inside) > 0.25 {
            return Err(NoRing::NotRound);
        }
        if profile.scatter > 0.16 || score > WORST {
            return Err(NoRing::UnevenWidth);
        }
        if width < 0.35 {
            return Err(NoRing::TooThin);
        }
        if id < 0.5 || width > 12.0 || width > MOST_SECTION * id + 0.3 {
            return Err(NoRing::HoleTooSmall);
        }
        let figures = figures(traced, &shape, scale, [id, od]).ok_or(NoRing::NotSmooth)?;
        let defects = defects(traced, &shape, scale);
        let mut doubts = doubts(traced, score, profile.scatter, rough, scale);
        let lost = defects
            .iter()
            .filter(|defect| defect.kind == DefectKind::EdgeLost);
        let lost_mm: f64 = lost.map(|defect| defect.length.mm()).sum();
        if lost_mm > MOST_LOST * PI * od && !doubts.contains(&Doubt::PartlyHidden) {
            doubts.push(Doubt::PartlyHidden);
        }
        if figures.od.uncertainty.mm() > SURE_UNCERTAINTY_MM {
            doubts.push(Doubt::Blurred);
        }
        if defects.iter().any(|defect| defect.kind == DefectKind::Cut) {
            doubts.push(Doubt::Cut);
        }
        Ok(Self {
            x: traced.x + shape.middle[0] / scale.across.mm(),
            y: traced.y + shape.middle[1] / scale.down.mm(),
            od: figures.od,
            id: figures.id,
            plan_width: figures.plan_width,
            ovality,
            doubts,
            defects,
            inner: inner.clone(),
            outer: outer.clone(),
            score,
            widening: profile.widening,
        })
    }

    /// Tells whether nothing speaks against it.
    pub fn is_sure(&self) -> bool {
        self.doubts.is_empty()
    }

    /// Tells whether it is doubtful, flat and lighter than black rubber: a washer, or a part of a circlip.
    pub(super) fn is_metal(&self, traced: &Traced) -> bool {
        self.doubts.iter().any(|doubt| *doubt != Doubt::Flat)
            && traced.shading < FLAT
            && traced.look.least_ratio() > BLACK
    }

    /// Tells whether it is cut through where none of its neighbours lies across it. What talc covers in patches may look so too.
    pub(super) fn is_open(&self, others: &[&Self], scale: &Scale) -> bool {
        let is_cut = |defect: &&Defect| defect.kind == DefectKind::Cut;
        let wide = self.plan_width.value.mm();
        let middle = f64::midpoint(self.id.value.mm(), wide);
        let is_beside = |cut: &Defect| {
            let (sin, cos) = cut.angle.sin_cos();
            others.iter().any(|other| {
                let [x, y] = other.from(self, scale);
                let apart = (x - middle * cos).hypot(y - middle * sin);
                apart < other.od.value.mm() / 2.0 + wide
            })
        };
        !self.doubts.contains(&Doubt::Grey)
            && self
                .defects
                .iter()
                .filter(is_cut)
                .any(|cut| !is_beside(cut))
    }

    /// Gives where it lies from the middle of another, mm.
    fn from(&self, other: &Self, scale: &Scale) -> [f64; 2] {
        [
            (self.x - other.x) * scale.across.mm(),
            (self.y - other.y) * scale.down.mm(),
        ]
    }

    /// Tells whether another lies at the same place and neither holds the other in its hole.
    pub(super) fn is_same_place(&self, other: &Self, scale: &Scale) -> bool {
        let (a, b) = (self.od.value.mm(), other.od.value.mm());
        let [x, y] = self.from(other, scale);
        x.hypot(y) <= 0.35 * a.max(b)
            && a >= 0.97 * other.id.value.mm()
            && b >= 0.97 * self.id.value.mm()
    }
}

struct WidthProfile {
    /// Standard deviation of the width round the ring, over the width.
    scatter: f64,
    widening: f64,
}

impl WidthProfile {
    fn of(inner: &Series, outer: &Series, width: f64) -> Self {
        const STEPS: u32 = 360;
        let angle = |k: u32| f64::from(k) * TAU / f64::from(STEPS);
        let widths: Vec<f64> = (0..STEPS)
            .map(|k| outer.radius(angle(k)) - inner.radius(angle(k)))
            .collect();
        let mean = widths.iter().sum::<f64>() / f64::from(STEPS);
        let square = widths.iter().map(|w| (w - mean).powi(2)).sum::<f64>() / f64::from(STEPS);
        let second: f64 = (0..STEPS)
            .zip(&widths)
            .map(|(k, w)| w * (2.0 * angle(k)).cos())
            .sum();
        Self {
            scatter: square.sqrt() / width,
            widening: 2.0 * second / f64::from(STEPS) / width,
        }
    }
}

struct Figures {
    od: Measured,
    id: Measured,
    plan_width: Measured,
}

fn figures(
    traced: &Traced,
    shape: &Outlined,
    scale: &Scale,
    diameters: [f64; 2],
) -> Option<Figures> {
    let pitch = scale.mean_mm();
    let edge = |blur: f64| {
        let parts = [OF_BLUR * blur * pitch, OF_POINT * pitch, EDGE_MM];
        parts.iter().map(|part| part * part).sum::<f64>().sqrt()
    };
    let (inner, outer) = (edge(traced.inner.blur), edge(traced.outer.blur));
    let of = |diameter: f64, edge: f64, fit: f64| {
        let parts = [2.0 * edge, 2.0 * fit, scale.relative_uncertainty * diameter];
        let uncertainty = parts.iter().map(|part| part * part).sum::<f64>().sqrt();
        Measured::of_mm(diameter, uncertainty)
    };
    let [id, od] = diameters;
    Some(Figures {
        od: of(od, outer, shape.outer.standard_error)?,
        id: of(id, inner, shape.inner.standard_error)?,
        plan_width: Measured::of_mm((od - id) / 2.0, inner.hypot(outer))?,
    })
}

fn doubts(
    traced: &Traced,
    score: f64,
    width_scatter: f64,
    rough: [f64; 2],
    scale: &Scale,
) -> Vec<Doubt> {
    let roughness = SURE_ROUGHNESS_MM.max(0.25 * scale.mean_mm());
    let found = [
        (Doubt::Lighter, !traced.look.is_darker()),
        (Doubt::Grey, traced.look.is_grey()),
        (Doubt::PartlyHidden, score >= SURE_SCORE),
        (Doubt::UnevenWidth, width_scatter >= SURE_WIDTH_SCATTER),
        (Doubt::Rough, rough[0].max(rough[1]) >= roughness),
        (Doubt::FewPoints, traced.section < FEWEST_POINTS),
        (Doubt::Flat, traced.shading < LEAST_SHADING),
    ];
    found
        .iter()
        .filter(|(_, is)| *is)
        .map(|(doubt, _)| *doubt)
        .collect()
}
