//! One ring on one random scanner, anywhere across the bed: how true are its diameters?

use crate::simulator::bed::Bed;
use crate::simulator::picture::Scan;
use crate::simulator::random::Draws;
use crate::simulator::ring::Ring;
use crate::simulator::scanner::{Curve, Scanner, Sensor};

/// A size that is judged: inside diameter and section in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Size {
    pub(crate) inside: f64,
    pub(crate) section: f64,
}

/// The sizes of the table of accuracy.
pub(crate) const SIZES: [Size; 4] = [
    Size {
        inside: 3.0,
        section: 1.0,
    },
    Size {
        inside: 9.25,
        section: 1.78,
    },
    Size {
        inside: 25.0,
        section: 3.53,
    },
    Size {
        inside: 60.0,
        section: 5.33,
    },
];

/// Scanners a size.
pub(crate) const SCANNERS: u64 = 12;

/// Which files the scanner writes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Files {
    /// sRGB always, as they say.
    Srgb,
    /// sRGB, 2.2 or 1.8, unknown to who reads them.
    AnyCurve,
}

/// The page of scanner `number` of a size, before it is scanned. Its true scale, lens and curve are in its scanner.
pub(crate) fn bed(size: Size, sensor: Sensor, dpi: u32, files: Files, number: u64) -> Bed {
    // The same numbers give other scanners for each size and sensor, but the same ones at every dpi.
    let kind = size.inside.to_bits() ^ u64::from(sensor == Sensor::Ccd);
    let mut draws = Draws::new(kind.wrapping_mul(0x9e37_79b9).wrapping_add(number));
    let mut scanner = Scanner::random(sensor, dpi, &mut draws);
    if files == Files::Srgb {
        scanner.curve = Curve::Srgb;
    }
    let mut ring = Ring::new(
        size.inside * draws.normal(1.0, 0.004),
        size.section * draws.normal(1.0, 0.01),
        [0.0, 0.0],
    );
    ring.ovality = draws.normal(0.0, 0.01).abs();
    ring.long_axis = draws.angle();
    let height = ring.outside() + 24.0;
    let edge = ring.bound() + 8.0;
    ring.centre = [
        draws.between(edge, 210.0 - edge),
        0.5 * height + draws.between(-2.0, 2.0),
    ];
    let mut bed = Bed::new(scanner, number).size(210.0, height).ring(ring);
    bed.dust = 3;
    bed
}

/// The scan of scanner `number` of a size.
pub(crate) fn scan(size: Size, sensor: Sensor, dpi: u32, files: Files, number: u64) -> Scan {
    bed(size, sensor, dpi, files, number).scan()
}
