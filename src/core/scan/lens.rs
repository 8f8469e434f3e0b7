//! The lens of a scanner, found from the rings themselves.

use super::line::line;
use super::ring::ScannedRing;
use super::scale::{Lens, Scale};
use std::f64::consts::SQRT_2;

/// Fewer rings tell nothing, nor such as lie less than this far from the middle (mm², halved and squared).
const FEWEST: usize = 5;
const LEAST_SPREAD: f64 = 400.0;
/// A page narrower than this need not be the whole bed: its middle is not the lens's, mm.
const NARROWEST_BED_MM: f64 = 150.0;

/// Paths from the glass to the lens, folded into a case of A4 with one lens over the bed; others are no lens, but rings that lie
/// leaning or light that is not even.
const DISTANCES_MM: std::ops::Range<f64> = 180.0..500.0;

/// Finds the lens: a tube seen at a slope u = x / distance shows wider across x by √(1 + u² cos²), so that the second harmonic
/// of its width is u²/4. `None` where the rings show no lens (rod lenses), or too little.
pub(super) fn lens(rings: &[ScannedRing], scale: &Scale, page_width: usize) -> Option<Lens> {
    let bed = page_width as f64 * scale.across.mm();
    if bed < NARROWEST_BED_MM {
        return None;
    }
    let axis_mm = bed / 2.0;
    let seen: Vec<[f64; 2]> = rings
        .iter()
        .filter(|ring| ring.score < 0.25)
        .map(|ring| {
            let x = ring.x * scale.across.mm() - axis_mm;
            [x * x / 4.0, ring.widening]
        })
        .collect();
    if seen.len() < FEWEST || seen.iter().all(|[x, _]| *x <= LEAST_SPREAD) {
        return None;
    }
    // Seen from the other side of nought too, the line goes through it; each place counts twice then.
    let mirrored = seen.iter().map(|[x, y]| [-x, -y]);
    let line = line(&mirrored.chain(seen.iter().copied()).collect::<Vec<_>>())?;
    let (slope, error) = (line.slope, SQRT_2 * line.slope_error);
    // Clear, and not only just: a distance known to a quarter still takes most of the error out.
    let clear = slope > 4.0 * error && error / slope / 2.0 < 0.25;
    let distance_mm = 1.0 / slope.sqrt();
    (clear && DISTANCES_MM.contains(&distance_mm)).then_some(Lens {
        distance_mm,
        axis_mm,
    })
}
