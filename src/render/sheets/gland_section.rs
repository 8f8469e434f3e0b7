//! The section of a gland with its ring, to scale.

use crate::app::gland_check::GlandCheckReport;
use crate::core::gland::{Bounds, GlandDimension, GlandKind, GlandSpec, PressureSide};
use crate::core::quantity::{Dimension, Length, LengthUnit};
use crate::render::number::{fixed, inch3, mm3};
use crate::render::page::{Anchor, Drawing, Frame, Pen, Piece, SMALL, Type, ellipse, points};

/// Holds a section as it is drawn: all in millimetres at nominal size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Section {
    /// Height of the space that the section is squeezed into.
    depth: f64,
    /// Width of the groove.
    width: f64,
    /// Gap between the parts beside the groove, with the parts in the middle.
    gap: f64,
    /// Diameter of the free section.
    free: f64,
    /// Diameter of the section on its seat, before it is squeezed.
    seated: f64,
    /// Whether the groove is cut into the upper part.
    above: bool,
}

impl Section {
    /// Takes the section of a gland with a groove of square corners; `None` for cones, chamfers and dovetails.
    pub(super) fn of(report: &GlandCheckReport, spec: &GlandSpec) -> Option<Self> {
        let mm = |which| spec.dimension(which).map(|d: Dimension| d.nominal.mm());
        let width = match report.kind {
            GlandKind::Piston | GlandKind::Rod | GlandKind::Face | GlandKind::Carrier => {
                mm(GlandDimension::Width)?
            }
            GlandKind::Counterbore => {
                (mm(GlandDimension::Outer)? - mm(GlandDimension::Neck)?) / 2.0
            }
            _ => return None,
        };
        Some(Self {
            depth: report.gland_depth_mm.nominal,
            width,
            gap: report.gap_radial_mm.map_or(0.0, |gap| gap.nominal.max(0.0)),
            free: report.ring.section.mm(),
            seated: report.section_mm.nominal,
            above: report.kind == GlandKind::Rod,
        })
    }

    /// Says what the letters of the drawing stand for, with tolerances.
    pub(super) fn words(&self, report: &GlandCheckReport, frame: &Frame) -> Vec<String> {
        let inches = frame.unit == LengthUnit::In;
        let number = |mm: f64| {
            if inches {
                fixed(mm / MM_PER_INCH, 4)
            } else {
                fixed(mm, 3)
            }
        };
        let unit = if inches { "in" } else { "mm" };
        let range = |name: &str, bounds: Bounds| {
            let (least, most) = (number(bounds.min), number(bounds.max));
            let nominal = number(bounds.nominal);
            format!("{name}: {nominal} {unit}, {least} to {most}")
        };
        let mut words = vec![
            range("L, depth of the gland", report.gland_depth_mm),
            format!("W, width of the groove: {} {unit}", number(self.width)),
            range("section on its seat", report.section_mm),
            range("squeeze", report.squeeze_mm),
        ];
        words.extend(report.gap_radial_mm.map(|gap| range("gap, radial", gap)));
        words
    }

    /// Width of the squeezed section: two flats a depth apart and round sides, of the same area as the round section.
    ///
    /// π d²/4 = c h + π h²/4, width c + h, with d the section on its seat and h the depth.
    fn squeezed_width(&self) -> f64 {
        use std::f64::consts::PI;
        let height = self.depth.min(self.seated);
        let flat = PI * (self.seated * self.seated - height * height) / (4.0 * height);
        flat + height
    }
}

/// The drawing is as large as its area allows, in one of these scales, so that it can be measured.
const SCALES: [f64; 7] = [30.0, 20.0, 15.0, 10.0, 8.0, 5.0, 3.0];
const WALL_MM: f64 = 1.6;
const SIDE_MM: f64 = 2.2;
const MM_PER_INCH: f64 = 25.4;

/// Holds where the drawing lies and how large it is.
struct Place {
    left: f64,
    top: f64,
    scale: f64,
}

impl Place {
    fn at(&self, x: f64, y: f64) -> (f64, f64) {
        (self.left + x * self.scale, self.top + y * self.scale)
    }
}

/// Draws the section, its letters and their words into an area of upper left corner and size.
pub(super) fn draw(
    drawing: &mut Drawing,
    ((left, top), (width, height)): ((f64, f64), (f64, f64)),
    (section, words): (&Section, &[String]),
    from: Option<PressureSide>,
) {
    const SIDE: f64 = 34.0;
    const LINE: f64 = SMALL * 1.3;
    let below = 30.0 + LINE * (words.len() + 1) as f64;
    let wide_mm = section.width + 2.0 * SIDE_MM;
    let high_mm = section.depth + 2.0 * WALL_MM;
    let fits = |scale: &&f64| {
        points(wide_mm) * **scale <= width - 2.0 * SIDE
            && points(high_mm) * **scale <= height - below
    };
    let times = SCALES.iter().find(fits).copied().unwrap_or(1.0);
    let place = Place {
        left: left + SIDE,
        top: top + 4.0,
        scale: points(1.0) * times,
    };
    metal(drawing, &place, section);
    ring(drawing, &place, section);
    pressure(drawing, &place, section, from);
    letters(drawing, &place, section);
    let mut y = place.at(0.0, high_mm).1 + 28.0;
    let scale = format!("Drawn {times} times true size, at nominal dimensions:");
    for line in std::iter::once(&scale).chain(words) {
        drawing.text((left, y), Type::plain(SMALL), line);
        y += LINE;
    }
}

/// Dimension lines: W below for the width of the groove, L beside it for the depth of the gland.
fn letters(drawing: &mut Drawing, place: &Place, section: &Section) {
    let style = Type::bold(SMALL).at(Anchor::Middle);
    let (near, far) = (SIDE_MM, SIDE_MM + section.width);
    let y = place.at(0.0, section.depth + 2.0 * WALL_MM).1 + 8.0;
    let (from, to) = ((place.at(near, 0.0).0, y), (place.at(far, 0.0).0, y));
    measured(drawing, from, to);
    let mouth = place.at(0.0, WALL_MM + section.depth).1;
    for x in [from.0, to.0] {
        drawing.line((x, mouth), (x, y + 3.0), Pen::dashed(0.3, 1.5));
    }
    drawing.text((f64::midpoint(from.0, to.0), y + 9.0), style, "W");
    let x = place.at(near - 0.45 * SIDE_MM, 0.0).0;
    let upper = (x, place.at(0.0, WALL_MM).1);
    let lower = (x, place.at(0.0, WALL_MM + section.depth).1);
    measured(drawing, upper, lower);
    for y in [upper.1, lower.1] {
        let wall = place.at(near, 0.0).0;
        drawing.line((x - 4.0, y), (wall, y), Pen::line(0.4));
    }
    let middle = f64::midpoint(upper.1, lower.1);
    drawing.text((x - 7.0, middle + 3.0), style, "L");
}

/// A line with an arrow head at both ends.
fn measured(drawing: &mut Drawing, from: (f64, f64), to: (f64, f64)) {
    const HEAD: f64 = 4.0;
    let pen = Pen::line(0.4);
    drawing.line(from, to, pen);
    let long = libm::hypot(to.0 - from.0, to.1 - from.1).max(1e-9);
    let along = ((to.0 - from.0) / long, (to.1 - from.1) / long);
    for (tip, sign) in [(from, 1.0), (to, -1.0)] {
        for side in [-1.3, 1.3] {
            let x = tip.0 + sign * HEAD * along.0 - side * along.1;
            let y = tip.1 + sign * HEAD * along.1 + side * along.0;
            drawing.line(tip, (x, y), pen);
        }
    }
}

fn metal(drawing: &mut Drawing, place: &Place, section: &Section) {
    let wide = section.width + 2.0 * SIDE_MM;
    let floor = WALL_MM + section.depth;
    let pen = Pen::filled(0.8, 0.86);
    let flip = |y: f64| {
        if section.above {
            2.0 * WALL_MM + section.depth - y
        } else {
            y
        }
    };
    let outline = |points: &[(f64, f64)]| -> Vec<Piece> {
        let mut pieces: Vec<Piece> = points
            .iter()
            .enumerate()
            .map(|(at, (x, y))| {
                let (x, y) = place.at(*x, flip(*y));
                if at == 0 {
                    Piece::Move(x, y)
                } else {
                    Piece::Line(x, y)
                }
            })
            .collect();
        pieces.push(Piece::Close);
        pieces
    };
    // The plain wall, and across the gap the part with the groove.
    drawing.path(
        outline(&[(0.0, 0.0), (wide, 0.0), (wide, WALL_MM), (0.0, WALL_MM)]),
        pen,
    );
    let land = WALL_MM + section.gap;
    let (near, far) = (SIDE_MM, SIDE_MM + section.width);
    let bottom = floor + WALL_MM;
    drawing.path(
        outline(&[
            (0.0, land),
            (near, land),
            (near, floor),
            (far, floor),
            (far, land),
            (wide, land),
            (wide, bottom),
            (0.0, bottom),
        ]),
        pen,
    );
}

fn ring(drawing: &mut Drawing, place: &Place, section: &Section) {
    let middle = SIDE_MM + section.width / 2.0;
    let centre = WALL_MM + section.depth / 2.0;
    let half = section.squeezed_width() / 2.0;
    let radius = section.depth.min(section.seated) / 2.0;
    drawing.path(
        stadium(place, (middle, centre), (half, radius)),
        Pen::filled(0.9, 0.45),
    );
    let seat = if section.above {
        WALL_MM
    } else {
        WALL_MM + section.depth
    };
    let free = section.free / 2.0;
    let y = if section.above {
        seat + free
    } else {
        seat - free
    };
    let at = place.at(middle, y);
    drawing.path(
        ellipse(at, (free * place.scale, free * place.scale)),
        Pen::dashed(0.7, 2.5),
    );
}

/// Two flats with round ends about a centre, `half` wide to each side.
fn stadium(place: &Place, (x, y): (f64, f64), (half, radius): (f64, f64)) -> Vec<Piece> {
    const HANDLE: f64 = 0.552_284_75;
    let flat = (half - radius).max(0.0);
    let point = |dx: f64, dy: f64| place.at(x + dx, y + dy);
    let curve = |a: (f64, f64), b: (f64, f64), end: (f64, f64)| {
        Piece::Curve([a.0, a.1, b.0, b.1, end.0, end.1])
    };
    let handle = radius * HANDLE;
    let start = point(-flat, -radius);
    let right = point(flat, -radius);
    vec![
        Piece::Move(start.0, start.1),
        Piece::Line(right.0, right.1),
        curve(
            point(flat + handle, -radius),
            point(flat + radius, -handle),
            point(flat + radius, 0.0),
        ),
        curve(
            point(flat + radius, handle),
            point(flat + handle, radius),
            point(flat, radius),
        ),
        {
            let left = point(-flat, radius);
            Piece::Line(left.0, left.1)
        },
        curve(
            point(-flat - handle, radius),
            point(-flat - radius, handle),
            point(-flat - radius, 0.0),
        ),
        curve(
            point(-flat - radius, -handle),
            point(-flat - handle, -radius),
            start,
        ),
        Piece::Close,
    ]
}

/// An arrow on the side where the pressure is; without a stated side no arrow stands.
fn pressure(drawing: &mut Drawing, place: &Place, section: &Section, from: Option<PressureSide>) {
    let Some(from) = from else { return };
    let wide = section.width + 2.0 * SIDE_MM;
    let y = WALL_MM + section.gap / 2.0;
    let y = if section.above {
        2.0 * WALL_MM + section.depth - y
    } else {
        y
    };
    let right = from == PressureSide::Outside;
    let edge = place.at(if right { wide } else { 0.0 }, y);
    let sign = if right { 1.0 } else { -1.0 };
    let tail = (edge.0 + sign * 26.0, edge.1);
    let tip = (edge.0 + sign * 3.0, edge.1);
    drawing.line(tail, tip, Pen::line(1.4));
    for lean in [-4.0, 4.0] {
        drawing.line(tip, (tip.0 + sign * 7.0, tip.1 + lean), Pen::line(1.4));
    }
    let anchor = if right { Anchor::Left } else { Anchor::Right };
    drawing.text(
        (tail.0 + sign * 3.0, tail.1 + 3.0),
        Type::bold(SMALL).at(anchor),
        "P",
    );
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
    match frame.unit {
        LengthUnit::In => format!("{inch} ({mm})"),
        _ => format!("{mm} ({inch})"),
    }
}
