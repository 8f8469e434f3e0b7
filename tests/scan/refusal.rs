//! Scans that must not be measured.

use crate::page::{judged, measured};
use crate::simulator::bed::{Backing, Bed, WHITE, YELLOW};
use crate::simulator::picture::Scan;
use crate::simulator::random::Draws;
use crate::simulator::ring::{Ring, Rubber};
use crate::simulator::scanner::{Lamp, Scanner, Sensor};
use ringwright::core::scan::{PageRefusal, Pitch};

/// Why it must not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Refusal {
    /// Black rings under an open lid: the edge that looks from the lamp is unlit.
    OpenLid,
    /// Black rings under a black lid.
    BlackLid,
    /// A file of 72 dpi.
    Coarse,
    /// White rings on white paper.
    WhiteOnWhite,
    /// White rings on yellow paper, which is as light as they are in red and green.
    WhiteOnYellow,
}

/// Five rings of 1.78 to 5.33 under a lone lamp, scanned so that no answer is a good answer.
pub(crate) fn scan(refusal: Refusal) -> Scan {
    let mut draws = Draws::new(72);
    let dpi = if refusal == Refusal::Coarse { 72 } else { 300 };
    let scanner = Scanner {
        lamp: Lamp {
            share: 1.0,
            slant: 0.785,
            half_width: 0.12,
        },
        ..Scanner::random(Sensor::Cis, dpi, &mut draws)
    };
    let (backing, rubber) = match refusal {
        Refusal::OpenLid => (Backing::Open, Rubber::Black),
        Refusal::BlackLid => (Backing::BlackLid, Rubber::Black),
        Refusal::Coarse => (WHITE, Rubber::Black),
        Refusal::WhiteOnWhite => (WHITE, Rubber::White),
        Refusal::WhiteOnYellow => (YELLOW, Rubber::White),
    };
    let mut bed = Bed::new(scanner, 72).size(130.0, 80.0).under(backing);
    for [inside, section, x, y] in [
        [9.25, 1.78, 15.0, 15.0],
        [18.64, 3.53, 50.0, 20.0],
        [37.69, 3.53, 35.0, 55.0],
        [37.47, 5.33, 95.0, 35.0],
        [12.42, 1.78, 95.0, 35.0],
    ] {
        bed = bed.ring(Ring::new(inside, section, [x, y]).rubber(rubber));
    }
    bed.scan()
}

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
