//! A dozen rings on a page with the same damage each, or none: nicks, flats, flash and cracks.

use crate::layout::Layout;
use crate::page::{judged, measured};
use crate::simulator::bed::Bed;
use crate::simulator::picture::Scan;
use crate::simulator::random::Draws;
use crate::simulator::ring::{COLOURED, Defect, Edge, Ring, Rubber};
use crate::simulator::scanner::{Scanner, Sensor};
use ringwright::core::scan::Defect as Found;
use std::f64::consts::TAU;

/// What each ring of the dozen has; depths in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Damage {
    None,
    Nick { depth: f64 },
    Flat { depth: f64 },
    Crack,
    Flash { height: f64 },
}

/// The dozens of the list.
pub(crate) const DOZENS: [Damage; 7] = [
    Damage::None,
    Damage::Nick { depth: 0.08 },
    Damage::Nick { depth: 0.12 },
    Damage::Nick { depth: 0.20 },
    Damage::Flat { depth: 0.15 },
    Damage::Crack,
    Damage::Flash { height: 0.10 },
];

const DOZEN: usize = 12;
const SIZES: [[f64; 2]; 4] = [[6.07, 1.78], [9.25, 1.78], [15.6, 1.78], [18.64, 3.53]];

/// A page of twelve rings of four sizes on a random contact scanner.
pub(crate) fn scan(damage: Damage, dpi: u32, seed: u64) -> Scan {
    let mut draws = Draws::new(seed ^ 0xdada);
    let scanner = Scanner::random(Sensor::Cis, dpi, &mut draws);
    let mut bed = Bed::new(scanner, seed).size(150.0, 120.0);
    let mut layout = Layout::new(&bed);
    for index in (0..DOZEN).rev() {
        let [inside, section] = SIZES[index * SIZES.len() / DOZEN];
        let rubber = if index % 3 == 0 {
            draws.pick(&COLOURED)
        } else {
            Rubber::Black
        };
        let mut ring = Ring::new(inside, section, [0.0, 0.0]).rubber(rubber);
        ring.ovality = draws.normal(0.0, 0.01).abs();
        ring.long_axis = draws.angle();
        ring.defects.extend(defect(damage, &mut draws));
        let placed = layout.put(&mut bed, &ring, 3.0, &mut draws);
        assert!(placed, "a dozen rings have room");
    }
    bed.scan()
}

fn defect(damage: Damage, draws: &mut Draws) -> Option<Defect> {
    let angle = draws.angle();
    let edge = draws.pick(&[Edge::Outer, Edge::Inner]);
    match damage {
        Damage::None => None,
        Damage::Nick { depth } => Some(Defect::Nick {
            edge,
            angle,
            depth,
            width: draws.between(0.6, 1.2),
        }),
        Damage::Flat { depth } => Some(Defect::Flat { angle, depth }),
        Damage::Crack => Some(Defect::Crack {
            angle,
            width: 0.15,
            lean: draws.between(-0.6, 0.6),
        }),
        Damage::Flash { height } => Some(Defect::Flash {
            edge,
            angle,
            span: draws.between(0.4, 1.2),
            height,
        }),
    }
}

/// Rings of a dozen whose damage was found near its place, and marks elsewhere.
struct Dozen {
    hit: usize,
    false_marks: usize,
}

fn dozen(damage: Damage, dpi: u32) -> Dozen {
    let scan = scan(damage, dpi, 3);
    let reading = measured(&scan, false).expect("rings are found");
    let judged = judged(&scan, &reading);
    let mut dozen = Dozen {
        hit: 0,
        false_marks: 0,
    };
    for pair in &judged.pairs {
        let Some(found) = pair.found else { continue };
        let near = |mark: &&Found| {
            pair.truth.defects.iter().any(|defect| {
                let apart = (mark.angle - angle(defect)).rem_euclid(TAU);
                apart.min(TAU - apart) < 0.5
            })
        };
        let hits = found.defects.iter().filter(near).count();
        dozen.hit += usize::from(hits > 0);
        dozen.false_marks += found.defects.len() - hits;
    }
    println!(
        "{damage:?} at {dpi}: {} of 12, {} false marks",
        dozen.hit, dozen.false_marks
    );
    dozen
}

fn angle(defect: &Defect) -> f64 {
    match *defect {
        Defect::Nick { angle, .. }
        | Defect::Flat { angle, .. }
        | Defect::Crack { angle, .. }
        | Defect::Flash { angle, .. } => angle,
    }
}

#[test]
#[ignore = "fourteen dozens take minutes: scripts/bench"]
fn damage_is_found_and_sound_rings_are_not_marked() {
    for damage in DOZENS {
        let found = dozen(damage, 600);
        dozen(damage, 300);
        match damage {
            Damage::None => assert!(found.false_marks <= 1),
            Damage::Nick { depth } if depth >= 0.12 => assert!(found.hit >= 11),
            Damage::Flat { .. } | Damage::Crack => assert!(found.hit >= 11),
            _ => {}
        }
    }
}

#[test]
fn nicks_of_a_fifth_of_a_millimetre_are_found() {
    let found = dozen(Damage::Nick { depth: 0.20 }, 600);
    assert!(found.hit >= 11);
}
