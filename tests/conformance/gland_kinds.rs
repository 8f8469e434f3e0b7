//! The geometry of every kind of gland against a second way to it: the section laid out as regions of the plane and summed
//! over a fine grid, with rounded corners found by rolling a disc, and the gland depth of wedges found by growing a disc.
//! Nothing here uses the formulas of the program.

use ringwright::core::gland::{Geometry, GlandDimension as D, GlandKind, GlandSpec, geometry};
use ringwright::core::quantity::{Angle, Typed, parse_dimension};
use std::f64::consts::PI;

/// A half plane n·p ≤ d, n of length one.
#[derive(Clone, Copy)]
struct Side {
    n: (f64, f64),
    d: f64,
}

/// The side to the left of the way from `a` to `b`.
fn side(a: (f64, f64), b: (f64, f64)) -> Side {
    let length = (b.0 - a.0).hypot(b.1 - a.1);
    let n = ((b.1 - a.1) / length, -(b.0 - a.0) / length);
    Side {
        n,
        d: n.0 * a.0 + n.1 * a.1,
    }
}

impl Side {
    fn over(self, p: (f64, f64)) -> f64 {
        self.n.0 * p.0 + self.n.1 * p.1 - self.d
    }
}

fn inside(sides: &[Side], p: (f64, f64)) -> bool {
    sides.iter().all(|s| s.over(p) <= 0.0)
}

/// Whether a disc of the radius, anywhere within the two sides, can cover a point that lies within them.
fn covered(pair: [Side; 2], radius: f64, p: (f64, f64)) -> bool {
    let [a, b] = pair;
    let moved = |s: Side| Side {
        d: s.d - radius,
        ..s
    };
    let (a, b) = (moved(a), moved(b));
    if a.over(p) <= 0.0 || b.over(p) <= 0.0 {
        // Beside at most one side: the disc that touches it there covers the point if its foot is within the other.
        let foot = |s: Side| {
            let over = s.over(p).max(0.0);
            (p.0 - over * s.n.0, p.1 - over * s.n.1)
        };
        if inside(&[a, b], foot(a)) || inside(&[a, b], foot(b)) {
            return true;
        }
    }
    let (fa, fb) = (a.over(p).max(0.0), b.over(p).max(0.0));
    let foot_a = (p.0 - fa * a.n.0, p.1 - fa * a.n.1);
    let foot_b = (p.0 - fb * b.n.0, p.1 - fb * b.n.1);
    if inside(&[b], foot_a) || inside(&[a], foot_b) {
        return true;
    }
    // In the corner: the nearest centre is where the two moved lines meet.
    let cross = a.n.0 * b.n.1 - a.n.1 * b.n.0;
    let meet = (
        (a.d * b.n.1 - b.d * a.n.1) / cross,
        (a.n.0 * b.d - b.n.0 * a.d) / cross,
    );
    (p.0 - meet.0).hypot(p.1 - meet.1) <= radius
}

/// Sums 2πr over the grid points of a region within a box.
fn turned(region: &dyn Fn((f64, f64)) -> bool, r: (f64, f64), z: (f64, f64)) -> f64 {
    // Fine across the walls, coarse where the box ends with the section itself.
    const FINE: u32 = 8009;
    const COARSE: u32 = 601;
    let (nr, nz) = if r.1 - r.0 > z.1 - z.0 {
        (FINE, COARSE)
    } else {
        (COARSE, FINE)
    };
    let (dr, dz) = ((r.1 - r.0) / f64::from(nr), (z.1 - z.0) / f64::from(nz));
    let mut sum = 0.0;
    for i in 0..nr {
        let x = r.0 + (f64::from(i) + 0.5) * dr;
        let hits = (0..nz)
            .filter(|j| region((x, z.0 + (f64::from(*j) + 0.5) * dz)))
            .count();
        sum += x * hits as f64;
    }
    2.0 * PI * sum * dr * dz
}

fn made(kind: GlandKind, degrees: Option<f64>, dimensions: &[(D, f64)]) -> (Geometry, Vec<f64>) {
    let mut spec = GlandSpec::new(kind);
    spec.angle = degrees
        .and_then(Angle::from_degrees)
        .map(|angle| Typed::new(angle, &angle.to_string()));
    for (which, mm) in dimensions {
        let value = parse_dimension(&format!("{mm} mm"), None)
            .expect("reads")
            .value;
        spec.dimensions.push((*which, Typed::new(value, "")));
    }
    let gland = geometry(&spec).unwrap_or_else(|e| panic!("{kind:?}: {e}"));
    let mm = gland
        .dimensions()
        .iter()
        .map(|(_, d)| d.nominal.mm())
        .collect();
    (gland, mm)
}

/// The grid of 8009 x 601 leaves up to half a row along each wall: less than two parts in ten thousand; slanted and round
/// edges average out.
fn assert_volume(found: f64, summed: f64, what: &str) {
    assert!(
        (found / summed - 1.0).abs() < 4e-4,
        "{what}: {found} against {summed}"
    );
}

/// A groove whose bottom lies at z = 0 and mouth at z = depth, between inner and outer wall feet; each wall leans outwards
/// by its tangent (negative: undercut).
struct Cut {
    feet: (f64, f64),
    depth: f64,
    lean: (f64, f64),
    radius: f64,
}

impl Cut {
    fn holds(&self, p: (f64, f64)) -> bool {
        let (a, b) = self.feet;
        let far = 100.0;
        let bottom = side((a, 0.0), (b, 0.0));
        let right = side((b, 0.0), (b + far * self.lean.1, far));
        let left = side((a - far * self.lean.0, far), (a, 0.0));
        inside(&[bottom, right, left], p)
            && p.1 <= self.depth
            && (self.radius <= 0.0
                || (covered([bottom, right], self.radius, p)
                    && covered([left, bottom], self.radius, p)))
    }
}

/// Arithmetic: Pappus over a grid of the section; the sizes are made up.
#[test]
fn grooves_with_leaning_walls_and_round_corners_have_the_volume_of_their_section() {
    for (degrees, radius) in [(0.0, 0.3), (5.0, 0.25), (12.0, 0.4)] {
        let lean = f64::tan(f64::to_radians(degrees));
        // Piston, seat carrier: bottom at the groove, mouth at the bore. The section is laid out with the depth as its height.
        for (kind, part) in [
            (GlandKind::Piston, D::Piston),
            (GlandKind::Carrier, D::Carrier),
        ] {
            let (gland, mm) = made(
                kind,
                Some(degrees),
                &[
                    (D::Bore, 25.4),
                    (D::Groove, 22.4),
                    (D::Width, 2.4),
                    (part, 25.3),
                    (D::Radius, radius),
                ],
            );
            let cut = Cut {
                feet: (-1.2, 1.2),
                depth: 1.5,
                lean: (lean, lean),
                radius,
            };
            let region = |p: (f64, f64)| cut.holds((p.1, p.0 - 11.2));
            let summed = turned(&region, (11.2, 12.7), (-1.6, 1.6));
            assert_volume(gland.seat(&mm).volume, summed, "piston");
        }
        let (gland, mm) = made(
            GlandKind::Rod,
            Some(degrees),
            &[
                (D::Rod, 6.0),
                (D::Groove, 9.0),
                (D::Width, 2.4),
                (D::Radius, radius),
            ],
        );
        let cut = Cut {
            feet: (-1.2, 1.2),
            depth: 1.5,
            lean: (lean, lean),
            radius,
        };
        let region = |p: (f64, f64)| cut.holds((p.1, 4.5 - p.0));
        assert_volume(
            gland.seat(&mm).volume,
            turned(&region, (3.0, 4.5), (-1.6, 1.6)),
            "rod",
        );
        for (wall, diameter, feet) in [(D::Outer, 16.2, (5.7, 8.1)), (D::Inner, 16.2, (8.1, 10.5))]
        {
            let (gland, mm) = made(
                GlandKind::Face,
                Some(degrees),
                &[
                    (wall, diameter),
                    (D::Depth, 1.35),
                    (D::Width, 2.4),
                    (D::Radius, radius),
                ],
            );
            let cut = Cut {
                feet,
                depth: 1.35,
                lean: (lean, lean),
                radius,
            };
            let summed = turned(&|p| cut.holds(p), (feet.0 - 0.5, feet.1 + 0.5), (0.0, 1.35));
            assert_volume(gland.seat(&mm).volume, summed, "face");
        }
    }
    let (gland, mm) = made(
        GlandKind::Counterbore,
        None,
        &[
            (D::Outer, 12.0),
            (D::Neck, 8.0),
            (D::Depth, 1.35),
            (D::Radius, 0.3),
        ],
    );
    let cut = Cut {
        feet: (4.0, 6.0),
        depth: 1.35,
        lean: (0.0, 0.0),
        radius: 0.3,
    };
    assert_volume(
        gland.seat(&mm).volume,
        turned(&|p| cut.holds(p), (4.0, 6.0), (0.0, 1.35)),
        "counterbore",
    );
}

/// Arithmetic: Pappus over a grid of the section; the sizes are made up.
#[test]
fn dovetails_with_round_bottoms_and_lips_have_the_volume_of_their_section() {
    let (centre, depth, width, radius, lip) = (40.0, 2.85, 2.92, 0.79, 0.25);
    for (kind, both) in [
        (GlandKind::Dovetail, true),
        (GlandKind::HalfDovetail, false),
    ] {
        for degrees in [60.0_f64, 66.0, 80.0] {
            let (gland, mm) = made(
                kind,
                Some(degrees),
                &[
                    (D::Centre, centre),
                    (D::Depth, depth),
                    (D::Width, width),
                    (D::Radius, radius),
                    (D::Lip, lip),
                ],
            );
            let cot = 1.0 / f64::tan(degrees.to_radians());
            let (within, out) = (f64::midpoint(centre, -width), f64::midpoint(centre, width));
            let inner_cot = if both { cot } else { 0.0 };
            let cut = Cut {
                feet: (within - depth * inner_cot, out + depth * cot),
                depth,
                lean: (-inner_cot, -cot),
                radius,
            };
            // Metal above an undercut wall, below the face: what no disc within it covers was rounded off.
            let face = side((0.0 + 100.0, depth), (0.0, depth));
            let outer_wall = side((out, depth), (out + depth * cot, 0.0));
            let inner_wall = side((within - depth * cot, 0.0), (within, depth));
            let gone = |wall: Side, p| inside(&[wall, face], p) && !covered([wall, face], lip, p);
            let region = |p: (f64, f64)| {
                cut.holds(p)
                    || (p.1 <= depth && p.0 > centre / 2.0 && gone(outer_wall, p))
                    || (both && p.1 <= depth && p.0 < centre / 2.0 && gone(inner_wall, p))
            };
            let summed = turned(&region, (within - 2.2, out + 2.2), (0.0, depth));
            assert_volume(gland.seat(&mm).volume, summed, kind.word());
        }
    }
}

/// Grows a disc that touches neck and shoulder until it touches the cone: bisection.
fn grown(space: f64, degrees: f64) -> f64 {
    let cone = side((space, 0.0), (space - f64::tan(degrees.to_radians()), 1.0));
    let (mut low, mut high) = (0.0, space);
    for _ in 0..60 {
        let radius = f64::midpoint(low, high);
        if cone.over((radius, radius)) + radius <= 0.0 {
            low = radius;
        } else {
            high = radius;
        }
    }
    2.0 * low
}

/// Arithmetic: a disc grown until it touches three sides; the sizes are made up.
#[test]
fn wedges_have_the_depth_of_a_grown_disc_and_the_volume_of_their_section() {
    for degrees in [30.0, 45.0, 60.0] {
        let neck = 9.0;
        for leg in [1.6, 2.4] {
            let (gland, mm) = made(
                GlandKind::Crush,
                Some(degrees),
                &[(D::Neck, neck), (D::Chamfer, leg)],
            );
            let seat = gland.seat(&mm);
            assert!((seat.depth - grown(leg, degrees)).abs() < 1e-9);
            let rise = leg / f64::tan(f64::to_radians(degrees));
            let slant = side((neck / 2.0 + leg, 0.0), (neck / 2.0, rise));
            let summed = turned(
                &|p| slant.over(p) <= 0.0,
                (neck / 2.0, neck / 2.0 + leg),
                (0.0, rise),
            );
            assert_volume(seat.volume, summed, "crush");
            // The chamfer as its diameter at the face is the same gland.
            let (by_mouth, mm) = made(
                GlandKind::Crush,
                Some(degrees),
                &[(D::Neck, neck), (D::Mouth, neck + 2.0 * leg)],
            );
            assert!((by_mouth.seat(&mm).volume / seat.volume - 1.0).abs() < 1e-12);
        }
    }
    for degrees in [12.0, 15.0, 30.0] {
        let (neck, mouth, depth) = (11.7, 15.8, 2.4);
        let (gland, mm) = made(
            GlandKind::Port,
            Some(degrees),
            &[(D::Neck, neck), (D::Mouth, mouth), (D::Depth, depth)],
        );
        let seat = gland.seat(&mm);
        assert!((seat.depth - grown(f64::midpoint(mouth, -neck), degrees)).abs() < 1e-9);
        let foot = mouth / 2.0 - depth * f64::tan(f64::to_radians(degrees));
        let slant = side((mouth / 2.0, 0.0), (foot, depth));
        let summed = turned(
            &|p| slant.over(p) <= 0.0,
            (neck / 2.0, mouth / 2.0),
            (0.0, depth),
        );
        assert_volume(seat.volume, summed, "port");
    }
}

#[test]
fn a_ring_that_fills_its_triangle_is_squeezed_by_the_published_share() {
    // "fill near 100 %, squeeze about 30 %" (nh-oring.de, installation space): a 45° triangle of leg a holds the area of a
    // section W where a² / 2 = π W²/4; its inscribed circle then leaves 26.6 %. The published figures are rounded to tens.
    let leg = (PI / 2.0_f64).sqrt();
    let squeeze = 100.0 * (1.0 - grown(leg, 45.0));
    assert!((squeeze - 26.6).abs() < 0.1, "{squeeze}");
    assert!((squeeze / 10.0).round() * 10.0 - 30.0 == 0.0);
}
