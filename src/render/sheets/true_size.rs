//! Drawing in true size: the check bars and outlines of rings.

use crate::core::quantity::Length;
use crate::render::page::{
    Anchor, Drawing, Pen, Point, PrinterScale, Rect, SMALL, Type, arc, begun, circle,
};
use std::f64::consts::FRAC_PI_2;

/// Height of the check bars with their words.
pub(super) const BARS_HIGH: f64 = 46.0;

/// Draws the 100 mm and the 4 in bar from an upper left corner.
pub(super) fn check_bars(drawing: &mut Drawing, corner: Point, scale: PrinterScale) {
    const THICK: f64 = 4.0;
    const INCH_MM: f64 = 25.4;
    let bars = [
        (10.0, 10, "100 mm: this bar measures ________"),
        (INCH_MM / 4.0, 16, "4 in: this bar measures ________"),
    ];
    for (row, (step, parts, words)) in bars.into_iter().enumerate() {
        let start = corner.by(0.0, 20.0 * row as f64);
        let long = scale.points(step * f64::from(parts));
        drawing.rectangle(Rect::new(start, long, THICK), Pen::line(0.5));
        for part in (0..parts).step_by(2) {
            let from = start.by(scale.points(step * f64::from(part)), 0.0);
            drawing.rectangle(Rect::new(from, scale.points(step), THICK), Pen::fill(0.0));
        }
        drawing.text(start.by(long + 8.0, THICK + 1.0), Type::plain(SMALL), words);
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

/// Width of the line of an outline in points; the nominal diameter runs in its middle.
const OUTLINE: f64 = 0.3;

/// A ring as it is drawn, in points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct DrawnRing {
    pub(super) inner: f64,
    pub(super) outer: f64,
}

impl DrawnRing {
    /// Draws its outline about a centre: inside and outside diameter as thin lines, and a cross in the middle.
    pub(super) fn outline(self, drawing: &mut Drawing, centre: Point) {
        const CROSS: f64 = 3.0;
        let both = [self.outer, self.inner].map(|radius| circle(centre, radius));
        drawing.path(both.concat(), Pen::filled(OUTLINE, 0.85));
        let cross = CROSS.min(self.inner / 2.0);
        drawing.line(
            centre.by(-cross, 0.0),
            centre.by(cross, 0.0),
            Pen::line(0.3),
        );
        drawing.line(
            centre.by(0.0, -cross),
            centre.by(0.0, cross),
            Pen::line(0.3),
        );
    }

    /// Draws its lowest part, where it is wider than the page, as two arcs about the lowest point over a width.
    pub(super) fn arc(self, drawing: &mut Drawing, lowest: Point, width: f64) {
        let centre = lowest.by(0.0, -self.outer);
        for radius in [self.inner, self.outer] {
            let half = libm::asin((width / 2.0 / radius).clamp(-1.0, 1.0));
            let arc = arc(centre, radius, FRAC_PI_2 + half, FRAC_PI_2 - half);
            drawing.path(begun(arc), Pen::line(OUTLINE));
        }
        drawing.line(lowest, lowest.by(0.0, 3.0), Pen::line(0.3));
    }

    pub(super) fn arc_height(self, width: f64) -> f64 {
        let reach = (width / 2.0).min(self.inner);
        self.outer - libm::sqrt((self.inner * self.inner - reach * reach).max(0.0))
    }
}

/// A ring's section in true size and ten times as large, in points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct SectionViews {
    pub(super) small: f64,
    pub(super) large: f64,
}

impl SectionViews {
    pub(super) fn of(section: Length, scale: PrinterScale) -> Self {
        const LARGER: f64 = 10.0;
        let small = scale.points(section.mm());
        Self {
            small,
            large: small * LARGER,
        }
    }

    /// Returns the width of both with the space between them.
    pub(super) fn width(self) -> f64 {
        self.small + 14.0 + self.large
    }

    /// Draws both beside each other from an upper left corner, with their words.
    pub(super) fn draw(self, drawing: &mut Drawing, corner: Point, words: &str) {
        let [small, large] = [self.small, self.large].map(|diameter| diameter / 2.0);
        drawing.circle(corner.by(small, large), small, Pen::fill(0.0));
        let centre = corner.by(self.width() - large, large);
        drawing.circle(centre, large, Pen::filled(0.6, 0.92));
        let pen = Pen::line(0.4);
        let [left, right] = [-large, large].map(|aside| centre.by(aside, 0.0));
        drawing.line(left, right, pen);
        drawing.arrow_head(right, left, [4.0, 1.5], pen);
        drawing.arrow_head(left, right, [4.0, 1.5], pen);
        let style = Type::plain(SMALL);
        drawing.text(centre.by(0.0, -3.0), style.at(Anchor::Middle), "×10");
        drawing.text(corner.by(0.0, self.large + 10.0), style, words);
    }
}
