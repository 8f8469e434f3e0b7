//! Plan and section of a flat round part, with the lines of its dimensions.

use crate::core::book::{MadeForm, MadeLength, MadePart};
use crate::core::note::LengthName;
use crate::render::page::{Drawing, Pen, Point, Rect, SMALL, Type};

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

#[derive(Debug, Clone, PartialEq)]
pub(super) struct Drawn {
    pub(super) mm: f64,
    pub(super) known: bool,
    words: String,
}

/// The views of a part, with the words of its dimensions.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct MadeViews {
    pub(super) od: Drawn,
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

    /// Draws plan and, below it, section below the middle of their upper edge, in points a millimetre.
    pub(super) fn draw(&self, drawing: &mut Drawing, top: Point, scale: f64) {
        let radius = self.od.mm * scale / 2.0;
        let centre = top.by(0.0, radius);
        drawing.circle(centre, radius, pen(&self.od));
        for inner in self.hole.iter().chain(self.edge.iter()) {
            drawing.circle(centre, inner.mm * scale / 2.0, pen(inner));
        }
        let reach = radius + OVERHANG;
        drawing.line(centre.by(-reach, 0.0), centre.by(reach, 0.0), CENTRE);
        let section = self.section_top(top, scale);
        let bottom = section.by(0.0, self.high.mm * scale + OVERHANG);
        drawing.line(top.by(0.0, -OVERHANG), bottom, CENTRE);
        self.section(drawing, section, scale);
    }

    fn section_top(&self, top: Point, scale: f64) -> Point {
        top.by(0.0, self.od.mm * scale + GAP)
    }

    /// The cut material: two rectangles beside a hole, or one; of a cone the small end is open.
    fn section(&self, drawing: &mut Drawing, top: Point, scale: f64) {
        let outer = self.od.mm * scale / 2.0;
        let high = self.high.mm * scale;
        if self.cone {
            let small = outer * HOLE_SHARE;
            for side in [-1.0, 1.0] {
                drawing.line(
                    top.by(side * outer, high),
                    top.by(side * small, 0.0),
                    UNKNOWN,
                );
            }
            drawing.line(top.by(-small, 0.0), top.by(small, 0.0), UNKNOWN);
            drawing.line(top.by(-outer, high), top.by(outer, high), pen(&self.od));
            return;
        }
        let inner = self.hole.as_ref().map_or(0.0, |hole| hole.mm * scale / 2.0);
        let known = [Some(&self.od), Some(&self.high), self.hole.as_ref()];
        let sure = known.into_iter().flatten().all(|length| length.known);
        let pen = if sure { OUTLINE } else { UNKNOWN };
        let (lefts, wide) = if inner > 0.0 {
            (vec![-outer, inner], outer - inner)
        } else {
            (vec![-outer], 2.0 * outer)
        };
        for left in lefts {
            let part = Rect::new(top.by(left, 0.0), wide, high);
            drawing.hatch(part, 4.0, Pen::line(0.2));
            drawing.rectangle(part, pen);
        }
        if inner > 0.0 {
            for y in [0.0, high] {
                drawing.line(top.by(-inner, y), top.by(inner, y), THIN);
            }
        }
    }

    /// Draws the lines of the dimensions about views that were drawn at the same place; the words stand to the right.
    pub(super) fn dimensions(&self, drawing: &mut Drawing, top: Point, scale: f64) {
        let top = self.section_top(top, scale);
        let high = self.high.mm * scale;
        let outer = self.od.mm * scale / 2.0;
        let right = outer + 2.0 * TIER;
        let words = |drawing: &mut Drawing, y: f64, of: &Drawn| {
            let style = if of.known {
                Type::plain(SMALL)
            } else {
                Type::bold(SMALL)
            };
            drawing.text(top.by(right + 5.0, y + SMALL / 3.0), style, &of.words);
        };
        for (tier, diameter) in self.diameters().into_iter().enumerate() {
            let half = diameter.mm * scale / 2.0;
            let y = high + OVERHANG + TIER * (tier as f64 + 0.5);
            for side in [-1.0, 1.0] {
                let tip = top.by(side * half, y);
                drawing.line(top.by(side * half, high + 2.0), tip.by(0.0, 3.0), THIN);
                let (back, wide) = (-side * half.min(5.0), half.min(5.0) / 4.0);
                let ends = [tip, tip.by(back, side * wide), tip.by(back, -side * wide)];
                drawing.polygon(ends, Pen::fill(0.0));
            }
            drawing.line(top.by(-half, y), top.by(right, y), THIN);
            words(drawing, y, diameter);
        }
        // A thin part has no room for arrows inside: they point at it from above and below.
        let x = outer + TIER;
        for (y, down) in [(0.0, 1.0), (high, -1.0)] {
            let tip = top.by(x, y);
            drawing.line(top.by(outer + 2.0, y), tip.by(3.0, 0.0), THIN);
            let ends = [tip, tip.by(1.25, -down * 5.0), tip.by(-1.25, -down * 5.0)];
            drawing.polygon(ends, Pen::fill(0.0));
            drawing.line(tip, tip.by(0.0, -down * 10.0), THIN);
        }
        let middle = high / 2.0;
        drawing.line(top.by(x, 0.0), top.by(x, high), THIN);
        drawing.line(top.by(x, middle), top.by(right, middle), THIN);
        words(drawing, middle, &self.high);
    }
}

fn pen(length: &Drawn) -> Pen {
    if length.known { OUTLINE } else { UNKNOWN }
}
