//! The simulator against what can be worked out by hand.

use super::bed::Bed;
use super::light::Light;
use super::profile::{Cover, Lit, Profile, Sample, View};
use super::random::Draws;
use super::ring::{Outline, Ring, Rubber};
use super::scanner::{Curve, Lamp, Optics, Scanner};
use super::tube::Tube;
use std::f64::consts::{FRAC_PI_2, PI, SQRT_2, TAU};

const LEVEL: Cover = Cover {
    height: 3.53,
    bounce: 0.4,
    catches: true,
};

fn tube(inside: f64, section: f64) -> Tube {
    Tube {
        radius: 0.5 * (inside + section),
        half_width: 0.5 * section,
        half_height: 0.5 * section,
        middle: 0.5 * section,
    }
}

fn scanner(cone: f64, share: f64) -> Scanner {
    Scanner {
        lamp: Lamp {
            share,
            slant: PI / 4.0,
            half_width: 0.12,
        },
        curve: Curve::Linear,
        ..Scanner::ideal(Optics::Cis { cone }, 600)
    }
}

/// A pixel so small that only the rays count.
fn fine(cone: f64) -> View {
    View {
        cone,
        slope: 0.0,
        pixel: 0.01,
        blur: 0.001,
    }
}

/// Where a falling or rising value passes a level, walking outwards in µm.
fn crossing(from: f64, to: f64, level: f64, value: impl Fn(f64) -> f64) -> f64 {
    let steps = ((to - from) / 1e-3).abs() as u32;
    let at = |step: u32| from + (to - from) * f64::from(step) / f64::from(steps);
    let above = value(from) > level;
    let step = (1..steps)
        .find(|&step| (value(at(step)) > level) != above)
        .expect("the level is passed");
    let (before, after) = (value(at(step - 1)), value(at(step)));
    at(step - 1) + (at(step) - at(step - 1)) * (level - before) / (after - before)
}

#[test]
fn half_of_the_rays_of_a_contact_sensor_end_on_rubber_at_the_silhouette() {
    for (inside, section) in [(3.0, 1.0), (9.25, 1.78), (25.0, 3.53), (60.0, 5.33)] {
        for cone in [0.12, 0.25] {
            let tube = tube(inside, section);
            let light = Light::new(&scanner(cone, 0.5));
            let cover = Cover {
                height: section,
                ..LEVEL
            };
            let table = Profile::of_tube(&Lit::of(tube, &cover, &light), &fine(cone));
            let half = 0.5 * section;
            // The equator is seen up to b·α²/8 too far out (README of the method), and a curved edge a little less or more.
            let allowed = half * cone * cone / 8.0 + (half * cone).powi(2) / (4.0 * inside) + 0.002;
            for side in [1.0, -1.0] {
                let edge = crossing(0.2 * half * side, 1.8 * half * side, 0.5, |across| {
                    f64::from(table.at(across, 1.0).cover)
                });
                assert!(
                    (edge.abs() - half).abs() < allowed,
                    "{section} {cone} {side}: {edge}"
                );
            }
        }
    }
}

/// Rays thrown at random at the torus itself, which the tables take for a straight tube with a curved edge.
#[test]
fn the_table_agrees_with_rays_thrown_at_the_torus() {
    let (inside, section, cone) = (9.25, 1.78, 0.22);
    let tube = tube(inside, section);
    let light = Light::new(&scanner(cone, 1.0));
    let cover = Cover {
        height: section,
        ..LEVEL
    };
    let table = Profile::of_tube(&Lit::of(tube, &cover, &light), &fine(cone));
    let mut draws = Draws::new(7);
    for across in [-1.05, -0.95, -0.89, -0.8, -0.7, 0.7, 0.8, 0.89, 0.95, 1.05] {
        let (count, mut hits) = (40_000, 0_u32);
        for _ in 0..count {
            let (size, turn) = (cone * draws.uniform().sqrt(), draws.angle());
            let start = [tube.radius + across, 0.0];
            let slope = [size * turn.cos(), size * turn.sin()];
            hits += u32::from(meets(&tube, start, slope));
        }
        let thrown = f64::from(hits) / f64::from(count);
        let looked_up = f64::from(table.at(across, 0.0).cover);
        assert!(
            (thrown - looked_up).abs() < 0.012,
            "{across}: {thrown} {looked_up}"
        );
    }
}

/// Whether the ray from the glass meets the torus, in steps of a thousandth of its height.
fn meets(tube: &Tube, start: [f64; 2], slope: [f64; 2]) -> bool {
    (0..=400).any(|step| {
        let z = 2.0 * tube.half_height * f64::from(step) / 400.0;
        let from = (start[0] + slope[0] * z).hypot(start[1] + slope[1] * z);
        ((from - tube.radius) / tube.half_width).hypot((z - tube.middle) / tube.half_height) <= 1.0
    })
}

fn shade(sample: Sample) -> f64 {
    f64::from(sample.paper) / f64::from(1.0 - sample.cover).max(1e-6)
}

/// Light at 45° that just passes a tube of radius b meets paper on its top √2·b, that is 0.7 of the section, beyond the edge.
#[test]
fn the_shadow_ends_seven_tenths_of_the_section_beyond_the_lee_edge() {
    // So wide that it is straight as far as the lamp's slanting light passes along it.
    let tube = tube(4000.0, 3.53);
    let light = Light::new(&scanner(0.01, 1.0));
    let table = Profile::of_tube(&Lit::of(tube, &LEVEL, &light), &fine(0.01));
    let half = tube.half_width;
    // The lamp is on the side of greater y, so that the lee of the outer edge looks to lesser y.
    let lee = |across: f64| shade(table.at(across, -FRAC_PI_2));
    let open = 1.0 - light.ambient;
    // Between the shadow's floor and the light beyond it lies the lamp's half; the ambient part changes little here.
    let level = |share: f64| {
        crossing(
            1.1 * half,
            4.5 * half,
            light.ambient * 0.8 + share * open,
            lee,
        )
    };
    let end = level(0.5) - half;
    // Level paper takes less of the strip's flatter light: half of it comes from under 45° − w²/2 · tan 45°.
    let middle = PI / 4.0 - 0.5 * 0.12 * 0.12;
    let expected = half * (middle.tan() + 1.0 / middle.cos() - 1.0);
    assert!((expected - SQRT_2 * half).abs() < 0.05);
    assert!((end - expected).abs() < 0.02 * half, "{end} {expected}");
    // d/dβ (tan β + 1/cos β) at 45° is 2 + √2; an even strip of ±0.12 goes from 20 to 80 % in 0.6 of its width.
    let penumbra = level(0.8) - level(0.2);
    let expected = 0.6 * 2.0 * 0.12 * (2.0 + SQRT_2) * half;
    assert!(
        (penumbra / expected - 1.0).abs() < 0.25,
        "{penumbra} {expected}"
    );
    // On the lamp's side the paper is lit right up to the rubber, but for ambient light.
    assert!(shade(table.at(1.2 * half, FRAC_PI_2)) > 1.0 - 0.6 * light.ambient);
}

/// The edge that looks from a lone lamp is darker than the one that looks to it; without paper it is all but black.
#[test]
fn the_rubber_that_looks_away_from_the_lamp_is_dark() {
    let tube = tube(25.0, 3.53);
    let light = Light::new(&scanner(0.2, 1.0));
    let open = Cover {
        height: 3.53,
        bounce: 0.0,
        catches: false,
    };
    let table = Profile::of_tube(&Lit::of(tube, &open, &light), &fine(0.01));
    let across = 0.9 * tube.half_width;
    let towards = table.at(across, FRAC_PI_2).diffuse;
    let away = table.at(across, -FRAC_PI_2).diffuse;
    assert!(away < 0.2 * towards, "{away} {towards}");
    assert!((f64::from(table.at(3.0 * across, -FRAC_PI_2).paper) - 1.0).abs() < 1e-6);
}

/// A lens under the bed's middle sees the equator of a ring at height b smaller in x by 1 − b/L, and true in y.
#[test]
fn a_lens_shrinks_x_and_not_y() {
    let distance = 250.0;
    let lens = Scanner {
        ambient: 1.0,
        curve: Curve::Linear,
        ..Scanner::ideal(
            Optics::Ccd {
                distance,
                cone: 0.005,
            },
            600,
        )
    };
    let (centre, half) = ([105.0, 38.0], 0.5 * 5.33);
    let scan = Bed::new(lens, 3)
        .size(210.0, 76.0)
        .ring(Ring::new(60.0, 5.33, centre))
        .scan();
    let pixel = 25.4 / 600.0;
    // The level of a sharp edge: half of black rubber's and of the paper's in the corner beneath it, taken 3 px away on both sides.
    let edge = |direction: [f64; 2]| {
        let value = |from: f64| {
            let place = [0, 1].map(|axis| (centre[axis] + from * direction[axis]) / pixel - 0.5);
            read(&scan.rgb, scan.width, place)
        };
        let about = 0.5 * scan.truth.bed.rings[0].outside();
        let level = 0.5 * (value(about - 0.5) + value(about + 0.18));
        crossing(about - 0.5, about + 0.3, level, value)
    };
    let across = edge([1.0, 0.0]) + edge([-1.0, 0.0]);
    let down = edge([0.0, 1.0]) + edge([0.0, -1.0]);
    // The tube is seen under the slope u = x/L, and so √(1 + u²) wider.
    let slope: f64 = 35.0 / distance;
    let seen = (0.5 * 65.33 + half * (1.0 + 0.5 * slope * slope)) / (1.0 + half / distance);
    assert!(
        (across - 2.0 * seen).abs() < 0.03,
        "{across} {}",
        2.0 * seen
    );
    assert!((down - 70.66).abs() < 0.03, "{down}");
}

/// Green between the four pixels about a place.
fn read(rgb: &[u8], width: usize, place: [f64; 2]) -> f64 {
    let (column, row) = (place[0] as usize, place[1] as usize);
    let (right, down) = (place[0].fract(), place[1].fract());
    let at = |dx: usize, dy: usize| f64::from(rgb[((row + dy) * width + column + dx) * 3 + 1]);
    let line = |dy: usize| at(0, dy) * (1.0 - right) + at(1, dy) * right;
    line(0) * (1.0 - down) + line(1) * down
}

/// A bent ring keeps its length: whatever its shape, the length of its outer edge over π is its outside diameter.
#[test]
fn the_edges_of_an_oval_ring_have_the_length_of_the_true_diameters() {
    let mut ring = Ring::new(9.25, 1.78, [0.0, 0.0]).oval(0.05, 0.7);
    ring.triangle = 0.015;
    let outline = Outline::of(&ring, 1);
    for (level, expected) in [(0.89, ring.outside()), (-0.89, ring.inside)] {
        let count = 2000;
        let points: Vec<[f64; 2]> = (0..count)
            .map(|index| {
                let (sine, cosine) = (f64::from(index) / f64::from(count) * TAU).sin_cos();
                let (mut near, mut far) = (3.0, 8.0);
                for _ in 0..40 {
                    let from = 0.5 * (near + far);
                    let across = outline
                        .place(from * cosine, from * sine, Rubber::Black)
                        .across;
                    if across < level {
                        near = from;
                    } else {
                        far = from;
                    }
                }
                [near * cosine, near * sine]
            })
            .collect();
        let length: f64 = (0..points.len())
            .map(|index| {
                let (one, next) = (points[index], points[(index + 1) % points.len()]);
                (next[0] - one[0]).hypot(next[1] - one[1])
            })
            .sum();
        assert!(
            (length / PI - expected).abs() < 0.002,
            "{} {expected}",
            length / PI
        );
    }
}

/// Under light from all round a ring is even all about, so that the middle of its darkness is its own.
#[test]
fn the_truth_says_where_a_ring_is_in_the_picture() {
    let scanner = Scanner {
        ambient: 1.0,
        scale: [1.003, 0.996],
        ..scanner(0.2, 0.5)
    };
    let scan = Bed::new(scanner, 5)
        .size(40.0, 30.0)
        .ring(Ring::new(9.25, 1.78, [22.3, 14.1]))
        .scan();
    let (mut dark, mut middle) = (0.0, [0.0; 2]);
    for (index, pixel) in scan.rgb.chunks_exact(3).enumerate() {
        let weight = f64::from(214 - pixel[1].min(214));
        dark += weight;
        middle[0] += weight * ((index % scan.width) as f64 + 0.5);
        middle[1] += weight * ((index / scan.width) as f64 + 0.5);
    }
    let expected = scan.truth.pixel([22.3, 14.1]);
    for axis in [0, 1] {
        let off = middle[axis] / dark - expected[axis];
        assert!(off.abs() < 0.05, "axis {axis}: {off} px");
    }
}

#[test]
fn the_same_seed_gives_the_same_scan() {
    let bed = || {
        let mut draws = Draws::new(11);
        let scanner = Scanner::random(super::scanner::Sensor::Cis, 150, &mut draws);
        Bed::new(scanner, 4)
            .size(30.0, 30.0)
            .ring(Ring::new(9.25, 1.78, [15.0, 15.0]))
            .scan()
    };
    assert!(bed().rgb == bed().rgb);
}
