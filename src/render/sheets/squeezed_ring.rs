//! The ring in its gland: free as a dashed circle, squeezed with its area kept.

use super::gland_section::{BACK_UP_MM, Section, Shape, WALL_MM};
use crate::render::page::{Drawing, Pen, View, arc, closed};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// The squeezed section in millimetres, from the upper left corner of its space.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Squeezed {
    /// Two flats a height apart, with round ends: half width and radius.
    Flat(f64, f64),
    /// What is left of a triangle (right angle at neck and head) whose corners are rounded by a radius.
    Wedge {
        /// Room between neck and cone at the head.
        room: f64,
        /// Angle of the cone from the axis, radians.
        angle: f64,
        /// Radius of the rounded corners.
        radius: f64,
    },
}

impl Squeezed {
    /// Squeezes the section on its seat into its space.
    ///
    /// Between two flats: π d²/4 = c h + π h²/4, width c + h, with d the section on its seat and h the depth. In a wedge the three
    /// corners are rounded alike, as a skin that bears the same pressure everywhere is: a triangle of area A, girth P and
    /// inscribed radius ρ, shrunk to 1 − r/ρ and widened by r, has the area A (1 − r/ρ)² + P (1 − r/ρ) r + π r².
    pub(super) fn of(section: &Section) -> Self {
        if let Shape::Cone(_, angle) = section.shape {
            let room = section.width;
            let target = PI * section.seated * section.seated / 4.0;
            let (_, _, inscribed) = triangle(room, angle);
            // A ring that is smaller than the circle in the wedge stays round.
            if section.seated / 2.0 <= inscribed {
                return Self::Flat(section.seated / 2.0, section.seated / 2.0);
            }
            return Self::Wedge {
                room,
                angle,
                radius: rounding(room, angle, target),
            };
        }
        let height = section.depth.min(section.seated);
        let flat = PI * (section.seated * section.seated - height * height) / (4.0 * height);
        Self::Flat(f64::midpoint(flat, height), height / 2.0)
    }

    /// Returns the greatest width.
    pub(super) fn width(&self) -> f64 {
        match self {
            Self::Flat(half, _) => 2.0 * half,
            Self::Wedge { room, .. } => *room,
        }
    }

    /// Returns the area that is drawn, in square millimetres.
    #[cfg(test)]
    fn area(&self) -> f64 {
        match self {
            Self::Flat(half, radius) => 4.0 * (half - radius) * radius + PI * radius * radius,
            Self::Wedge {
                room,
                angle,
                radius,
            } => rounded_area(*room, *angle, *radius),
        }
    }
}

/// Area, girth and inscribed radius of the right triangle of neck, head and cone.
fn triangle(room: f64, angle: f64) -> (f64, f64, f64) {
    let high = room / libm::tan(angle);
    let area = room * high / 2.0;
    let girth = room + high + libm::hypot(room, high);
    (area, girth, 2.0 * area / girth)
}

fn rounded_area(room: f64, angle: f64, radius: f64) -> f64 {
    let (area, girth, inscribed) = triangle(room, angle);
    let left = (1.0 - radius / inscribed).max(0.0);
    area * left * left + girth * left * radius + PI * radius * radius
}

/// The radius at which the rounded triangle has this area; 0 where the whole triangle is too small for it.
fn rounding(room: f64, angle: f64, target: f64) -> f64 {
    let (_, _, inscribed) = triangle(room, angle);
    let (mut low, mut high) = (0.0, inscribed);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if rounded_area(room, angle, middle) > target {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// Draws the squeezed ring, and the free one dashed.
pub(super) fn draw_ring(drawing: &mut Drawing, view: View, section: &Section) {
    let near = section.side();
    let free = section.free / 2.0;
    let squeezed = Squeezed::of(section);
    let (middle, radius) = match squeezed {
        Squeezed::Wedge { radius, .. } => (near + free, radius),
        Squeezed::Flat(half, radius) if section.shape == Shape::Step => (near + half, radius),
        Squeezed::Flat(half, radius) => (near + section.width / 2.0 + aside(section, half), radius),
    };
    let arcs = match squeezed {
        Squeezed::Wedge {
            room,
            angle,
            radius,
        } => wedge(near, room, angle, radius),
        Squeezed::Flat(half, radius) => {
            let flat = (half - radius).max(0.0);
            let y = WALL_MM + section.depth / 2.0;
            vec![
                ([middle + flat, y], -FRAC_PI_2, FRAC_PI_2),
                ([middle - flat, y], FRAC_PI_2, PI + FRAC_PI_2),
            ]
        }
    };
    let pieces = arcs
        .into_iter()
        .flat_map(|([x, y], from, to)| arc(view.at(x, y), radius * view.scale, from, to));
    drawing.path(closed(pieces.collect()), Pen::filled(0.9, 0.45));
    let y = match section.shape {
        Shape::Groove(true) | Shape::Cone(..) => WALL_MM + free,
        _ => WALL_MM + section.depth - free,
    };
    drawing.circle(view.at(middle, y), free * view.scale, Pen::dashed(0.7, 2.5));
}

/// How far a back-up ring at one wall moves the ring aside, as far as the groove has room.
fn aside(section: &Section, half: f64) -> f64 {
    let room = (section.width / 2.0 - half).max(0.0);
    let moved = (BACK_UP_MM / 2.0).min(room);
    match (section.back_ups.left, section.back_ups.right) {
        (true, false) => moved,
        (false, true) => -moved,
        _ => 0.0,
    }
}

/// The middle and the angles of an arc.
type Arc = ([f64; 2], f64, f64);

/// The rounded triangle: each corner is an arc about the corner of the triangle shrunk towards the inscribed centre. Going round
/// clockwise on paper, it turns from the normal of one side to that of the next.
fn wedge(near: f64, room: f64, angle: f64, radius: f64) -> Vec<Arc> {
    let (_, _, inscribed) = triangle(room, angle);
    let share = 1.0 - radius / inscribed;
    let shrunk = |x: f64, y: f64| {
        let [x, y] = [x, y].map(|from_centre| inscribed + (from_centre - inscribed) * share);
        [near + x, WALL_MM + y]
    };
    let (neck, head) = (PI, 1.5 * PI);
    vec![
        (shrunk(0.0, 0.0), neck, head),
        (shrunk(room, 0.0), head, TAU + angle),
        (shrunk(0.0, room / libm::tan(angle)), angle, neck),
    ]
}

#[cfg(test)]
mod tests {
    use super::super::gland_section::BackUps;
    use super::*;

    fn section(shape: Shape, width: f64, seated: f64) -> Section {
        Section {
            shape,
            depth: 1.4,
            width,
            gap: 0.0,
            free: seated,
            seated,
            back_ups: BackUps::default(),
        }
    }

    #[test]
    fn the_squeezed_section_keeps_its_area() {
        for (shape, width) in [
            (Shape::Groove(false), 2.4),
            (Shape::Cone(4.0, 12.0_f64.to_radians()), 2.2),
            (Shape::Cone(4.0, 12.0_f64.to_radians()), 1.2),
            (Shape::Cone(2.4, 45.0_f64.to_radians()), 2.4),
        ] {
            let seated = 1.6;
            let squeezed = Squeezed::of(&section(shape, width, seated));
            let area = PI * seated * seated / 4.0;
            assert!((squeezed.area() - area).abs() < 1e-6, "{shape:?}");
        }
    }

    #[test]
    fn a_ring_larger_than_its_wedge_fills_it_and_one_that_just_touches_stays_round() {
        // A triangle with legs of 2 mm has the inscribed radius 2 - √2.
        let angle = PI / 4.0;
        let touching = 2.0 * (2.0 - std::f64::consts::SQRT_2);
        assert!(
            (rounding(2.0, angle, PI * touching * touching / 4.0) - touching / 2.0).abs() < 1e-4
        );
        assert!(rounding(2.0, angle, 3.0) < 1e-9);
    }
}
