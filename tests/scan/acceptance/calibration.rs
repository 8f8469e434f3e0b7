//! The scale of a scanner from a rule, a card and a ring on one page.

use super::page::page;
use crate::pages::calibration::{Along, scan};
use crate::simulator::scanner::Sensor;
use ringwright::core::quantity::Length;
use ringwright::core::scan::{Axis, AxisScale, Pitch, Standard, calibrate};

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
