//! The parts of a model in their order along the axis, drawn to one scale from what was recorded.

use super::part_outline::PartOutline;
use crate::core::book::{PartAction, PartLine};
use crate::render::fixed;
use crate::render::page::{Anchor, Drawing, Flow, Pen, Point, PrinterScale, Rect, SMALL, Type};

/// Scales that a drawing is made to, the largest first.
const SCALES: [f64; 6] = [5.0, 2.0, 1.0, 0.5, 0.2, 0.1];
/// The largest part may be so high on the paper, in points,
const HIGHEST: f64 = 130.0;
/// and the drawing may take so much of the page.
const MOST_ROWS: usize = 3;
const GAP: f64 = 9.0;
/// Room above a row for the numbers, and below it for the sections of the unit.
const NUMBERS: f64 = 20.0;
const NAMES: f64 = 14.0;
/// Half a box, or the radius of a circle, around a number.
const MARK: f64 = 6.5;
/// Heading and caption, which stay with the drawing.
const HEAD: f64 = 60.0;
/// Room beside a number for how many there are.
const COUNT: f64 = 9.0;
const AXIS: Pen = Pen::dashed(0.25, 5.0);
const LEADER: Pen = Pen::line(0.3);

struct Placed<'l> {
    line: &'l PartLine,
    outline: PartOutline,
    /// The left edge, in points from the left edge of the row.
    left: f64,
}

pub(super) struct Exploded<'l> {
    scale: f64,
    rows: Vec<Vec<Placed<'l>>>,
    per_mm: f64,
    width: f64,
}

/// Draws the parts of a list under a heading; nothing where the list is empty.
pub(super) fn exploded(flow: &mut Flow, lines: &[PartLine]) {
    let Some(view) = Exploded::of(lines, flow.width(), flow.frame().printer) else {
        return;
    };
    flow.need(view.height() + HEAD);
    flow.heading("Parts along the axis");
    flow.small(&view.caption());
    let at = Point::new(flow.left(), flow.take(view.height()));
    view.draw(flow.drawing(), at);
    flow.space(SMALL);
}

impl<'l> Exploded<'l> {
    /// Lays parts out in a width of points, in the largest scale in which they have room; `None` where there are none.
    pub(super) fn of(lines: &'l [PartLine], width: f64, printer: PrinterScale) -> Option<Self> {
        let laid = |scale: f64| {
            let per_mm = printer.points(scale);
            Self {
                scale,
                rows: rows(lines, width, per_mm),
                per_mm,
                width,
            }
        };
        let smallest = SCALES[SCALES.len() - 1];
        SCALES
            .into_iter()
            .map(laid)
            .find(|view| view.scale <= smallest || view.has_room())
            .filter(|view| !view.rows.is_empty())
    }

    fn has_room(&self) -> bool {
        let wide = |one: &Placed<'_>| one.outline.long.mm * self.per_mm <= self.width;
        self.rows.len() <= MOST_ROWS
            && self
                .rows
                .iter()
                .all(|row| 2.0 * half_height(row, self.per_mm) <= HIGHEST && row.iter().all(wide))
    }

    pub(super) fn height(&self) -> f64 {
        let row = |row: &Vec<Placed<'_>>| NUMBERS + 2.0 * half_height(row, self.per_mm) + NAMES;
        self.rows.iter().map(row).sum()
    }

    pub(super) fn caption(&self) -> String {
        format!(
            "Sections through the axis, scale {}, first off on the left. Boxed numbers are replaced; circled ones stay, or are \
             looked at. Broken lines: not measured.",
            scale_words(self.scale)
        )
    }

    /// Draws the parts from an upper left corner.
    pub(super) fn draw(&self, drawing: &mut Drawing, corner: Point) {
        let mut section = None;
        let mut corner = corner;
        for row in &self.rows {
            self.draw_row(drawing, corner, row, &mut section);
            corner.y += NUMBERS + 2.0 * half_height(row, self.per_mm) + NAMES;
        }
    }

    fn draw_row(
        &self,
        drawing: &mut Drawing,
        corner: Point,
        row: &[Placed<'l>],
        section: &mut Option<&'l str>,
    ) {
        let half = half_height(row, self.per_mm);
        let axis = corner.by(0.0, NUMBERS + half);
        drawing.line(axis, axis.by(self.width, 0.0), AXIS);
        for one in row {
            let end = axis.by(one.left, 0.0);
            let middle = one.outline.long.mm * self.per_mm / 2.0;
            one.outline.draw(drawing, end, self.per_mm);
            let number = end.by(middle, MARK + 1.0 - NUMBERS - half);
            let top = end.by(middle, -one.outline.od.mm * self.per_mm / 2.0 - 1.0);
            drawing.line(number.by(0.0, MARK), top, LEADER);
            mark(drawing, number, one.line);
            if *section != Some(one.line.section.as_str()) {
                *section = Some(&one.line.section);
                let below = end.by(0.0, half + NAMES - 3.0);
                drawing.text(below, Type::plain(SMALL), &one.line.section);
            }
        }
    }
}

/// Puts parts side by side into rows of a width, as few as hold them, and all about as long.
fn rows(lines: &[PartLine], width: f64, per_mm: f64) -> Vec<Vec<Placed<'_>>> {
    let usual = usual_od(lines);
    let outlines: Vec<PartOutline> = lines
        .iter()
        .map(|line| PartOutline::of(line, usual))
        .collect();
    let room = |line: &PartLine, outline: &PartOutline| {
        let count = if line.quantity > 1 { COUNT } else { 0.0 };
        (outline.long.mm * per_mm).max(2.0 * (MARK + count))
    };
    let pairs = || lines.iter().zip(&outlines);
    let all: f64 = pairs().map(|(line, one)| room(line, one) + GAP).sum();
    let even = all / (all / (width + GAP)).ceil();
    let mut rows: Vec<Vec<Placed<'_>>> = Vec::new();
    let mut left = f64::INFINITY;
    for (line, outline) in pairs() {
        let room = room(line, outline);
        if left + room > width || left >= even {
            rows.push(Vec::new());
            left = 0.0;
        }
        if let Some(row) = rows.last_mut() {
            let inset = (room - outline.long.mm * per_mm) / 2.0;
            row.push(Placed {
                line,
                outline: *outline,
                left: left + inset,
            });
        }
        left += room + GAP;
    }
    for row in &mut rows {
        spread(row, width, per_mm);
    }
    rows
}

/// Uses the room that is left in a row between its parts.
fn spread(row: &mut [Placed<'_>], width: f64, per_mm: f64) {
    const MOST: f64 = 2.0 * GAP;
    let Some(last) = row.last() else {
        return;
    };
    let end = last.left + last.outline.long.mm * per_mm + MARK;
    let more = ((width - end) / row.len() as f64).clamp(0.0, MOST);
    for (at, one) in row.iter_mut().enumerate() {
        one.left += more * at as f64;
    }
}

fn scale_words(scale: f64) -> String {
    if scale >= 1.0 {
        format!("{}:1", fixed(scale, 0))
    } else {
        format!("1:{}", fixed(1.0 / scale, 0))
    }
}

/// The middle of the outside diameters that are known: parts of which nothing is known are drawn so high, in broken lines.
fn usual_od(lines: &[PartLine]) -> f64 {
    const WHERE_NOTHING_IS_KNOWN_MM: f64 = 20.0;
    let mut known: Vec<f64> = lines.iter().filter_map(PartOutline::known_od_mm).collect();
    known.sort_by(f64::total_cmp);
    known
        .get(known.len() / 2)
        .copied()
        .unwrap_or(WHERE_NOTHING_IS_KNOWN_MM)
}

fn half_height(row: &[Placed<'_>], per_mm: f64) -> f64 {
    let highest = row.iter().map(|one| one.outline.od.mm).fold(0.0, f64::max);
    highest * per_mm / 2.0
}

/// A number in a box is replaced, one in a circle stays or is looked at.
fn mark(drawing: &mut Drawing, middle: Point, line: &PartLine) {
    if line.action == PartAction::Replace {
        let area = Rect::new(middle.by(-MARK, -MARK), 2.0 * MARK, 2.0 * MARK);
        drawing.rectangle(area, Pen::line(0.8));
    } else {
        drawing.circle(middle, MARK, LEADER);
    }
    let style = Type::plain(SMALL);
    let below = middle.by(0.0, SMALL / 3.0);
    drawing.text(below, style.at(Anchor::Middle), &line.number.to_string());
    if line.quantity > 1 {
        let each = format!("×{}", line.quantity);
        drawing.text(below.by(MARK + 1.0, 0.0), style, &each);
    }
}
