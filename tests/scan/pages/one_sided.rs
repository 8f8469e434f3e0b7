//! 9.25 × 1.78 under a lamp on one side, as it is and with what must not change its diameter.

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
