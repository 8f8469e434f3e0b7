//! One ring on one random scanner, anywhere across the bed, scale and curve known: how true are its diameters?

use crate::page::{Errors, judged, measured};
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

/// What the scanners of one size give.
struct Figures {
    od: Errors,
    id: Errors,
    width: Errors,
    /// Errors over their standard uncertainties, of both diameters.
    over: Vec<f64>,
}

fn figures(size: Size, sensor: Sensor, dpi: u32, files: Files, scanners: u64) -> Figures {
    let (mut od, mut id, mut width, mut over) = (vec![], vec![], vec![], vec![]);
    for number in 0..scanners {
        let scan = scan(size, sensor, dpi, files, number);
        let reading = measured(&scan, true).expect("a ring is found");
        let judged = judged(&scan, &reading);
        let pair = &judged.pairs[0];
        let found = pair
            .found
            .unwrap_or_else(|| panic!("{size:?} on scanner {number} is found"));
        let error_od = found.od.value.mm() - pair.truth.outside();
        let error_id = found.id.value.mm() - pair.truth.inside;
        over.push(error_od / found.od.uncertainty.mm());
        over.push(error_id / found.id.uncertainty.mm());
        od.push(error_od);
        id.push(error_id);
        width.push(found.plan_width.value.mm() - pair.truth.width);
    }
    let figures = Figures {
        od: Errors::of(&od),
        id: Errors::of(&id),
        width: Errors::of(&width),
        over,
    };
    println!(
        "{:5.2} x {:4.2} {sensor:?} {dpi} {files:?}: OD {:+.3}/{:.3} ID {:+.3}/{:.3} width {:+.3}/{:.3} error/u {:.2}, greatest {:.1}",
        size.inside,
        size.section,
        figures.od.mean,
        figures.od.scatter,
        figures.id.mean,
        figures.id.scatter,
        figures.width.mean,
        figures.width.scatter,
        Errors::of(&figures.over).scatter,
        Errors::of(&figures.over).greatest,
    );
    figures
}

/// Greatest scatter of OD by size, mm.
const MOST_SCATTER: [f64; 4] = [0.015, 0.015, 0.02, 0.05];

#[test]
fn small_rings_of_two_sizes_read_true_on_two_scanners_of_each_kind() {
    for size in &SIZES[..2] {
        for sensor in [Sensor::Cis, Sensor::Ccd] {
            let found = figures(*size, sensor, 600, Files::Srgb, 2);
            assert!(found.od.greatest < 0.05 && found.id.greatest < 0.05);
        }
    }
}

#[test]
#[ignore = "96 scans take minutes: scripts/bench"]
fn on_twelve_random_scanners_a_size_diameters_are_true_to_hundredths() {
    let mut faults = Vec::new();
    for (size, most) in SIZES.iter().zip(MOST_SCATTER) {
        for sensor in [Sensor::Cis, Sensor::Ccd] {
            let found = figures(*size, sensor, 600, Files::Srgb, SCANNERS);
            if found.od.mean.abs() > 0.02 || found.od.scatter > most {
                faults.push(format!("{size:?} {sensor:?} OD {:?}", found.od));
            }
            if sensor == Sensor::Ccd && found.width.scatter > 0.01 {
                faults.push(format!("{size:?} {sensor:?} width {:?}", found.width));
            }
        }
    }
    assert!(faults.is_empty(), "{faults:#?}");
}

#[test]
#[ignore = "192 scans take minutes: scripts/bench"]
fn errors_are_as_great_as_their_uncertainties_say() {
    let mut over = Vec::new();
    for size in SIZES {
        for sensor in [Sensor::Cis, Sensor::Ccd] {
            for dpi in [300, 600] {
                over.extend(figures(size, sensor, dpi, Files::AnyCurve, SCANNERS).over);
            }
        }
    }
    let within = over.iter().filter(|error| error.abs() <= 2.0).count() as f64 / over.len() as f64;
    let square = over.iter().map(|error| error * error).sum::<f64>() / over.len() as f64;
    println!(
        "{within:.3} within two standard uncertainties, root mean square {:.2}",
        square.sqrt()
    );
    assert!(within >= 0.95);
    assert!((0.5..=1.1).contains(&square.sqrt()));
}
