//! Nicks, flats, flash and cracks by the dozen.

use super::page::{judged, measured};
use crate::pages::damage::{DOZENS, Damage, scan};
use crate::simulator::ring::Defect;
use ringwright::core::scan::Defect as Found;
use std::f64::consts::TAU;

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
