//! 9.25 × 1.78 under a lamp on one side that casts a shadow, as it is and with what must not change its diameter: bent, nicked,
//! crowded.

use crate::page::{judged, measured};
use crate::simulator::bed::Bed;
use crate::simulator::picture::Scan;
use crate::simulator::ring::{Defect, Edge, Ring};
use crate::simulator::scanner::{Lamp, Optics, Scanner};

/// What is other than a plain ring by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Change {
    None,
    /// 5 % oval.
    Oval,
    /// Outer edge, 0.4 mm deep.
    Nick,
    /// 0.2 mm deep.
    Flat,
    /// A ring of the same size touches it.
    OneNeighbour,
    TwoNeighbours,
    /// The third order of its outline is 1.5 % of its radius.
    Triangle,
    /// The paper stands 1.5 mm over it.
    HighPaper,
}

pub(crate) const CHANGES: [Change; 8] = [
    Change::None,
    Change::Oval,
    Change::Nick,
    Change::Flat,
    Change::OneNeighbour,
    Change::TwoNeighbours,
    Change::Triangle,
    Change::HighPaper,
];

/// The ring of interest is the first of the page; scale, curve and file are exact.
pub(crate) fn scan(change: Change) -> Scan {
    let scanner = Scanner {
        lamp: Lamp {
            share: 1.0,
            slant: std::f64::consts::FRAC_PI_4,
            half_width: 0.12,
        },
        noise: 1.0,
        ..Scanner::ideal(Optics::Cis { cone: 0.18 }, 600)
    };
    let centre = [25.0, 20.0];
    let mut ring = Ring::new(9.25, 1.78, centre);
    let apart = ring.outside();
    match change {
        Change::None | Change::OneNeighbour | Change::TwoNeighbours => {}
        Change::Oval => ring = ring.oval(0.05, 0.6),
        Change::Nick => {
            ring = ring.defect(Defect::Nick {
                edge: Edge::Outer,
                angle: 2.2,
                depth: 0.4,
                width: 1.2,
            });
        }
        Change::Flat => {
            let flat = Defect::Flat {
                angle: 2.2,
                depth: 0.2,
            };
            ring = ring.defect(flat);
        }
        Change::Triangle => ring.triangle = 0.015,
        Change::HighPaper => ring.paper = Some(ring.height + 1.5),
    }
    let neighbours = match change {
        Change::OneNeighbour => 1,
        Change::TwoNeighbours => 2,
        _ => 0,
    };
    let mut bed = Bed::new(scanner, 21).size(50.0, 40.0).ring(ring);
    for turn in [0.4_f64, 3.3].into_iter().take(neighbours) {
        let place = [
            centre[0] + apart * turn.cos(),
            centre[1] + apart * turn.sin(),
        ];
        bed = bed.ring(Ring::new(9.25, 1.78, place));
    }
    bed.scan()
}

#[test]
fn under_a_lone_lamp_a_ring_keeps_its_diameters_whatever_was_done_to_it() {
    let read = |change: Change| {
        let scan = scan(change);
        let reading = measured(&scan, false).expect("rings are found");
        let judged = judged(&scan, &reading);
        let pair = &judged.pairs[0];
        let found = pair
            .found
            .unwrap_or_else(|| panic!("{change:?}: the ring is found"));
        [
            found.od.value.mm() - pair.truth.outside(),
            found.id.value.mm() - pair.truth.inside,
        ]
    };
    let plain = read(Change::None);
    assert!(plain[0].abs() < 0.02 && plain[1].abs() < 0.02, "{plain:?}");
    let mut faults = Vec::new();
    for change in CHANGES {
        let changed = read(change);
        println!("{change:?}: OD {:+.4} ID {:+.4}", changed[0], changed[1]);
        // Paper that stands higher lights the edge otherwise; the rest is the outline's business.
        let most = if change == Change::HighPaper {
            0.02
        } else {
            0.005
        };
        if (changed[0] - plain[0]).abs() > most {
            faults.push(format!("{change:?} {changed:?}"));
        }
    }
    assert!(faults.is_empty(), "{plain:?} {faults:?}");
}
