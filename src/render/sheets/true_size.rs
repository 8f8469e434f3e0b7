//! Drawing in true size: the check bars, the correction of a printer's scale, and outlines of rings.

use crate::core::quantity::Length;
use crate::render::page::{Anchor, Drawing, Pen, Piece, SMALL, Type, ellipse, points};

/// Holds by how much true-size drawings are stretched so that a printer that shrinks or stretches pages prints them true.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PrinterScale(f64);

impl Default for PrinterScale {
    fn default() -> Self {
        Self(1.0)
    }
}

impl PrinterScale {
    /// A bar further off than this is no printer's fault but a wrong setting or reading.
    pub const MOST_OFF: f64 = 0.1;

    /// Makes the correction from what a check bar measures: `nominal` over `measured`.
    ///
    /// `None` where the bar is more than a tenth off, because then the page was scaled to fit and must be printed again.
    pub fn of_bar(nominal: Length, measured: Length) -> Option<Self> {
        let ratio = nominal.mm() / measured.mm();
        ((ratio - 1.0).abs() <= Self::MOST_OFF).then_some(Self(ratio))
    }

    /// Turns a length into points on this printer.
    pub fn points(self, mm: f64) -> f64 {
        points(mm) * self.0
    }

    /// Tells whether a correction is made.
    pub fn corrects(self) -> bool {
        (self.0 - 1.0).abs() > f64::EPSILON
    }
}

/// Height of the check bars with their words.
pub(super) const BARS_HIGH: f64 = 46.0;

/// Draws the 100 mm and the 4 in bar from an upper left corner.
pub(super) fn check_bars(drawing: &mut Drawing, (left, top): (f64, f64), scale: PrinterScale) {
    const THICK: f64 = 4.0;
    const INCH_MM: f64 = 25.4;
    let bars = [
        (10.0, 10, "100 mm: this bar measures ________"),
        (INCH_MM / 4.0, 16, "4 in: this bar measures ________"),
    ];
    for (row, (step, parts, words)) in bars.into_iter().enumerate() {
        let y = top + 20.0 * row as f64;
        let end = left + scale.points(step * f64::from(parts));
        drawing.rectangle((left, y), (end - left, THICK), Pen::line(0.5));
        for part in (0..parts).step_by(2) {
            let from = left + scale.points(step * f64::from(part));
            drawing.rectangle((from, y), (scale.points(step), THICK), Pen::fill(0.0));
        }
        drawing.text((end + 8.0, y + THICK + 1.0), Type::plain(SMALL), words);
    }
}

/// Says how the bars are used.
pub(super) fn bar_words(scale: PrinterScale) -> String {
    let corrected = if scale.corrects() {
        " This sheet is corrected already: the bars must now measure 100 mm and 4 in on that printer."
    } else {
        ""
    };
    format!(
        "Print at a scale of 100 %, not fitted to the page. Measure a bar from outer edge to outer edge; if it is \
            off, print again with --bar and what it measures, as --bar \"99.2 mm\" for the 100 mm bar or --bar \
            \"3.97 in\" for the 4 in bar.{corrected}"
    )
}

/// Draws a ring's outline about a centre: inside and outside diameter as thin lines, and a cross in the middle.
pub(super) fn ring_outline(drawing: &mut Drawing, centre: (f64, f64), radii: (f64, f64)) {
    const CROSS: f64 = 3.0;
    let (inner, outer) = radii;
    let mut pieces = ellipse(centre, (outer, outer));
    pieces.extend(ellipse(centre, (inner, inner)));
    drawing.path(pieces, Pen::filled(OUTLINE, 0.85));
    let (x, y) = centre;
    let cross = CROSS.min(inner / 2.0);
    drawing.line((x - cross, y), (x + cross, y), Pen::line(0.3));
    drawing.line((x, y - cross), (x, y + cross), Pen::line(0.3));
}

/// Width of the line of an outline in points; the nominal diameter runs in its middle.
pub(super) const OUTLINE: f64 = 0.3;

/// Draws the lowest part of a ring that is wider than the page, as two arcs from `left` over `width`.
pub(super) fn ring_arc(
    drawing: &mut Drawing,
    (left, bottom, width): (f64, f64, f64),
    radii: (f64, f64),
) {
    let centre = (left + width / 2.0, bottom - radii.1);
    for radius in [radii.0, radii.1] {
        let reach = (width / 2.0 / radius).clamp(-1.0, 1.0);
        drawing.path(arc(centre, radius, libm::asin(reach)), Pen::line(OUTLINE));
    }
    let tick = (centre.0, bottom + 3.0);
    drawing.line((centre.0, bottom), tick, Pen::line(0.3));
}

/// How high such an arc stands.
pub(super) fn arc_height(width: f64, (inner, outer): (f64, f64)) -> f64 {
    let reach = (width / 2.0).min(inner);
    outer - libm::sqrt((inner * inner - reach * reach).max(0.0))
}

/// The arc about the lowest point, to `half` (radians) on both sides.
fn arc((x, y): (f64, f64), radius: f64, half: f64) -> Vec<Piece> {
    const PARTS: i32 = 8;
    let step = 2.0 * half / f64::from(PARTS);
    let handle = 4.0 / 3.0 * libm::tan(step / 4.0);
    let at = |angle: f64| (libm::sin(angle), libm::cos(angle));
    let place = |(sin, cos): (f64, f64)| (x + radius * sin, y + radius * cos);
    let (start_x, start_y) = place(at(-half));
    let mut pieces = vec![Piece::Move(start_x, start_y)];
    for part in 0..PARTS {
        let (s0, c0) = at(-half + step * f64::from(part));
        let (s1, c1) = at(-half + step * f64::from(part + 1));
        let (ax, ay) = place((s0 + handle * c0, c0 - handle * s0));
        let (bx, by) = place((s1 - handle * c1, c1 + handle * s1));
        let (ex, ey) = place((s1, c1));
        pieces.push(Piece::Curve([ax, ay, bx, by, ex, ey]));
    }
    pieces
}

/// Draws a ring's section in true size and ten times as large beside it, from an upper left corner, with its words.
pub(super) fn section_views(
    drawing: &mut Drawing,
    (left, top): (f64, f64),
    (section, scale): (Length, PrinterScale),
    words: &str,
) {
    let (small, large) = section_sizes(section, scale);
    let middle = top + large / 2.0;
    drawing.circle((left + small / 2.0, middle), small / 2.0, Pen::fill(0.0));
    let x = left + small + 14.0 + large / 2.0;
    drawing.circle((x, middle), large / 2.0, Pen::filled(0.6, 0.92));
    let arrow = Pen::line(0.4);
    drawing.line((x - large / 2.0, middle), (x + large / 2.0, middle), arrow);
    for side in [-1.0, 1.0] {
        let tip = x + side * large / 2.0;
        for lean in [-1.5, 1.5] {
            drawing.line((tip, middle), (tip - side * 4.0, middle + lean), arrow);
        }
    }
    let style = Type::plain(SMALL).at(Anchor::Middle);
    drawing.text((x, middle - 3.0), style, "×10");
    drawing.text((left, top + large + 10.0), Type::plain(SMALL), words);
}

/// The diameters of the two views in points.
pub(super) fn section_sizes(section: Length, scale: PrinterScale) -> (f64, f64) {
    const LARGER: f64 = 10.0;
    let small = scale.points(section.mm());
    (small, small * LARGER)
}
