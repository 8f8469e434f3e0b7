//! A simulated page, measured and laid beside its truth.

use crate::simulator::picture::Scan;
use crate::simulator::ring::Ring;
use crate::simulator::scanner::Optics;
use ringwright::core::scan::{
    Lens, Page, PageReading, PageRefusal, Pitch, Scale, ScaleSource, ScannedRing, read_page,
};

/// Doubt of a scale that was calibrated.
pub(super) const CALIBRATED: f64 = 0.0006;

/// Gives the pixels as a page.
pub(super) fn page(scan: &Scan) -> Page {
    Page::new(scan.width, scan.height, scan.rgb.clone()).expect("three bytes a pixel")
}

/// Gives the true scale of the scanner, with its lens where `lens` says that it is known.
pub(super) fn scale(scan: &Scan, lens: bool) -> Scale {
    let scanner = &scan.truth.bed.scanner;
    let pitch = Pitch::from_dpi(f64::from(scan.dpi)).expect("a scanner's resolution");
    let known = match scanner.optics {
        Optics::Ccd { distance, .. } if lens => Some(Lens {
            distance_mm: distance,
            axis_mm: scan.truth.bed.lens_middle(),
        }),
        _ => None,
    };
    Scale {
        across: pitch.times(scanner.scale[0]),
        down: pitch.times(scanner.scale[1]),
        relative_uncertainty: CALIBRATED,
        source: ScaleSource::Calibrated,
        lens: known,
    }
}

/// Measures a page with its scale known.
pub(super) fn measured(scan: &Scan, lens: bool) -> Result<PageReading, PageRefusal> {
    read_page(&page(scan), &scale(scan, lens), 2)
}

/// One ring of the truth and what was measured of it.
pub(super) struct Pair<'s> {
    pub(super) truth: &'s Ring,
    pub(super) found: Option<&'s ScannedRing>,
}

/// What a page's rings were measured as, and what else was taken for a ring.
pub(super) struct Judged<'s> {
    pub(super) pairs: Vec<Pair<'s>>,
    pub(super) foreign: Vec<&'s ScannedRing>,
}

/// Lays what was found beside the truth: the same place within 2 mm, the diameter within an eighth.
pub(super) fn judged<'s>(scan: &'s Scan, reading: &'s PageReading) -> Judged<'s> {
    let mut foreign: Vec<&ScannedRing> = reading.rings.iter().collect();
    let scale = &reading.scale;
    let pairs = scan.truth.bed.rings.iter().map(|truth| {
        let apart = |ring: &ScannedRing| {
            let x = (ring.x + 0.5) * scale.across.mm() - truth.centre[0];
            let y = (ring.y + 0.5) * scale.down.mm() - truth.centre[1];
            let wide = (ring.od.value.mm() - truth.outside()).abs();
            (x.hypot(y) < 2.0 && wide < 0.12 * truth.outside() + 0.3).then_some(x.hypot(y) + wide)
        };
        let nearest = foreign
            .iter()
            .enumerate()
            .filter_map(|(at, ring)| apart(ring).map(|apart| (at, apart)))
            .min_by(|one, other| one.1.total_cmp(&other.1));
        Pair {
            truth,
            found: nearest.map(|(at, _)| foreign.remove(at)),
        }
    });
    let pairs = pairs.collect();
    Judged { pairs, foreign }
}

/// Mean and standard deviation of errors, and the greatest without its sign.
#[derive(Debug, Clone, Copy)]
pub(super) struct Errors {
    pub(super) mean: f64,
    pub(super) scatter: f64,
    pub(super) greatest: f64,
}

impl Errors {
    pub(super) fn of(errors: &[f64]) -> Self {
        let count = errors.len() as f64;
        let mean = errors.iter().sum::<f64>() / count;
        let square: f64 = errors.iter().map(|error| (error - mean).powi(2)).sum();
        Self {
            mean,
            scatter: (square / (count - 1.0)).sqrt(),
            greatest: errors.iter().fold(0.0, |most, error| most.max(error.abs())),
        }
    }
}
