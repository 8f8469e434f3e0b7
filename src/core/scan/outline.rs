//! The outlines of a traced ring in millimetres.

use super::hole::ray;
use super::polar::NoRing;
use super::ring::rays_found;
use super::scale::Scale;
use super::series::{Fitted, Radii};
use super::trace::{Traced, TracedEdge};

/// Holds both outlines of a ring about the middle of the inner one.
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
const ORDERS_HIDDEN: usize = 3;
/// An edge with fewer rays is broken.
const FEWEST_RAYS: usize = 120;

/// Which side of the tube an edge is: seen aslant, a tube shows wider on both.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Inner,
    Outer,
}

pub(super) fn outlined(traced: &Traced, scale: &Scale) -> Result<Outlined, NoRing> {
    let pitch = scale.mean_mm();
    for edge in [&traced.inner, &traced.outer] {
        if rays_found(&edge.radii) < FEWEST_RAYS {
            return Err(NoRing::NotSmooth);
        }
    }
    let inner = points(traced, Side::Inner, scale);
    let outer = points(traced, Side::Outer, scale);
    let mut middle = [0.0, 0.0];
    for _ in 0..3 {
        let radii = about(&inner, middle, None);
        let fitted = radii.fit(2, 0.15 * pitch).ok_or(NoRing::NotSmooth)?;
        let shift = fitted.series.shift();
        middle = [middle[0] + shift[0], middle[1] + shift[1]];
    }
    let fit = |points: &[[f64; 2]], edge: &TracedEdge| {
        let radii = about(points, middle, edge.trust.clone());
        let orders = if traced.hidden { ORDERS_HIDDEN } else { ORDERS };
        let fitted = radii.fit(orders, 0.03 * pitch).ok_or(NoRing::NotSmooth)?;
        Ok((fitted, radii))
    };
    let (fitted_inner, inner_points) = fit(&inner, &traced.inner)?;
    let (fitted_outer, outer_points) = fit(&outer, &traced.outer)?;
    Ok(Outlined {
        middle,
        inner: fitted_inner,
        outer: fitted_outer,
        inner_points,
        outer_points,
    })
}

/// Gives the points of an edge, mm from the place from which the rays start.
///
/// A lens over the bed sees the equator of the tube, half a section above the glass, moved by u times that height (u: slope
/// of the view, along x), and the tube wider by the part of u that lies along the radius.
fn points(traced: &Traced, side: Side, scale: &Scale) -> Vec<[f64; 2]> {
    let edge = match side {
        Side::Inner => &traced.inner,
        Side::Outer => &traced.outer,
    };
    let (across, down) = (scale.across.mm(), scale.down.mm());
    let height = traced.section * scale.mean_mm() / 2.0;
    let radii = edge.radii.iter().enumerate();
    radii
        .map(|(k, radius)| {
            let (sin, cos) = ray(k).sin_cos();
            let (mut x, mut y) = (radius * cos * across, radius * sin * down);
            if let Some(lens) = scale.lens {
                let slope = (x + traced.x * across - lens.axis_mm) / lens.distance_mm;
                let wider = height * ((slope * cos).hypot(1.0) - 1.0);
                let outward = if side == Side::Outer { -wider } else { wider };
                x += slope * height + outward * cos;
                y += outward * sin;
            }
            [x, y]
        })
        .collect()
}

fn about(points: &[[f64; 2]], middle: [f64; 2], weights: Option<Vec<f64>>) -> Radii {
    let from = |point: &[f64; 2]| [point[0] - middle[0], point[1] - middle[1]];
    let angle = |k: usize, [x, y]: [f64; 2]| if x.is_finite() { y.atan2(x) } else { ray(k) };
    Radii {
        angles: points
            .iter()
            .enumerate()
            .map(|(k, p)| angle(k, from(p)))
            .collect(),
        values: points
            .iter()
            .map(|p| from(p)[0].hypot(from(p)[1]))
            .collect(),
        weights,
    }
}
