//! An oracle: it knows the simulator's laws and figures, and integrates them over a dense grid.
//!
//! Per ring and direction of squeeze, swell and set lie on a grid of their exact laws (set cut at zero, dimensions in their
//! physical form); given these, readings are linear in the two moulding deviations, which are integrated in closed form. A
//! slip is one millimetre either way, as the simulator makes it; at most one reading is taken as one.

use crate::simulator::{BAND, Case, REPEATS, SLIP_SHARE, Wear, gland_log_density, wear};
use ringwright::core::measurement::{Condition, Instruments, Measurand};
use ringwright::core::sizes::SizeTable;

const SWELLS: usize = 9;
const SETS: usize = 14;
const REACH: f64 = 3.0;
/// Rings farther than this from the readings, in their own units, cannot be meant.
const FAR_MM: f64 = 2.2;

struct Grid {
    /// Swell, set, weight.
    points: Vec<(f64, f64, f64)>,
}

impl Grid {
    fn of(law: &Wear) -> Self {
        let mut points = Vec::new();
        let spread =
            |count: usize, at: usize| REACH * (2.0 * (at as f64 + 0.5) / count as f64 - 1.0);
        let low = (law.set.0 - REACH * law.set.1).max(0.0);
        let high = law.set.0 + REACH * law.set.1;
        for a in 0..SWELLS {
            let x = spread(SWELLS, a);
            for b in 0..SETS {
                let set = low + (high - low) * (b as f64 + 0.5) / SETS as f64;
                let y = (set - law.set.0) / law.set.1;
                points.push((
                    law.swell.0 + law.swell.1 * x,
                    set,
                    (-0.5 * (x * x + y * y)).exp(),
                ));
            }
        }
        let total: f64 = points.iter().map(|p| p.2).sum();
        for point in &mut points {
            point.2 /= total;
        }
        Self { points }
    }
}

/// One reading: measurand, value with the bias off, variance.
type Seen = (Measurand, f64, f64);

/// Returns the place of the likeliest listed ring.
pub(crate) fn best(case: &Case, condition: Condition, population: &[usize]) -> usize {
    let grid = Grid::of(&wear(condition));
    let seen: Vec<Seen> = case
        .readings
        .iter()
        .map(|reading| {
            let row = Instruments::shipped()
                .find(&reading.method, reading.measurand)
                .expect("the method is listed");
            // A hundredth is rounded: variance 0.01²/12 a reading.
            let rounding = 0.01 * 0.01 / 12.0 / REPEATS as f64;
            (
                reading.measurand,
                reading.mean() - row.bias,
                row.variance_of_mean(REPEATS) + rounding,
            )
        })
        .collect();
    let rings = SizeTable::shipped().rings();
    let mut likeliest = (f64::NEG_INFINITY, population[0]);
    for at in population {
        let ring = &rings[*at];
        let (d1, d2) = (ring.id.nominal.mm(), ring.section.nominal.mm());
        if too_far(&seen, d1, d2) {
            continue;
        }
        let sds = (ring.id.plus.mm() / BAND, ring.section.plus.mm() / BAND);
        let directions: &[bool] = match &case.gland {
            Some(gland) if gland.radial() => &[true],
            Some(_) => &[false],
            None => &[true, false],
        };
        let mut total = 0.0;
        for radial in directions {
            for point in &grid.points {
                total += point.2 * likelihood(&seen, (d1, d2, sds), (point.0, point.1, *radial));
            }
        }
        let suit = case
            .gland
            .as_ref()
            .map_or(0.0, |gland| gland_log_density(gland, d1, d2));
        let log = total.ln() + suit;
        if log > likeliest.0 {
            likeliest = (log, *at);
        }
    }
    likeliest.1
}

fn too_far(seen: &[Seen], d1: f64, d2: f64) -> bool {
    let middle = |m: Measurand| match m {
        Measurand::Id => d1,
        Measurand::Od => d1 + 2.0 * d2,
        _ => d2,
    };
    let wide = |m: Measurand| {
        if matches!(m, Measurand::Cs | Measurand::Width) {
            0.35 * d2
        } else {
            0.09 * (d1 + 2.0 * d2)
        }
    };
    let far = seen
        .iter()
        .filter(|(m, value, _)| (value - middle(*m)).abs() > FAR_MM.min(0.6 + wide(*m)));
    far.count() > 0
}

/// Density of the readings given swell, set and direction, the moulding deviations integrated in closed form.
fn likelihood(
    seen: &[Seen],
    (d1, d2, (sd1, sd2)): (f64, f64, (f64, f64)),
    (swell, set, radial): (f64, f64, bool),
) -> f64 {
    let grow = 1.0 + swell;
    let (low, wide) = ((1.0 - set) * grow, grow / (1.0 - set));
    let thick = if radial { low } else { wide };
    let slopes = |m: Measurand| match m {
        Measurand::Id => (grow, grow - thick),
        Measurand::Od => (grow, grow + thick),
        Measurand::Cs => (0.0, low),
        _ => (0.0, wide),
    };
    let count = seen.len();
    let mut rows = [(0.0, 0.0, 0.0, 0.0); 4];
    for (row, (measurand, value, variance)) in rows.iter_mut().zip(seen) {
        let (a, b) = slopes(*measurand);
        *row = (a, b, value - a * d1 - b * d2, 1.0 / variance);
    }
    let honest = density(&rows[..count], None, sd1, sd2);
    let mut total = (1.0 - SLIP_SHARE) * honest;
    for slipped in 0..count {
        for shift in [-1.0, 1.0] {
            total += 0.5 * SLIP_SHARE * density(&rows[..count], Some((slipped, shift)), sd1, sd2);
        }
    }
    total
}

/// Normal density of residuals that two independent deviations share, up to a constant of the readings, by the posterior of
/// the deviations (information form).
#[allow(
    clippy::many_single_char_names,
    reason = "two by two algebra in its usual letters"
)]
fn density(rows: &[(f64, f64, f64, f64)], slip: Option<(usize, f64)>, sd1: f64, sd2: f64) -> f64 {
    // The precision of the deviations is [[p, q], [q, r]], and (x, y) is what the readings pull them by.
    let (mut p, mut q, mut r) = (1.0 / (sd1 * sd1), 0.0, 1.0 / (sd2 * sd2));
    let (mut x, mut y, mut square) = (0.0, 0.0, 0.0);
    for (at, (a, b, residual, precision)) in rows.iter().enumerate() {
        let shift = slip.filter(|s| s.0 == at).map_or(0.0, |s| s.1);
        let away = residual - shift;
        p += a * a * precision;
        q += a * b * precision;
        r += b * b * precision;
        x += a * away * precision;
        y += b * away * precision;
        square += away * away * precision;
    }
    let determinant = p * r - q * q;
    let explained = (r * x * x - 2.0 * q * x * y + p * y * y) / determinant;
    (-0.5 * (square - explained)).exp() / (determinant.sqrt() * sd1 * sd2)
}
