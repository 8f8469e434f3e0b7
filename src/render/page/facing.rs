//! Small drawings of which way round a part sits.

use super::drawing::{Anchor, Drawing, Pen, Type};
use crate::core::note::Facing;

/// Width and height of such a drawing, in points.
pub(super) const FACING_SIZE: (f64, f64) = (42.0, 20.0);
const THIN: Pen = Pen::line(0.7);
const HEAVY: Pen = Pen::line(1.8);

/// Draws which way round a part sits: a face as a heavy edge with an arrow, a lip as an open angle, a side of the pressure as a box
/// beside the ring; P is where the pressure comes from.
pub(super) fn draw_facing(drawing: &mut Drawing, (left, top): (f64, f64), facing: Facing) {
    let at = |x: f64, y: f64| (left + x, top + y);
    match facing {
        Facing::Up | Facing::Down => {
            let up = facing == Facing::Up;
            let (body, edge) = if up { (11.0, 11.0) } else { (2.0, 9.0) };
            drawing.rectangle(at(1.0, body), (22.0, 7.0), THIN);
            drawing.line(at(1.0, edge), at(23.0, edge), HEAVY);
            let (tail, tip) = if up { (9.0, 1.0) } else { (11.0, 19.0) };
            arrow(drawing, at(12.0, tail), at(12.0, tip));
        }
        Facing::ToPressure | Facing::FromPressure => {
            let (point, open) = if facing == Facing::ToPressure {
                (3.0, 16.0)
            } else {
                (16.0, 3.0)
            };
            for y in [3.0, 17.0] {
                drawing.line(at(point, 10.0), at(open, y), HEAVY);
            }
            pressure(drawing, (left, top));
        }
        Facing::HighSide | Facing::LowSide => {
            let (ring, part) = if facing == Facing::LowSide {
                (14.0, 2.0)
            } else {
                (6.0, 13.0)
            };
            drawing.circle(at(ring, 10.0), 5.0, THIN);
            drawing.rectangle(at(part, 4.0), (5.0, 12.0), Pen::filled(0.7, 0.5));
            pressure(drawing, (left, top));
        }
    }
}

fn pressure(drawing: &mut Drawing, (left, top): (f64, f64)) {
    arrow(
        drawing,
        (left + 33.0, top + 10.0),
        (left + 22.0, top + 10.0),
    );
    let style = Type::bold(8.0).at(Anchor::Left);
    drawing.text((left + 35.0, top + 13.0), style, "P");
}

/// An arrow along one of the axes.
fn arrow(drawing: &mut Drawing, tail: (f64, f64), tip: (f64, f64)) {
    const HEAD: f64 = 3.0;
    drawing.line(tail, tip, THIN);
    let back = |tail: f64, tip: f64| match tail.total_cmp(&tip) {
        std::cmp::Ordering::Less => -HEAD,
        std::cmp::Ordering::Equal => 0.0,
        std::cmp::Ordering::Greater => HEAD,
    };
    let (dx, dy) = (back(tail.0, tip.0), back(tail.1, tip.1));
    for side in [-1.0, 1.0] {
        let end = (tip.0 + dx + side * dy, tip.1 + dy + side * dx);
        drawing.line(tip, end, THIN);
    }
}
