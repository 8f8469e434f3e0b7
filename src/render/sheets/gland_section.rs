//! The section of a gland with its ring, to scale: what it is made of, its letters and their words.

use super::gland_metal::metal;
use super::squeezed_ring::{Squeezed, draw_ring};
use crate::app::gland::check::GlandCheckReport;
use crate::core::gland::{Bounds, GlandDimension, GlandKind, GlandSpec, PressureSide};
use crate::core::quantity::{Dimension, Length, LengthUnit};
use crate::render::number::{fixed, inch3, mm3};
use crate::render::page::{
    Anchor, Drawing, Frame, LEADING, Pen, Point, Rect, SMALL, Type, View, circle, points, wrapped,
};

/// Names the form of the space that the ring lies in. Lengths in millimetres, at nominal size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Shape {
    /// A groove of square corners in the lower part; above where `true`.
    Groove(bool),
    /// A groove whose walls lean back under the mouth, by so much at the inner and the outer wall.
    Undercut(f64, f64),
    /// The step under the head of a plug, around its neck.
    Step,
    /// The space between the neck and head of a plug and a cone: depth of the cone, angle from the axis in radians.
    Cone(f64, f64),
}

/// A section as it is drawn: all in millimetres at nominal size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Section {
    pub(super) shape: Shape,
    /// Height of the space that the section is squeezed into; of a cone the circle that touches neck, head and cone.
    pub(super) depth: f64,
    /// Width of the groove; of a dovetail at its mouth, of a cone from neck to cone at the face.
    pub(super) width: f64,
    /// Gap between the parts beside the groove, with the parts in the middle.
    pub(super) gap: f64,
    pub(super) free: f64,
    /// Diameter of the section on its seat, before it is squeezed.
    pub(super) seated: f64,
    /// Back-up rings: on the side of low pressure, on both where the side is not known.
    pub(super) back_ups: BackUps,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct BackUps {
    pub(super) left: bool,
    pub(super) right: bool,
    /// Whether they are needed, not only to be considered.
    pub(super) needed: bool,
}

impl BackUps {
    fn of(report: &GlandCheckReport, from: Option<PressureSide>) -> Self {
        let Some(back_up) = &report.back_up else {
            return Self::default();
        };
        Self {
            left: from != Some(PressureSide::Inside),
            right: from != Some(PressureSide::Outside),
            needed: back_up.needed,
        }
    }

    fn count(self) -> usize {
        usize::from(self.left) + usize::from(self.right)
    }
}

/// Thickness at which a back-up ring is drawn; printed widths of grooves grow by 1.2 to 1.5 mm a back-up ring for the small
/// sections (data/glands/industrial_inch.csv).
pub(super) const BACK_UP_MM: f64 = 1.2;

impl Section {
    /// Takes the section of a gland; `None` where a dimension of it is missing.
    pub(super) fn of(report: &GlandCheckReport, spec: &GlandSpec) -> Option<Self> {
        let mm = |which| spec.dimension(which).map(|d: Dimension| d.nominal.mm());
        let half = |outer, inner| Some((mm(outer)? - mm(inner)?) / 2.0);
        let angle = spec.degrees_taken().map_or(0.0, f64::to_radians);
        let width = || mm(GlandDimension::Width);
        let (shape, width) = match report.kind {
            GlandKind::Piston | GlandKind::Carrier => (Shape::Groove(false), width()?),
            GlandKind::Rod => (Shape::Groove(true), width()?),
            GlandKind::Face => {
                let between = half(GlandDimension::Outer, GlandDimension::Inner);
                (Shape::Groove(false), between.or_else(width)?)
            }
            GlandKind::Counterbore => (
                Shape::Step,
                half(GlandDimension::Outer, GlandDimension::Neck)?,
            ),
            GlandKind::Dovetail | GlandKind::HalfDovetail => {
                let lean = mm(GlandDimension::Depth)? / libm::tan(angle);
                let both = report.kind == GlandKind::Dovetail;
                (
                    Shape::Undercut(if both { lean } else { 0.0 }, lean),
                    width()?,
                )
            }
            GlandKind::Port => (
                Shape::Cone(mm(GlandDimension::Depth)?, angle),
                half(GlandDimension::Mouth, GlandDimension::Neck)?,
            ),
            GlandKind::Crush => {
                let leg = mm(GlandDimension::Chamfer)
                    .or_else(|| half(GlandDimension::Mouth, GlandDimension::Neck))?;
                (Shape::Cone(leg / libm::tan(angle), angle), leg)
            }
        };
        Some(Self {
            shape,
            depth: report.gland_depth_mm.nominal,
            width,
            gap: report.gap_radial_mm.map_or(0.0, |gap| gap.nominal.max(0.0)),
            free: report.ring.section.mm(),
            seated: report.section_mm.nominal,
            back_ups: BackUps::of(report, spec.from),
        })
    }

    /// Returns how far the metal is drawn beside the mouth.
    pub(super) fn side(&self) -> f64 {
        match self.shape {
            Shape::Undercut(inner, outer) => SIDE_MM + inner.max(outer),
            _ => SIDE_MM,
        }
    }

    /// Returns where the inner and the outer wall meet the face.
    pub(super) fn walls(&self) -> (f64, f64) {
        (self.side(), self.side() + self.width)
    }

    /// Tells whether the ring lies around the neck of a plug.
    fn is_plug(&self) -> bool {
        matches!(self.shape, Shape::Step | Shape::Cone(..))
    }

    /// Returns how deep the space is below the face.
    pub(super) fn bottom(&self) -> f64 {
        match self.shape {
            Shape::Cone(deep, _) => deep,
            _ => self.depth,
        }
    }

    fn size(&self) -> (f64, f64) {
        (
            self.width + 2.0 * self.side(),
            self.bottom() + 2.0 * WALL_MM,
        )
    }

    /// Says what the letters of the drawing stand for (t and b as in ISO 3601-2), with tolerances.
    pub(super) fn words(&self, report: &GlandCheckReport, frame: &Frame) -> Vec<String> {
        let inches = frame.unit == LengthUnit::In;
        let (unit, per, places) = if inches {
            ("in", MM_PER_INCH, 4)
        } else {
            ("mm", 1.0, 3)
        };
        let number = |mm: f64| fixed(mm / per, places);
        let range = |name: &str, bounds: Bounds| {
            let (least, most) = (number(bounds.min), number(bounds.max));
            let nominal = number(bounds.nominal);
            format!("{name}: {nominal} {unit}, {least} to {most}")
        };
        let (depth, width) = match self.shape {
            Shape::Cone(..) => (
                "t, circle that touches neck, head and cone",
                "b, neck to cone at the face",
            ),
            Shape::Undercut(..) => ("t, depth of the gland", "b, width at the mouth"),
            Shape::Step => ("t, depth of the gland", "b, neck to wall"),
            Shape::Groove(_) => ("t, depth of the gland", "b, width of the groove"),
        };
        let mut words = vec![
            range(depth, report.gland_depth_mm),
            format!("{width}: {} {unit}", number(self.width)),
            range("section as seated", report.section_mm),
            range("squeeze", report.squeeze_mm),
        ];
        words.extend(report.gap_radial_mm.map(|gap| range("gap, radial", gap)));
        words.extend(self.back_up_words());
        words
    }

    /// Says what the boxes B are, and whether the groove has room for them.
    fn back_up_words(&self) -> Option<String> {
        let count = self.back_ups.count();
        if count == 0 {
            return None;
        }
        let room = self.width - Squeezed::of(self).width() - BACK_UP_MM * count as f64;
        let need = if self.back_ups.needed {
            "needed"
        } else {
            "to be considered"
        };
        let lacks = if room >= 0.0 {
            ""
        } else {
            ": THIS GROOVE HAS NO ROOM FOR IT"
        };
        Some(format!(
            "B: back-up ring, {need}, drawn {BACK_UP_MM} mm thick{lacks}"
        ))
    }
}

/// The drawing is as large as its area allows, in one of these scales, so that it can be measured.
const SCALES: [f64; 7] = [30.0, 20.0, 15.0, 10.0, 8.0, 5.0, 3.0];
pub(super) const WALL_MM: f64 = 1.6;
const SIDE_MM: f64 = 2.2;
const MM_PER_INCH: f64 = 25.4;

/// Draws the section, its letters and their words into an area.
pub(super) fn draw(
    drawing: &mut Drawing,
    area: Rect,
    section: &Section,
    words: &[String],
    from: Option<PressureSide>,
) {
    const SIDE: f64 = 34.0;
    let style = Type::plain(SMALL);
    let words = words
        .iter()
        .flat_map(|line| wrapped(line, style, area.width));
    let words: Vec<String> = words.collect();
    // Below the drawing stand its width and, under a plug, the arrow of a pressure from inside.
    let below_plug = section.is_plug() && from == Some(PressureSide::Inside);
    let foot = if below_plug { 40.0 } else { 28.0 };
    let below = foot + 2.0 + SMALL * LEADING * (words.len() + 1) as f64;
    let (wide_mm, high_mm) = section.size();
    let fits = |scale: &&f64| {
        points(wide_mm) * **scale <= area.width - 2.0 * SIDE
            && points(high_mm) * **scale <= area.height - below
    };
    let times = SCALES.iter().find(fits).copied().unwrap_or(1.0);
    let view = View {
        corner: area.corner.by(SIDE, 4.0),
        scale: points(1.0) * times,
    };
    metal(drawing, view, section);
    back_ups(drawing, view, section);
    draw_ring(drawing, view, section);
    if let Some(from) = from {
        pressure(drawing, view, section, from);
    }
    letters(drawing, view, section);
    let first = Point::new(area.corner.x, view.at(0.0, high_mm).y + foot);
    let scale = format!("Drawn at {times} : 1, at nominal dimensions:");
    drawing.lines(first, style, std::iter::once(&scale).chain(&words));
}

/// Boxes at the walls of the groove, from its floor to the other part; dashed where they are only to be considered.
fn back_ups(drawing: &mut Drawing, view: View, section: &Section) {
    if !matches!(section.shape, Shape::Groove(_)) {
        return;
    }
    let (near, far) = section.walls();
    let pen = if section.back_ups.needed {
        Pen::filled(0.9, 0.97)
    } else {
        Pen::dashed(0.7, 2.0)
    };
    let boxes = [
        (section.back_ups.left, near),
        (section.back_ups.right, far - BACK_UP_MM),
    ];
    for (_, x) in boxes.into_iter().filter(|(drawn, _)| *drawn) {
        let (wide, high) = (BACK_UP_MM * view.scale, section.depth * view.scale);
        drawing.rectangle(Rect::new(view.at(x, WALL_MM), wide, high), pen);
        let style = Type::bold(SMALL).at(Anchor::Middle);
        let middle = view.at(x + BACK_UP_MM / 2.0, WALL_MM + section.depth / 2.0);
        drawing.text(middle.by(0.0, 3.0), style, "B");
    }
}

/// Dimension lines: W for the width, L for the depth of the gland; of a cone L is its circle, dotted.
fn letters(drawing: &mut Drawing, view: View, section: &Section) {
    let style = Type::bold(SMALL).at(Anchor::Middle);
    let (near, far) = section.walls();
    let (face, floor) = (WALL_MM, WALL_MM + section.depth);
    let below = view.at(0.0, section.size().1).y + 8.0;
    let [from, to] = [near, far].map(|x| Point::new(view.at(x, 0.0).x, below));
    measured(drawing, from, to);
    let mouth = match section.shape {
        Shape::Groove(_) => floor,
        _ => face,
    };
    for end in [from, to] {
        let mouth = Point::new(end.x, view.at(0.0, mouth).y);
        drawing.line(mouth, end.by(0.0, 3.0), Pen::dashed(0.3, 1.5));
    }
    let middle = Point::new(f64::midpoint(from.x, to.x), below + 9.0);
    drawing.text(middle, style, "b");
    if let Shape::Cone(..) = section.shape {
        let radius = section.depth / 2.0;
        let centre = view.at(near + radius, WALL_MM + radius);
        let touching = circle(centre, radius * view.scale);
        drawing.path(touching, Pen::dashed(0.5, 0.8));
        drawing.text(centre.by(0.0, 3.0), style, "t");
        return;
    }
    let beside = match section.shape {
        Shape::Undercut(inner, _) => near - inner,
        _ => near,
    };
    let [upper, lower] = [face, floor].map(|y| view.at(beside - 0.45 * SIDE_MM, y));
    measured(drawing, upper, lower);
    for end in [upper, lower] {
        let wall = Point::new(view.at(beside, 0.0).x, end.y);
        drawing.line(end.by(-4.0, 0.0), wall, Pen::line(0.4));
    }
    let middle = Point::new(upper.x - 7.0, f64::midpoint(upper.y, lower.y) + 3.0);
    drawing.text(middle, style, "t");
}

/// A line with an arrow head at both ends.
fn measured(drawing: &mut Drawing, from: Point, to: Point) {
    const HEAD: [f64; 2] = [4.0, 1.3];
    let pen = Pen::line(0.4);
    drawing.line(from, to, pen);
    drawing.arrow_head(to, from, HEAD, pen);
    drawing.arrow_head(from, to, HEAD, pen);
}

/// A heavy arrow on the side where the pressure is. Under a plug the inside is below.
fn pressure(drawing: &mut Drawing, view: View, section: &Section, from: PressureSide) {
    const PEN: Pen = Pen::line(1.4);
    let (wide, high) = section.size();
    let style = Type::bold(SMALL);
    let gap = section.gap / 2.0;
    let level = match section.shape {
        Shape::Groove(true) => WALL_MM + section.depth - gap,
        _ => WALL_MM + gap,
    };
    let (edge, right, down) = match from {
        PressureSide::Outside => (view.at(wide, level), 1.0, 0.0),
        PressureSide::Inside if section.is_plug() => (view.at(section.side(), high), 0.0, 1.0),
        PressureSide::Inside => (view.at(0.0, level), -1.0, 0.0),
    };
    let tail = edge.by(right * 26.0, down * 26.0);
    let tip = edge.by(right * 3.0, down * 3.0);
    drawing.line(tail, tip, PEN);
    drawing.arrow_head(tail, tip, [7.0, 4.0], PEN);
    let (at, anchor) = match from {
        PressureSide::Outside => (tail.by(3.0, 3.0), Anchor::Left),
        PressureSide::Inside if section.is_plug() => (tail.by(-10.0, 0.0), Anchor::Middle),
        PressureSide::Inside => (tail.by(-3.0, 3.0), Anchor::Right),
    };
    drawing.text(at, style.at(anchor), "P");
}

/// Writes a dimension with its tolerance, the reader's unit first.
pub(super) fn dimension_words(dimension: Dimension, frame: &Frame) -> String {
    let tolerance = |write: &dyn Fn(Length) -> String| {
        if !dimension.has_tolerance() {
            String::new()
        } else if dimension.plus == dimension.minus {
            format!(" ±{}", write(dimension.plus))
        } else {
            format!(" +{}/−{}", write(dimension.plus), write(dimension.minus))
        }
    };
    let mm = format!("{}{} mm", mm3(dimension.nominal), tolerance(&mm3));
    let inch4 = |length: Length| fixed(length.inch(), 4);
    let inch = format!("{}{} in", inch3(dimension.nominal), tolerance(&inch4));
    frame.both(&mm, &inch)
}
