//! A chart of figures over their tolerances against their limits.

use crate::render::number::fixed;
use crate::render::page::{Anchor, Drawing, Pen, SMALL, Type};

/// Holds one figure in its states with its limits.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LimitChart {
    /// What it is: "squeeze, %".
    pub(super) title: String,
    /// Name, least, nominal and greatest value of each state.
    pub(super) bars: Vec<(String, f64, f64, f64)>,
    /// Least value allowed.
    pub(super) low: Option<f64>,
    /// Greatest value allowed.
    pub(super) high: Option<f64>,
}

const ROW: f64 = 17.0;
const HEAD: f64 = 11.0;
const AXIS: f64 = 12.0;
/// The words of a row stand in its upper part, on white; its bar lies in the band below, and only that is hatched.
const BAND: (f64, f64) = (7.5, 15.5);

impl LimitChart {
    /// Returns the same with every figure divided, for another unit.
    pub(super) fn divided(mut self, by: f64) -> Self {
        for bar in &mut self.bars {
            *bar = (
                std::mem::take(&mut bar.0),
                bar.1 / by,
                bar.2 / by,
                bar.3 / by,
            );
        }
        self.low = self.low.map(|low| low / by);
        self.high = self.high.map(|high| high / by);
        self
    }

    /// Returns its height in points.
    pub(super) fn height(&self) -> f64 {
        HEAD + ROW * self.bars.len() as f64 + AXIS + 5.0
    }

    /// Draws it from an upper left corner in a width. The allowed range is white between two heavy lines, the rest hatched.
    pub(super) fn draw(&self, drawing: &mut Drawing, (left, top): (f64, f64), width: f64) {
        let values = self.bars.iter().flat_map(|bar| [bar.1, bar.3]);
        let limits = [self.low, self.high].into_iter().flatten();
        let finite = values.chain(limits).filter(|v| v.is_finite());
        let (least, most) = finite.fold((0.0_f64, 0.0_f64), |(a, b), v| (a.min(v), b.max(v)));
        let span = (most - least).max(1e-9) * 1.12;
        let places = places(most.max(-least));
        let number = |value: f64| fixed(value, places);
        let x = |value: f64| left + (value - least) / span * width;
        let style = Type::plain(SMALL);
        drawing.text((left, top + SMALL), Type::bold(SMALL), &self.title);
        let upper = top + HEAD;
        let lower = upper + ROW * self.bars.len() as f64;
        let outside = [
            self.low.map(|low| (left, x(low))),
            self.high.map(|high| (x(high), left + width)),
        ];
        for row in 0..self.bars.len() {
            let y = upper + ROW * row as f64;
            for (from, to) in outside.into_iter().flatten() {
                hatch(drawing, (from, to), (y + BAND.0, y + BAND.1));
            }
        }
        for limit in [self.low, self.high].into_iter().flatten() {
            drawing.line(
                (x(limit), upper - 2.0),
                (x(limit), lower + 3.0),
                Pen::line(1.2),
            );
            let words = format!("limit {}", number(limit));
            drawing.text(
                (x(limit), lower + 3.0 + SMALL),
                style.at(Anchor::Middle),
                &words,
            );
        }
        drawing.line((left, lower), (left + width, lower), Pen::line(0.4));
        for (row, (name, least, nominal, most)) in self.bars.iter().enumerate() {
            let y = upper + ROW * row as f64;
            let bar = ((x(*least), y + 8.5), ((x(*most) - x(*least)).max(1.0), 6.0));
            drawing.rectangle(bar.0, bar.1, Pen::filled(0.8, 0.35));
            drawing.line(
                (x(*nominal), y + BAND.0),
                (x(*nominal), y + BAND.1),
                Pen::line(1.4),
            );
            let words = format!(
                "{name}: {} to {}, nominal {}",
                number(*least),
                number(*most),
                number(*nominal)
            );
            let style = Type::plain(6.5);
            let at = (left + 2.0, y + 6.0);
            // Where the stroke of a limit would run through the words it stops.
            let white = (style.width(&words) + 2.0, 7.0);
            drawing.rectangle((at.0 - 1.0, at.1 - 5.8), white, Pen::fill(1.0));
            drawing.text(at, style, &words);
        }
    }
}

/// Slanted lines over what is not allowed.
fn hatch(drawing: &mut Drawing, (from, to): (f64, f64), (upper, lower): (f64, f64)) {
    const STEP: f64 = 5.0;
    let high = lower - upper;
    let mut at = from - high;
    while at < to {
        let start = at.max(from);
        let end = (at + high).min(to);
        if end > start {
            drawing.line(
                (start, lower - (start - at)),
                (end, lower - (end - at)),
                Pen::line(0.25),
            );
        }
        at += STEP;
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
