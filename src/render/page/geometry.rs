//! Places on a page, in points from the upper left corner.

use super::drawing::Piece;
use std::f64::consts::{FRAC_PI_4, TAU};

/// A place on a page.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Point {
    /// Distance from the left edge.
    pub x: f64,
    /// Distance from the upper edge.
    pub y: f64,
}

impl Point {
    /// Makes a place.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Returns the place so far to the right and below.
    #[must_use]
    pub fn by(self, right: f64, down: f64) -> Self {
        Self::new(self.x + right, self.y + down)
    }
}

/// A rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    /// The upper left corner.
    pub corner: Point,
    pub width: f64,
    pub height: f64,
}

impl Rect {
    /// Makes a rectangle of its upper left corner and size.
    pub const fn new(corner: Point, width: f64, height: f64) -> Self {
        Self {
            corner,
            width,
            height,
        }
    }

    /// Returns its corners in turn.
    pub fn corners(self) -> [Point; 4] {
        let (x, y) = (self.corner.x, self.corner.y);
        let (right, bottom) = (x + self.width, y + self.height);
        [(x, y), (right, y), (right, bottom), (x, bottom)].map(|(x, y)| Point::new(x, y))
    }
}

/// Where a drawing in millimetres lies and how large it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// Where its upper left corner lies.
    pub corner: Point,
    /// Points a millimetre.
    pub scale: f64,
}

impl View {
    /// Returns where a place of the drawing lies.
    pub fn at(&self, x: f64, y: f64) -> Point {
        self.corner.by(x * self.scale, y * self.scale)
    }
}

/// Gives an arc about a centre from one angle to another; angles turn clockwise on paper, from the right.
///
/// Curves of 45 degrees at most, with handles of 4/3·tan(step/4): the radius is nowhere more than 4 parts in a million wrong.
pub fn arc(centre: Point, radius: f64, from: f64, to: f64) -> Vec<Piece> {
    let parts = (1..=8_u32).find(|parts| (to - from).abs() <= f64::from(*parts) * FRAC_PI_4 + 1e-9);
    let parts = parts.unwrap_or(8);
    let step = (to - from) / f64::from(parts);
    let handle = 4.0 / 3.0 * libm::tan(step / 4.0);
    let on = |angle: f64, ahead: f64| {
        let (sin, cos) = (libm::sin(angle), libm::cos(angle));
        centre.by(radius * (cos - ahead * sin), radius * (sin + ahead * cos))
    };
    let curve = |part: u32| {
        let start = from + step * f64::from(part);
        let end = start + step;
        Piece::Curve([on(start, handle), on(end, -handle), on(end, 0.0)])
    };
    let start = Piece::Line(on(from, 0.0));
    std::iter::once(start)
        .chain((0..parts).map(curve))
        .collect()
}

/// Begins an outline with the first of its places.
pub fn begun(mut pieces: Vec<Piece>) -> Vec<Piece> {
    if let Some(first) = pieces.first_mut()
        && let Piece::Line(start) = *first
    {
        *first = Piece::Move(start);
    }
    pieces
}

/// Begins an outline with the first of its places, and leads it back there.
pub fn closed(pieces: Vec<Piece>) -> Vec<Piece> {
    let mut pieces = begun(pieces);
    pieces.push(Piece::Close);
    pieces
}

/// Gives the outline of a circle.
pub fn circle(centre: Point, radius: f64) -> Vec<Piece> {
    closed(arc(centre, radius, 0.0, TAU))
}

/// Gives the outline that runs straight from place to place.
pub(super) fn polygon(points: impl IntoIterator<Item = Point>) -> Vec<Piece> {
    closed(points.into_iter().map(Piece::Line).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_circle_is_round_to_a_hundred_thousandth() {
        let mut last = Point::new(100.0, 0.0);
        for piece in circle(Point::default(), 100.0) {
            if let Piece::Curve([a, b, end]) = piece {
                for part in 0..=20 {
                    let t = f64::from(part) / 20.0;
                    let u = 1.0 - t;
                    let mix = |p0: f64, p1: f64, p2: f64, p3: f64| {
                        u * u * u * p0
                            + 3.0 * u * u * t * p1
                            + 3.0 * u * t * t * p2
                            + t * t * t * p3
                    };
                    let radius = mix(last.x, a.x, b.x, end.x).hypot(mix(last.y, a.y, b.y, end.y));
                    assert!((radius - 100.0).abs() < 1e-3, "{radius}");
                }
                last = end;
            }
        }
    }
}
