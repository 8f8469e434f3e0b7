//! What must not be measured.

use super::page::{judged, measured};
use crate::pages::refusal::{Refusal, scan};
use ringwright::core::scan::{PageRefusal, Pitch};

#[test]
fn an_open_and_a_black_lid_are_refused() {
    for lid in [Refusal::OpenLid, Refusal::BlackLid] {
        let refused = measured(&scan(lid), false).expect_err("no answer is a good answer");
        assert_eq!(refused, PageRefusal::DarkGround, "{lid:?}");
    }
}

#[test]
fn white_rings_on_white_paper_are_refused() {
    let refused = measured(&scan(Refusal::WhiteOnWhite), false);
    assert!(
        matches!(
            refused,
            Err(PageRefusal::LikeThePaper | PageRefusal::NoRings)
        ),
        "{refused:?}"
    );
}

#[test]
fn what_a_screen_shows_has_no_scale() {
    assert!(Pitch::from_dpi(f64::from(scan(Refusal::Coarse).dpi)).is_none());
}

#[test]
fn white_rings_on_yellow_paper_are_measured_or_refused_and_never_sure_and_wrong() {
    let scan = scan(Refusal::WhiteOnYellow);
    let Ok(reading) = measured(&scan, false) else {
        return;
    };
    for pair in &judged(&scan, &reading).pairs {
        let sure = pair.found.filter(|ring| ring.is_sure());
        let error = sure.map_or(0.0, |ring| ring.od.value.mm() - pair.truth.outside());
        assert!(error.abs() < 0.12, "{error}");
    }
}
