//! A page from which the scale of a scanner is taken: a steel rule, a card, a bearing ring and an O-ring of known sizes.

use crate::page::page;
use crate::simulator::bed::Bed;
use crate::simulator::picture::Scan;
use crate::simulator::random::Draws;
use crate::simulator::ring::Ring;
use crate::simulator::scanner::{Scanner, Sensor};
use crate::simulator::thing::kind;
use ringwright::core::quantity::Length;
use ringwright::core::scan::{Axis, AxisScale, Pitch, Standard, calibrate};
use std::f64::consts::FRAC_PI_2;

/// Which way rule and card lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Along {
    X,
    Y,
}

/// The known ring: outside 32.06 mm, inside 25.00 mm.
pub(crate) const KNOWN: [f64; 2] = [25.0, 3.53];
/// Nobody lays anything quite straight, in radians.
const ASKEW: f64 = 0.008;

/// A page with all four; things are in this order: rule, card, bearing ring.
pub(crate) fn scan(sensor: Sensor, dpi: u32, along: Along, seed: u64) -> Scan {
    let mut draws = Draws::new(seed ^ 0xca11);
    let scanner = Scanner::random(sensor, dpi, &mut draws);
    let turn = if along == Along::X { 0.0 } else { FRAC_PI_2 };
    let askew = |draws: &mut Draws| turn + draws.normal(0.0, ASKEW);
    // Laid along y, rule and card change places with x and y.
    let (rule, card, bearing, ring) = match along {
        Along::X => ([105.0, 15.0], [65.0, 65.0], [140.0, 60.0], [175.0, 65.0]),
        Along::Y => ([15.0, 95.0], [75.0, 60.0], [140.0, 60.0], [175.0, 65.0]),
    };
    let size = if along == Along::X { 110.0 } else { 190.0 };
    let mut bed = Bed::new(scanner, seed)
        .size(210.0, size)
        .thing(kind::rule().at(rule, askew(&mut draws)))
        .thing(kind::card().at(card, askew(&mut draws)))
        .thing(kind::bearing().at(bearing, 0.0))
        .ring(Ring::new(KNOWN[0], KNOWN[1], ring));
    bed.dust = 20;
    bed.scan()
}

/// Checks what was found against the scanner: within three standard uncertainties.
fn check(found: &[AxisScale], truth: [f64; 2], what: &str) {
    for scale in found {
        let truth = truth[usize::from(scale.axis == Axis::Down)];
        let error = scale.factor - truth;
        println!(
            "{what} {:?}: {:.5} true {truth:.5} error {error:+.5} u {:.5}",
            scale.axis, scale.factor, scale.relative_uncertainty
        );
        assert!(
            error.abs() < 3.0 * scale.relative_uncertainty,
            "{what} {scale:?} {truth}"
        );
    }
}

#[test]
fn rule_card_and_ring_give_the_scale_of_a_random_scanner() {
    for (seed, along) in [(1, Along::X), (2, Along::Y)] {
        let scan = scan(Sensor::Cis, 300, along, seed);
        let truth = scan.truth.bed.scanner.scale;
        let pitch = Pitch::from_dpi(300.0).expect("a pitch");
        let page = page(&scan);
        let rule = calibrate(&page, pitch, Standard::Rule).expect("the rule is found");
        let axis = if along == Along::X {
            Axis::Across
        } else {
            Axis::Down
        };
        assert!(rule.iter().any(|scale| scale.axis == axis), "{rule:?}");
        check(&rule, truth, "rule");
        let card = calibrate(&page, pitch, Standard::Card).expect("the card is found");
        check(&card, truth, "card");
        let outside = Length::from_mm(32.06).expect("a length");
        let ring = calibrate(&page, pitch, Standard::Ring(outside)).expect("the ring is found");
        check(&ring, truth, "ring");
    }
}
