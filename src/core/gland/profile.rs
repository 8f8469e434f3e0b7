//! The section of a groove as a polygon with rounded corners, turned about the axis.

use std::f64::consts::PI;

/// One corner of a profile in millimetres.
#[derive(Debug, Clone, Copy)]
pub(super) struct Corner {
    /// Distance from the axis.
    pub(super) r: f64,
    /// Distance along the axis.
    pub(super) z: f64,
    /// Rounding.
    pub(super) edge: Edge,
}

/// Says how a corner is rounded.
#[derive(Debug, Clone, Copy)]
pub(super) enum Edge {
    Sharp,
    /// A fillet of this radius in the corner of the groove takes room away.
    Fillet(f64),
    /// The metal that ends at this corner is rounded off by this radius, which gives room.
    ///
    /// The corner before it along the outline closes the mouth, the one behind it is a wall.
    Lip(f64),
    /// As `Lip`, with the wall before it and the mouth behind it.
    LipBehind(f64),
}

impl Corner {
    pub(super) const fn sharp(r: f64, z: f64) -> Self {
        Self {
            r,
            z,
            edge: Edge::Sharp,
        }
    }

    pub(super) const fn with(r: f64, z: f64, edge: Edge) -> Self {
        Self { r, z, edge }
    }
}

/// Returns the volume in mm³ of a profile turned about the axis.
///
/// Pappus: 2π times the first moment of the area about the axis; the area of the polygon by the shoelace formula, each
/// rounded corner as the difference of a kite and a sector, exact.
pub(super) fn volume_of(corners: &[Corner]) -> f64 {
    let next = |i: usize| corners[(i + 1) % corners.len()];
    let before = |i: usize| corners[(i + corners.len() - 1) % corners.len()];
    let mut moment = 0.0;
    for (i, a) in corners.iter().enumerate() {
        let b = next(i);
        moment += (a.r + b.r) * (a.r * b.z - b.r * a.z) / 6.0;
    }
    let mut moment = moment.abs();
    for (i, corner) in corners.iter().enumerate() {
        let back = towards(*corner, before(i));
        let ahead = towards(*corner, next(i));
        let opposite = |way: Way| Way {
            r: -way.r,
            z: -way.z,
        };
        moment += match corner.edge {
            Edge::Sharp => 0.0,
            Edge::Fillet(radius) => -rounded_off(*corner, back, ahead, radius),
            Edge::Lip(radius) => rounded_off(*corner, opposite(back), ahead, radius),
            Edge::LipBehind(radius) => rounded_off(*corner, back, opposite(ahead), radius),
        };
    }
    2.0 * PI * moment
}

/// A direction of length one, away from the axis and along it.
#[derive(Debug, Clone, Copy)]
struct Way {
    r: f64,
    z: f64,
}

fn towards(from: Corner, to: Corner) -> Way {
    let (r, z) = (to.r - from.r, to.z - from.z);
    let length = libm::hypot(r, z);
    Way {
        r: r / length,
        z: z / length,
    }
}

/// Returns the first moment about the axis of what a radius takes out of the wedge between two unit directions.
fn rounded_off(corner: Corner, a: Way, b: Way, radius: f64) -> f64 {
    if radius <= 0.0 {
        return 0.0;
    }
    let angle = libm::acos((a.r * b.r + a.z * b.z).clamp(-1.0, 1.0));
    let half_arc = (PI - angle) / 2.0;
    let kite = radius * radius / libm::tan(angle / 2.0);
    let sector = radius * radius * half_arc;
    let centre = radius / libm::sin(angle / 2.0);
    let tangent = radius / libm::tan(angle / 2.0);
    let kite_at = (tangent * libm::cos(angle / 2.0) + centre) / 3.0;
    let sector_at = centre - 2.0 * radius * libm::sin(half_arc) / (3.0 * half_arc);
    let bisector = a.r + b.r;
    let length = libm::hypot(bisector, a.z + b.z);
    let lever = |distance: f64| corner.r + distance * bisector / length;
    kite * lever(kite_at) - sector * lever(sector_at)
}

/// A groove with side walls that lean outwards and fillets at its bottom. Lengths in millimetres.
#[derive(Debug, Clone, Copy)]
pub(super) struct Trough {
    /// Width at the bottom.
    pub(super) width: f64,
    /// Tangent of the angle by which each wall leans outwards.
    pub(super) lean: f64,
    /// Radius at the bottom.
    pub(super) radius: f64,
}

impl Trough {
    /// Returns the volume of a groove cut radially from its mouth to its bottom (both diameters).
    pub(super) fn radial(self, mouth: f64, bottom: f64) -> f64 {
        let (top, root) = (mouth / 2.0, bottom / 2.0);
        let half = self.width / 2.0;
        let wide = half + (top - root).abs() * self.lean;
        volume_of(&[
            Corner::with(root, -half, Edge::Fillet(self.radius)),
            Corner::with(root, half, Edge::Fillet(self.radius)),
            Corner::sharp(top, wide),
            Corner::sharp(top, -wide),
        ])
    }

    /// Returns the volume of a groove cut along the axis, between two diameters at its bottom.
    pub(super) fn axial(self, outer: f64, inner: f64, depth: f64) -> f64 {
        let (out, within) = (outer / 2.0, inner / 2.0);
        let lean = depth * self.lean;
        volume_of(&[
            Corner::with(within, 0.0, Edge::Fillet(self.radius)),
            Corner::with(out, 0.0, Edge::Fillet(self.radius)),
            Corner::sharp(out + lean, depth),
            Corner::sharp((within - lean).max(0.0), depth),
        ])
    }

    /// Tells whether the groove is plainly rectangular.
    pub(super) fn is_plain(self) -> bool {
        self.lean == 0.0 && self.radius == 0.0
    }
}

/// Returns the diameter of the circle that touches a neck, a shoulder square to it and a cone that narrows by `angle` (from
/// the axis, radians); `space` is the radial room between neck and cone at the shoulder.
///
/// 2 A cos θ/(1 + cos θ + sin θ); at 45° it is the inscribed circle of the right triangle, A (2 − √2). Derived here; the
/// tests compare it with distances worked out by search.
pub(super) fn circle_in_wedge(space: f64, angle: f64) -> f64 {
    let (sin, cos) = (libm::sin(angle), libm::cos(angle));
    2.0 * space * cos / (1.0 + cos + sin)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plain_groove_is_an_annulus_and_a_fillet_takes_its_corner() {
        let plain = Trough {
            width: 2.4,
            lean: 0.0,
            radius: 0.0,
        };
        let annulus = PI / 4.0 * (25.4 * 25.4 - 22.4 * 22.4) * 2.4;
        assert!((plain.radial(25.4, 22.4) - annulus).abs() < 1e-9);
        let rounded = Trough {
            radius: 0.3,
            ..plain
        };
        // Two square fillets of 0.3 mm: each r²(1 - π/4), centroid r (5/6 - π/4)/(1 - π/4) above the root.
        let area = 0.09 * (1.0 - PI / 4.0);
        let lever = 11.2 + 0.3 * (5.0 / 6.0 - PI / 4.0) / (1.0 - PI / 4.0);
        let taken = 2.0 * area * 2.0 * PI * lever;
        assert!((rounded.radial(25.4, 22.4) - (annulus - taken)).abs() < 1e-9);
    }

    #[test]
    fn the_circle_in_a_wedge_touches_all_three_sides() {
        for degrees in [12.0_f64, 15.0, 30.0, 45.0, 60.0] {
            let (angle, space) = (degrees.to_radians(), 2.05);
            let radius = circle_in_wedge(space, angle) / 2.0;
            // Distance of the centre (radius, radius) from the cone through (space, 0) with direction (-sin, cos).
            let (x, y) = (radius - space, radius);
            let distance = (x * libm::cos(angle) + y * libm::sin(angle)).abs();
            assert!((distance - radius).abs() < 1e-12, "{degrees}");
        }
        assert!((circle_in_wedge(1.0, PI / 4.0) - (2.0 - std::f64::consts::SQRT_2)).abs() < 1e-12);
    }
}
