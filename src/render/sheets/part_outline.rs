//! One part as its section through the axis, from what was recorded of it.

use crate::core::book::{PartAction, PartLine};
use crate::core::note::PartKind;
use crate::render::page::{Drawing, Pen, Piece};

/// What stands for a length along the axis that nobody recorded, as a share of the outside diameter: a turned part, and a flat one.
const TURNED_SHARE: f64 = 0.5;
const FLAT_SHARE: f64 = 0.12;
/// A hole that nobody recorded, as a share of the outside diameter.
const HOLE_SHARE: f64 = 0.55;
/// The wire of a spring that nobody recorded.
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

/// Names the form of a section.
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

/// Holds a length as it is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Drawn {
    mm: f64,
    known: bool,
}

/// Holds one part as it is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PartOutline {
    form: Form,
    od: Drawn,
    /// Along the axis.
    long: Drawn,
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
        if let (Form::Ring, Some(section)) = (form, line.size.section) {
            let section = or(Some(section.mm()), 0.0);
            return Self {
                form,
                od,
                long: section,
                inner: None,
                replaced: line.action == PartAction::Replace,
            };
        }
        let share = if matches!(
            form,
            Form::Turned | Form::Hexagon | Form::Spring | Form::Cone
        ) {
            TURNED_SHARE
        } else {
            FLAT_SHARE
        };
        let along: &[&str] = match form {
            Form::Ring | Form::Band | Form::Solid => &["thick", "width", "height", "length"],
            _ => &["length", "height", "thick", "depth"],
        };
        let inner = match form {
            Form::Spring => Some(or(known(line, &["wire"]), od.mm * WIRE_SHARE)),
            Form::Turned => nose.map(|mm| or(Some(mm), mm)),
            Form::Band => Some(or(inside, od.mm * HOLE_SHARE)),
            Form::Ring => Some(or(
                known(line, &["cs"]).map(|section| od.mm - 2.0 * section),
                od.mm * (1.0 - 2.0 * FLAT_SHARE),
            )),
            Form::Solid | Form::Cone | Form::Hexagon => inside.map(|mm| or(Some(mm), mm)),
        };
        let ring_section = inner.filter(|_| form == Form::Ring).map(|hole| Drawn {
            mm: (od.mm - hole.mm) / 2.0,
            known: hole.known,
        });
        Self {
            form,
            od,
            long: ring_section.unwrap_or_else(|| or(known(line, along), od.mm * share)),
            inner,
            replaced: line.action == PartAction::Replace,
        }
    }

    /// Returns the outside diameter as it is drawn.
    pub(super) fn od_mm(&self) -> f64 {
        self.od.mm
    }

    /// Returns the length along the axis as it is drawn.
    pub(super) fn long_mm(&self) -> f64 {
        self.long.mm
    }

    /// Draws the section about a level axis, from a left end on it, in points a millimetre.
    pub(super) fn draw(&self, drawing: &mut Drawing, (left, axis): (f64, f64), per_mm: f64) {
        let outer = self.od.mm * per_mm / 2.0;
        let long = self.long.mm * per_mm;
        let inner = self.inner.map_or(0.0, |inner| inner.mm * per_mm / 2.0);
        let pen = self.pen();
        match self.form {
            Form::Ring => {
                for side in [-1.0, 1.0] {
                    let centre = (left + long / 2.0, axis + side * (outer - long / 2.0));
                    drawing.circle(centre, long / 2.0, pen);
                }
            }
            Form::Band => self.bands(drawing, (left, axis), (outer, inner), long),
            Form::Solid if inner > 0.0 => {
                self.bands(drawing, (left, axis), (outer, inner), long);
            }
            Form::Solid => drawing.rectangle((left, axis - outer), (long, 2.0 * outer), pen),
            Form::Cone => {
                let small = outer * CONE_SHARE;
                drawing.path(
                    vec![
                        Piece::Move(left, axis - outer),
                        Piece::Line(left + long, axis - small),
                        Piece::Line(left + long, axis + small),
                        Piece::Line(left, axis + outer),
                        Piece::Close,
                    ],
                    pen,
                );
            }
            Form::Spring => self.coils(drawing, (left, axis), (outer, 2.0 * inner), long),
            Form::Turned => {
                // The nose is half as long as what the part is otherwise drawn.
                let nose = if inner > 0.0 { long / 3.0 } else { 0.0 };
                drawing.rectangle((left, axis - outer), (long - nose, 2.0 * outer), pen);
                if nose > 0.0 {
                    let at = (left + long - nose, axis - inner);
                    drawing.rectangle(at, (nose, 2.0 * inner), pen);
                }
            }
            Form::Hexagon => {
                drawing.rectangle((left, axis - outer), (long, 2.0 * outer), pen);
                for side in [-0.5, 0.5] {
                    let y = axis + side * outer;
                    drawing.line((left, y), (left + long, y), THIN);
                }
            }
        }
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

    /// Two rectangles above and below the axis, and the edges of the hole between them.
    fn bands(
        &self,
        drawing: &mut Drawing,
        (left, axis): (f64, f64),
        (outer, inner): (f64, f64),
        long: f64,
    ) {
        for top in [axis - outer, axis + inner] {
            drawing.rectangle((left, top), (long, outer - inner), self.pen());
        }
        for x in [left, left + long] {
            drawing.line((x, axis - inner), (x, axis + inner), THIN);
        }
    }

    /// The wire of a spring above and below the axis, half a pitch apart, and the coils between.
    fn coils(
        &self,
        drawing: &mut Drawing,
        (left, axis): (f64, f64),
        (outer, wire): (f64, f64),
        long: f64,
    ) {
        let radius = (wire / 2.0).min(outer / 2.0).min(long / 2.0);
        let middle = outer - radius;
        let turns = ((long - wire) / (PITCH_WIRES * wire)).round().max(1.0);
        let step = (long - 2.0 * radius) / (2.0 * turns);
        let at =
            |half_turn: f64, side: f64| (left + radius + half_turn * step, axis + side * middle);
        let pen = self.pen();
        let mut half_turn = 0.0;
        while half_turn < 2.0 * turns - 0.5 {
            let side = if half_turn % 2.0 < 0.5 { -1.0 } else { 1.0 };
            drawing.line(at(half_turn, side), at(half_turn + 1.0, -side), THIN);
            drawing.circle(at(half_turn, side), radius, pen);
            half_turn += 1.0;
        }
        let side = if half_turn % 2.0 < 0.5 { -1.0 } else { 1.0 };
        drawing.circle(at(half_turn, side), radius, pen);
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
