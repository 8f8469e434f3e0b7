//! A chart of figures over their tolerances against their limits.

use crate::core::gland::Bounds;
use crate::render::number::fixed;
use crate::render::page::{Anchor, Drawing, Pen, Point, Rect, SMALL, Type};

/// One figure in its states with its limits.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LimitChart {
    /// What it is: "squeeze, %".
    pub(super) title: String,
    pub(super) bars: Vec<(String, Bounds)>,
    pub(super) low: Option<f64>,
    pub(super) high: Option<f64>,
}

const ROW: f64 = 17.0;
const HEAD: f64 = 11.0;
const AXIS: f64 = 12.0;
/// The words of a row stand in its upper part, on white; its bar lies in the band below, and only that is hatched.
const BAND: f64 = 7.5;
const BAND_HIGH: f64 = 8.0;

impl LimitChart {
    pub(super) fn height(&self) -> f64 {
        HEAD + ROW * self.bars.len() as f64 + AXIS + 5.0
    }

    /// Draws it from an upper left corner in a width. The allowed range is white between two heavy lines, the rest hatched.
    pub(super) fn draw(&self, drawing: &mut Drawing, corner: Point, width: f64) {
        let Point { x: left, y: top } = corner;
        let values = self.bars.iter().flat_map(|(_, bar)| [bar.min, bar.max]);
        let limits = || [self.low, self.high].into_iter().flatten();
        let finite = values.chain(limits()).filter(|v| v.is_finite());
        let (least, most) = finite.fold((0.0_f64, 0.0_f64), |(a, b), v| (a.min(v), b.max(v)));
        let span = (most - least).max(1e-9) * 1.12;
        let places = places(most.max(-least));
        let number = |value: f64| fixed(value, places);
        let x = |value: f64| left + (value - least) / span * width;
        let style = Type::plain(SMALL);
        drawing.text(corner.by(0.0, SMALL), Type::bold(SMALL), &self.title);
        let upper = top + HEAD;
        let lower = upper + ROW * self.bars.len() as f64;
        let outside = [
            self.low.map(|low| (left, x(low))),
            self.high.map(|high| (x(high), left + width)),
        ];
        for row in 0..self.bars.len() {
            let y = upper + ROW * row as f64 + BAND;
            for (from, to) in outside.into_iter().flatten() {
                let area = Rect::new(Point::new(from, y), to - from, BAND_HIGH);
                drawing.hatch(area, 5.0, Pen::line(0.25));
            }
        }
        for limit in limits() {
            let foot = Point::new(x(limit), lower + 3.0);
            drawing.line(Point::new(x(limit), upper - 2.0), foot, Pen::line(1.2));
            let words = format!("limit {}", number(limit));
            drawing.text(foot.by(0.0, SMALL), style.at(Anchor::Middle), &words);
        }
        let axis = Point::new(left, lower);
        drawing.line(axis, axis.by(width, 0.0), Pen::line(0.4));
        for (row, (name, bar)) in self.bars.iter().enumerate() {
            let y = upper + ROW * row as f64;
            let wide = (x(bar.max) - x(bar.min)).max(1.0);
            let area = Rect::new(Point::new(x(bar.min), y + 8.5), wide, 6.0);
            drawing.rectangle(area, Pen::filled(0.8, 0.35));
            let nominal = Point::new(x(bar.nominal), y + BAND);
            drawing.line(nominal, nominal.by(0.0, BAND_HIGH), Pen::line(1.4));
            let [least, nominal, most] = [bar.min, bar.nominal, bar.max].map(number);
            let words = format!("{name}: {least} to {most}, nominal {nominal}");
            let style = Type::plain(6.5);
            let at = Point::new(left + 2.0, y + 6.0);
            // Where the stroke of a limit would run through the words it stops.
            let white = Rect::new(at.by(-1.0, -5.8), style.width(&words) + 2.0, 7.0);
            drawing.rectangle(white, Pen::fill(1.0));
            drawing.text(at, style, &words);
        }
    }
}

/// Decimal places of every figure of a chart whose greatest is this, so that they can be compared.
fn places(greatest: f64) -> u32 {
    match greatest {
        small if small < 0.1 => 4,
        middle if middle < 1.0 => 3,
        _ => 1,
    }
}
