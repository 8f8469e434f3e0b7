//! The outlines of a traced ring in millimetres.

use super::hole::ray;
use super::polar::NoRing;
use super::scale::Scale;
use super::series::{Fitted, Radii};
use super::trace::Traced;

/// Both outlines of a ring about the middle of the inner one.
#[derive(Debug)]
pub(super) struct Outlined {
    /// From the place from which the rays start, along x and y, mm.
    pub(super) middle: [f64; 2],
    pub(super) inner: Fitted,
    pub(super) outer: Fitted,
    /// Angle and radius of the points of both, for what looks at them again.
    pub(super) inner_points: Radii,
    pub(super) outer_points: Radii,
}

/// Orders of an outline: enough for a ring that was bent by its groove, too few to follow a nick.
const ORDERS: usize = 6;

/// Which side of the tube an edge is: seen aslant, a tube shows wider on both.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Inner,
    Outer,
}

pub(super) fn outlined(traced: &Traced, scale: &Scale) -> Result<Outlined, NoRing> {
    if !traced.inner.is_whole() || !traced.outer.is_whole() {
        return Err(NoRing::NotSmooth);
    }
    let pitch = scale.mean_mm();
    let inner = points(traced, Side::Inner, scale);
    let outer = points(traced, Side::Outer, scale);
    let fit = |radii: &Radii, orders, floor| radii.fit(orders, floor).ok_or(NoRing::NotSmooth);
    let mut middle = [0.0, 0.0];
    for _ in 0..3 {
        let plain = fit(&about(&inner, middle), 2, 0.15 * pitch)?;
        let shift = plain.series.shift();
        middle = [middle[0] + shift[0], middle[1] + shift[1]];
    }
    let (inner_points, outer_points) = (about(&inner, middle), about(&outer, middle));
    Ok(Outlined {
        middle,
        inner: fit(&inner_points, ORDERS, 0.03 * pitch)?,
        outer: fit(&outer_points, ORDERS, 0.03 * pitch)?,
        inner_points,
        outer_points,
    })
}

/// Gives the points of an edge, mm from the place from which the rays start.
///
/// A lens over the bed sees the equator of the tube, half a section above the glass, moved by u times that height (u: slope
/// of the view, along x), and the tube wider by the part of u that lies along the radius.
fn points(traced: &Traced, side: Side, scale: &Scale) -> Vec<[f64; 2]> {
    let (edge, outward) = match side {
        Side::Inner => (&traced.inner, 1.0),
        Side::Outer => (&traced.outer, -1.0),
    };
    let (across, down) = (scale.across.mm(), scale.down.mm());
    let height = traced.section * scale.mean_mm() / 2.0;
    let point = |(k, radius): (usize, &f64)| {
        let (sin, cos) = ray(k).sin_cos();
        let (mut x, mut y) = (radius * cos * across, radius * sin * down);
        if let Some(lens) = scale.lens {
            let slope = (x + traced.x * across - lens.axis_mm) / lens.distance_mm;
            let wider = outward * height * ((slope * cos).hypot(1.0) - 1.0);
            x += slope * height + wider * cos;
            y += wider * sin;
        }
        [x, y]
    };
    edge.radii.iter().enumerate().map(point).collect()
}

fn about(points: &[[f64; 2]], middle: [f64; 2]) -> Radii {
    let from = |p: &[f64; 2]| [p[0] - middle[0], p[1] - middle[1]];
    let angle = |k: usize, [x, y]: [f64; 2]| if x.is_finite() { y.atan2(x) } else { ray(k) };
    let places = || points.iter().map(from);
    Radii {
        angles: places().enumerate().map(|(k, p)| angle(k, p)).collect(),
        values: places().map(|[x, y]| x.hypot(y)).collect(),
    }
}
