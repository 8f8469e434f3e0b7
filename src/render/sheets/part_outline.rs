//! One part as its section through the axis, from what was recorded of it.

use crate::core::book::{PartAction, PartLine};
use crate::core::note::PartKind;
use crate::render::page::{Drawing, Pen, Point, Rect};

/// What stands for a length along the axis that nobody recorded, as a share of the outside diameter: a turned part, and a flat one.
const TURNED_SHARE: f64 = 0.5;
const FLAT_SHARE: f64 = 0.12;
/// A hole that nobody recorded, as a share of the outside diameter.
const HOLE_SHARE: f64 = 0.55;
const WIRE_SHARE: f64 = 0.12;
/// Pitch of a spring at rest in wire diameters, where nobody counts coils; drawn, not measured.
const PITCH_WIRES: f64 = 2.4;
/// The small end of a filter cone, as a share of its large one.
const CONE_SHARE: f64 = 0.5;

const OUTLINE: Pen = Pen::line(0.6);
const UNKNOWN: Pen = Pen::dashed(0.6, 2.0);
/// What is replaced is shaded, what stays is open.
const SHADED: Pen = Pen::filled(0.6, 0.72);
const THIN: Pen = Pen::line(0.3);

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    /// A sealing ring: two discs.
    Ring,
    /// A flat ring: two rectangles.
    Band,
    /// A disc without a hole.
    Solid,
    /// A cone that is open at its large end.
    Cone,
    /// A coiled spring.
    Spring,
    /// A turned part: one outline, with a nose where an edge was measured.
    Turned,
    /// A hexagon seen from the side.
    Hexagon,
}

/// A length as it is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Drawn {
    pub(super) mm: f64,
    known: bool,
}

/// One part as it is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PartOutline {
    form: Form,
    pub(super) od: Drawn,
    /// Along the axis.
    pub(super) long: Drawn,
    /// The hole, or the wire of a spring, or the nose of a turned part.
    inner: Option<Drawn>,
    replaced: bool,
}

impl PartOutline {
    /// Returns the outside diameter of a part, where it is known.
    pub(super) fn known_od_mm(line: &PartLine) -> Option<f64> {
        if let Some((id, section)) = line.size.id.zip(line.size.section) {
            return Some(id.mm() + 2.0 * section.mm());
        }
        known(line, &["od", "flats"])
    }

    /// Takes what a line of a parts list says of a part; `usual_od_mm` stands for a diameter that nobody measured.
    pub(super) fn of(line: &PartLine, usual_od_mm: f64) -> Self {
        let form = form(line);
        let or = |mm: Option<f64>, else_mm: f64| Drawn {
            mm: mm.unwrap_or(else_mm),
            known: mm.is_some(),
        };
        let inside = known(line, &["id", "hole"]);
        let nose = known(line, &["edge"]);
        let by_inside = inside.map(|id| id / HOLE_SHARE);
        let od = or(
            Self::known_od_mm(line),
            by_inside.unwrap_or(usual_od_mm).max(nose.unwrap_or(0.0)),
        );
        let section = line.size.section.filter(|_| form == Form::Ring);
        let inner = match form {
            Form::Spring => Some(or(known(line, &["wire"]), od.mm * WIRE_SHARE)),
            Form::Turned => nose.map(|mm| or(Some(mm), mm)),
            Form::Band => Some(or(inside, od.mm * HOLE_SHARE)),
            Form::Ring if section.is_some() => None,
            Form::Ring => Some(or(
                known(line, &["cs"]).map(|section| od.mm - 2.0 * section),
                od.mm * (1.0 - 2.0 * FLAT_SHARE),
            )),
            Form::Solid | Form::Cone | Form::Hexagon => inside.map(|mm| or(Some(mm), mm)),
        };
        let long = match (form, section, inner) {
            (Form::Ring, Some(section), _) => or(Some(section.mm()), 0.0),
            (Form::Ring, None, Some(hole)) => Drawn {
                mm: (od.mm - hole.mm) / 2.0,
                known: hole.known,
            },
            (Form::Ring | Form::Band | Form::Solid, ..) => {
                let thick = known(line, &["thick", "width", "height", "length"]);
                or(thick, od.mm * FLAT_SHARE)
            }
            _ => {
                let long = known(line, &["length", "height", "thick", "depth"]);
                or(long, od.mm * TURNED_SHARE)
            }
        };
        Self {
            form,
            od,
            long,
            inner,
            replaced: line.action == PartAction::Replace,
        }
    }

    /// Draws the section about a level axis, from its left end, in points a millimetre.
    pub(super) fn draw(&self, drawing: &mut Drawing, end: Point, per_mm: f64) {
        let [outer, inner, long] = self.measures(per_mm);
        let pen = self.pen();
        let body =
            |left: f64, half: f64, long: f64| Rect::new(end.by(left, -half), long, 2.0 * half);
        match self.form {
            Form::Ring => {
                for side in [-1.0, 1.0] {
                    let centre = end.by(long / 2.0, side * (outer - long / 2.0));
                    drawing.circle(centre, long / 2.0, pen);
                }
            }
            Form::Solid if inner <= 0.0 => drawing.rectangle(body(0.0, outer, long), pen),
            // Two rectangles above and below the axis, and the edges of the hole between them.
            Form::Band | Form::Solid => {
                for top in [-outer, inner] {
                    drawing.rectangle(Rect::new(end.by(0.0, top), long, outer - inner), pen);
                }
                for x in [0.0, long] {
                    drawing.line(end.by(x, -inner), end.by(x, inner), THIN);
                }
            }
            Form::Cone => {
                let small = outer * CONE_SHARE;
                let corners = [(0.0, -outer), (long, -small), (long, small), (0.0, outer)];
                drawing.polygon(corners.map(|(x, y)| end.by(x, y)), pen);
            }
            Form::Spring => self.coils(drawing, end, per_mm),
            Form::Turned => {
                // The nose is half as long as what the part is otherwise drawn.
                let nose = if inner > 0.0 { long / 3.0 } else { 0.0 };
                drawing.rectangle(body(0.0, outer, long - nose), pen);
                if nose > 0.0 {
                    drawing.rectangle(body(long - nose, inner, nose), pen);
                }
            }
            Form::Hexagon => {
                drawing.rectangle(body(0.0, outer, long), pen);
                for y in [-0.5 * outer, 0.5 * outer] {
                    drawing.line(end.by(0.0, y), end.by(long, y), THIN);
                }
            }
        }
    }

    /// Half the outside, half the inside, and the length along the axis, in points.
    fn measures(&self, per_mm: f64) -> [f64; 3] {
        let half = |length: Drawn| length.mm * per_mm / 2.0;
        let inner = self.inner.map_or(0.0, half);
        [half(self.od), inner, self.long.mm * per_mm]
    }

    fn pen(&self) -> Pen {
        let known = self.od.known && self.long.known && self.inner.is_none_or(|inner| inner.known);
        match (known, self.replaced) {
            (true, true) => SHADED,
            (true, false) => OUTLINE,
            (false, true) => Pen {
                fill: SHADED.fill,
                ..UNKNOWN
            },
            (false, false) => UNKNOWN,
        }
    }

    /// The wire of a spring above and below the axis, half a pitch apart, and the coils between.
    fn coils(&self, drawing: &mut Drawing, end: Point, per_mm: f64) {
        let [outer, half_wire, long] = self.measures(per_mm);
        let wire = 2.0 * half_wire;
        let radius = (wire / 2.0).min(outer / 2.0).min(long / 2.0);
        let turns = ((long - wire) / (PITCH_WIRES * wire)).round().max(1.0);
        let step = (long - 2.0 * radius) / (2.0 * turns);
        let at =
            |half_turn: f64, side: f64| end.by(radius + half_turn * step, side * (outer - radius));
        let pen = self.pen();
        let mut half_turn = 0.0;
        loop {
            let side = if half_turn % 2.0 < 0.5 { -1.0 } else { 1.0 };
            let last = half_turn >= 2.0 * turns - 0.5;
            if !last {
                drawing.line(at(half_turn, side), at(half_turn + 1.0, -side), THIN);
            }
            drawing.circle(at(half_turn, side), radius, pen);
            if last {
                return;
            }
            half_turn += 1.0;
        }
    }
}

fn form(line: &PartLine) -> Form {
    let has = |words: &[&str]| known(line, words).is_some();
    match line.kind {
        PartKind::Ring => Form::Ring,
        PartKind::BackupRing
        | PartKind::Gasket
        | PartKind::Washer
        | PartKind::Shim
        | PartKind::Clip => Form::Band,
        PartKind::Filter if has(&["length", "height"]) && !has(&["thick"]) => Form::Cone,
        PartKind::Seat | PartKind::Filter | PartKind::Diaphragm | PartKind::Flap => Form::Solid,
        PartKind::Spring => Form::Spring,
        PartKind::Nut | PartKind::Plug | PartKind::Screw => Form::Hexagon,
        _ => Form::Turned,
    }
}

/// Returns the first of some lengths that is known.
fn known(line: &PartLine, words: &[&str]) -> Option<f64> {
    words.iter().find_map(|word| {
        let mut lengths = line.size.lengths.iter();
        let length = lengths.find(|length| length.word == *word)?;
        Some(length.length.mm()).filter(|mm| *mm > 0.0)
    })
}
