//! Small drawings of which way round a part sits.

use super::drawing::{Drawing, Pen, Type};
use super::geometry::{Point, Rect};
use crate::core::note::Facing;

/// Width and height of such a drawing, in points.
pub(super) const FACING_SIZE: (f64, f64) = (42.0, 20.0);
const THIN: Pen = Pen::line(0.7);
const HEAVY: Pen = Pen::line(1.8);

/// Draws which way round a part sits: a face as a heavy edge with an arrow, a lip as an open angle, a side of the pressure as a box
/// beside the ring; P is where the pressure comes from.
pub(super) fn draw_facing(drawing: &mut Drawing, corner: Point, facing: Facing) {
    let at = |x: f64, y: f64| corner.by(x, y);
    match facing {
        Facing::Up | Facing::Down => {
            let up = facing == Facing::Up;
            let (body, edge) = if up { (11.0, 11.0) } else { (2.0, 9.0) };
            drawing.rectangle(Rect::new(at(1.0, body), 22.0, 7.0), THIN);
            drawing.line(at(1.0, edge), at(23.0, edge), HEAVY);
            let (tail, tip) = if up { (9.0, 1.0) } else { (11.0, 19.0) };
            arrow(drawing, at(12.0, tail), at(12.0, tip));
            return;
        }
        Facing::ToPressure | Facing::FromPressure => {
            let to = facing == Facing::ToPressure;
            let (point, open) = if to { (3.0, 16.0) } else { (16.0, 3.0) };
            for y in [3.0, 17.0] {
                drawing.line(at(point, 10.0), at(open, y), HEAVY);
            }
        }
        Facing::HighSide | Facing::LowSide => {
            let low = facing == Facing::LowSide;
            let (ring, part) = if low { (14.0, 2.0) } else { (6.0, 13.0) };
            drawing.circle(at(ring, 10.0), 5.0, THIN);
            let part = Rect::new(at(part, 4.0), 5.0, 12.0);
            drawing.rectangle(part, Pen::filled(0.7, 0.5));
        }
    }
    arrow(drawing, at(33.0, 10.0), at(22.0, 10.0));
    drawing.text(at(35.0, 13.0), Type::bold(8.0), "P");
}

fn arrow(drawing: &mut Drawing, tail: Point, tip: Point) {
    drawing.line(tail, tip, THIN);
    drawing.arrow_head(tail, tip, [3.0, 3.0], THIN);
}
