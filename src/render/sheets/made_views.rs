//! Plan and section of a flat round part, with the lines of its dimensions.

use crate::core::book::{MadeForm, MadeLength, MadePart};
use crate::core::note::LengthName;
use crate::render::page::{Anchor, Drawing, Pen, Piece, SMALL, Type};

/// Names that a height goes by, and those of a hole.
pub(super) const HIGH: [LengthName; 4] = [
    LengthName::Thick,
    LengthName::Height,
    LengthName::Length,
    LengthName::Depth,
];
pub(super) const HOLE: [LengthName; 2] = [LengthName::Hole, LengthName::Id];

/// What stands for a length that nobody recorded: drawn dashed, and asked for.
const OD_MM: f64 = 20.0;
const HIGH_MM: f64 = 3.0;
const HOLE_SHARE: f64 = 0.5;

const OUTLINE: Pen = Pen::line(0.6);
const UNKNOWN: Pen = Pen::dashed(0.6, 2.0);
const THIN: Pen = Pen::line(0.3);
const CENTRE: Pen = Pen::dashed(0.25, 5.0);
/// Space between the views, and around them for the lines of the dimensions.
const GAP: f64 = 16.0;
const TIER: f64 = 13.0;
const OVERHANG: f64 = 6.0;

/// Holds a length as it is drawn.
#[derive(Debug, Clone, PartialEq)]
struct Drawn {
    mm: f64,
    known: bool,
    words: String,
}

/// Holds the views of a part, with the words of its dimensions.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct MadeViews {
    od: Drawn,
    high: Drawn,
    hole: Option<Drawn>,
    edge: Option<Drawn>,
    cone: bool,
}

impl MadeViews {
    /// Takes the lengths of a part; `words` writes one that is known.
    pub(super) fn of(part: &MadePart, words: impl Fn(&MadeLength) -> String) -> Self {
        let drawn = |names: &[LengthName]| {
            part.length(names).map(|length| Drawn {
                mm: length.mm,
                known: length.decided,
                words: words(length),
            })
        };
        let asked = |name: LengthName, mm: f64| Drawn {
            mm,
            known: false,
            words: format!("{} ?", name.word()),
        };
        let od = drawn(&[LengthName::Od]);
        let hole = drawn(&HOLE);
        let stands = hole.as_ref().map_or(OD_MM, |hole| hole.mm / HOLE_SHARE);
        let od = od.unwrap_or_else(|| asked(LengthName::Od, stands));
        let lacks = HOLE.into_iter().find(|name| part.lacks(*name));
        Self {
            hole: hole.or_else(|| lacks.map(|name| asked(name, od.mm * HOLE_SHARE))),
            edge: drawn(&[LengthName::Edge]),
            high: drawn(&HIGH).unwrap_or_else(|| asked(LengthName::Thick, HIGH_MM)),
            cone: part.form == MadeForm::Cone,
            od,
        }
    }

    /// Returns the outside diameter as it is drawn, in millimetres.
    pub(super) fn widest_mm(&self) -> f64 {
        self.od.mm
    }

    /// Tells whether the size of the drawing is a recorded one.
    pub(super) fn is_to_size(&self) -> bool {
        self.od.known
    }

    /// Returns the height of the views without and with their dimensions, for a scale in points a millimetre.
    pub(super) fn height(&self, scale: f64, dimensioned: bool) -> f64 {
        let lines = if dimensioned {
            TIER * (self.diameters().len() as f64 + 1.0)
        } else {
            0.0
        };
        self.od.mm * scale + GAP + self.high.mm * scale + lines + OVERHANG
    }

    /// The diameters from the smallest to the largest.
    fn diameters(&self) -> Vec<&Drawn> {
        let all = self.hole.iter().chain(self.edge.iter());
        let mut all: Vec<&Drawn> = all.collect();
        all.sort_by(|a, b| a.mm.total_cmp(&b.mm));
        all.push(&self.od);
        all
    }

    /// Draws plan and, below it, section about a vertical middle from an upper edge, in points a millimetre.
    pub(super) fn draw(&self, drawing: &mut Drawing, (middle, top): (f64, f64), scale: f64) {
        let radius = self.od.mm * scale / 2.0;
        let centre = (middle, top + radius);
        drawing.circle(centre, radius, pen(&self.od));
        for inner in self.hole.iter().chain(self.edge.iter()) {
            drawing.circle(centre, inner.mm * scale / 2.0, pen(inner));
        }
        let reach = radius + OVERHANG;
        drawing.line(
            (middle - reach, centre.1),
            (middle + reach, centre.1),
            CENTRE,
        );
        let bottom = self.section_top(top, scale) + self.high.mm * scale + OVERHANG;
        drawing.line((middle, top - OVERHANG), (middle, bottom), CENTRE);
        self.section(drawing, (middle, self.section_top(top, scale)), scale);
    }

    fn section_top(&self, top: f64, scale: f64) -> f64 {
        top + self.od.mm * scale + GAP
    }

    /// The cut material: two rectangles beside a hole, or one; of a cone the small end is open.
    fn section(&self, drawing: &mut Drawing, (middle, top): (f64, f64), scale: f64) {
        let outer = self.od.mm * scale / 2.0;
        let high = self.high.mm * scale;
        if self.cone {
            let small = outer * HOLE_SHARE;
            for side in [-1.0, 1.0] {
                let foot = (middle + side * outer, top + high);
                drawing.line(foot, (middle + side * small, top), UNKNOWN);
            }
            drawing.line((middle - small, top), (middle + small, top), UNKNOWN);
            let foot = top + high;
            drawing.line(
                (middle - outer, foot),
                (middle + outer, foot),
                pen(&self.od),
            );
            return;
        }
        let inner = self.hole.as_ref().map_or(0.0, |hole| hole.mm * scale / 2.0);
        let known = [Some(&self.od), Some(&self.high), self.hole.as_ref()];
        let sure = known.into_iter().flatten().all(|length| length.known);
        let pen = if sure { OUTLINE } else { UNKNOWN };
        let parts = if inner > 0.0 {
            vec![
                (middle - outer, outer - inner),
                (middle + inner, outer - inner),
            ]
        } else {
            vec![(middle - outer, 2.0 * outer)]
        };
        for (left, wide) in parts {
            hatch(drawing, (left, top), (wide, high));
            drawing.rectangle((left, top), (wide, high), pen);
        }
        if inner > 0.0 {
            for y in [top, top + high] {
                drawing.line((middle - inner, y), (middle + inner, y), THIN);
            }
        }
    }

    /// Draws the lines of the dimensions about views that were drawn at the same place; the words stand to the right.
    pub(super) fn dimensions(&self, drawing: &mut Drawing, (middle, top): (f64, f64), scale: f64) {
        let section_top = self.section_top(top, scale);
        let high = self.high.mm * scale;
        let outer = self.od.mm * scale / 2.0;
        let right = middle + outer + 2.0 * TIER;
        let words = |drawing: &mut Drawing, y: f64, of: &Drawn| {
            let style = if of.known {
                Type::plain(SMALL)
            } else {
                Type::bold(SMALL)
            };
            drawing.text(
                (right + 5.0, y + SMALL / 3.0),
                style.at(Anchor::Left),
                &of.words,
            );
        };
        for (tier, diameter) in self.diameters().into_iter().enumerate() {
            let half = diameter.mm * scale / 2.0;
            let y = section_top + high + OVERHANG + TIER * (tier as f64 + 0.5);
            for side in [-1.0, 1.0] {
                let x = middle + side * half;
                drawing.line((x, section_top + high + 2.0), (x, y + 3.0), THIN);
                arrow(drawing, (x, y), (side, 0.0), half.min(5.0));
            }
            drawing.line((middle - half, y), (right, y), THIN);
            words(drawing, y, diameter);
        }
        // A thin part has no room for arrows inside: they point at it from above and below.
        let x = middle + outer + TIER;
        for (y, down) in [(section_top, 1.0), (section_top + high, -1.0)] {
            drawing.line((middle + outer + 2.0, y), (x + 3.0, y), THIN);
            arrow(drawing, (x, y), (0.0, down), 5.0);
            drawing.line((x, y), (x, y - down * 10.0), THIN);
        }
        let y = section_top + high / 2.0;
        drawing.line((x, section_top), (x, section_top + high), THIN);
        drawing.line((x, y), (right, y), THIN);
        words(drawing, y, &self.high);
    }
}

fn pen(length: &Drawn) -> Pen {
    if length.known { OUTLINE } else { UNKNOWN }
}

/// Draws the head of an arrow that points along a direction to its tip.
fn arrow(drawing: &mut Drawing, (x, y): (f64, f64), (along, down): (f64, f64), long: f64) {
    let wide = long / 4.0;
    let back = (x - along * long, y - down * long);
    let pieces = vec![
        Piece::Move(x, y),
        Piece::Line(back.0 + down * wide, back.1 + along * wide),
        Piece::Line(back.0 - down * wide, back.1 - along * wide),
        Piece::Close,
    ];
    drawing.path(pieces, Pen::fill(0.0));
}

/// Hatches a rectangle under 45 degrees.
fn hatch(drawing: &mut Drawing, (left, top): (f64, f64), (wide, high): (f64, f64)) {
    const STEP: f64 = 4.0;
    let mut sum = STEP;
    while sum < wide + high {
        let from = (sum.min(wide), (sum - wide).max(0.0));
        let to = ((sum - high).max(0.0), sum.min(high));
        drawing.line(
            (left + from.0, top + from.1),
            (left + to.0, top + to.1),
            Pen::line(0.2),
        );
        sum += STEP;
    }
}
