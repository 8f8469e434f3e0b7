//! An oracle: it knows the simulator's laws and figures, and integrates them over a dense grid.
//!
//! Per ring and direction of squeeze, set lies on a dense grid of its exact law (cut at zero); given it, readings are linear
//! in swell and in the two moulding deviations (their products, under a hundredth of a millimetre, left out), which are
//! integrated in closed form. A slip is one millimetre either way, as the simulator makes it; at most one reading is one.

use crate::simulator::{BAND, Case, REPEATS, SLIP_SHARE, Wear, between, gland_log_density, wear};
use ringwright::core::identification::FOREIGN_SHARE;
use ringwright::core::measurement::{Condition, Instruments, Measurand};
use ringwright::core::sizes::SizeTable;

const SETS: usize = 30;
const REACH: f64 = 3.5;
/// Rings that wear and this much of error cannot bring to a reading are not meant: a slip of a millimetre and what tolerance
/// and instruments add.
const FAR_MM: f64 = 1.4;

/// Set with its weight, in steps of its law.
fn sets(law: &Wear) -> Vec<(f64, f64)> {
    let low = (law.set.0 - REACH * law.set.1).max(0.0);
    let high = law.set.0 + REACH * law.set.1;
    let point = |at: usize| {
        let set = low + (high - low) * (at as f64 + 0.5) / SETS as f64;
        let y = (set - law.set.0) / law.set.1;
        (set, (-0.5 * y * y).exp())
    };
    (0..SETS).map(point).collect()
}

/// One reading: measurand, value with the bias off, variance.
type Seen = (Measurand, f64, f64);

/// Takes the readings with bias off and the variance that the simulator gave them.
fn seen_of(case: &Case) -> Vec<Seen> {
    let seen = case.readings.iter().map(|reading| {
        let row = Instruments::shipped()
            .find(&reading.method, reading.measurand)
            .expect("the method is listed");
        // A hundredth is rounded: variance 0.01²/12 a reading.
        let rounding = 0.01 * 0.01 / 12.0 / REPEATS as f64;
        let variance = row.variance_of_mean(REPEATS) + rounding;
        (reading.measurand, reading.mean() - row.bias, variance)
    });
    seen.collect()
}

/// Returns the share of the odds that sizes between the listed ones hold, for [`crate::unlisted`]'s law of them.
pub(crate) fn unlisted_share(
    case: &Case,
    condition: Condition,
    (population, share): (&[usize], f64),
) -> f64 {
    const PARTICLES: usize = 6;
    let law = wear(condition);
    let sets = sets(&law);
    let seen = seen_of(case);
    let weigh = |d1: f64, d2: f64, sds: (f64, f64)| {
        let mut total = 0.0;
        if !too_far(&seen, (d1, d2), &law) {
            for radial in [true, false] {
                for (set, weight) in &sets {
                    total += weight * likelihood(&seen, (d1, d2, sds), (law.swell, *set, radial));
                }
            }
        }
        total
    };
    let rings = SizeTable::shipped().rings();
    let (mut listed, mut unlisted) = (0.0, 0.0);
    for at in population {
        let ring = &rings[*at];
        let (d1, d2) = (ring.id.nominal.mm(), ring.section.nominal.mm());
        let sds = (ring.id.plus.mm() / BAND, ring.section.plus.mm() / BAND);
        listed += weigh(d1, d2, sds);
        let (low, high) = between(*at);
        let width = (high - low) / PARTICLES as f64;
        for part in 0..PARTICLES {
            let middle = low + width * (part as f64 + 0.5);
            let sd1 = sds.0.hypot(width / 12.0_f64.sqrt());
            unlisted += weigh(middle, d2, (sd1, sds.1)) / PARTICLES as f64;
        }
    }
    share * unlisted / (share * unlisted + (1.0 - share) * listed)
}

/// Returns the place of the likeliest listed ring.
pub(crate) fn best(case: &Case, condition: Condition, population: &[usize]) -> usize {
    let law = wear(condition);
    let sets = sets(&law);
    let seen = seen_of(case);
    let rings = SizeTable::shipped().rings();
    let suit = |at: usize| {
        let ring = &rings[at];
        case.gland.as_ref().map_or(1.0, |gland| {
            gland_log_density(gland, ring.id.nominal.mm(), ring.section.nominal.mm()).exp()
        })
    };
    // What a gland made for any ring of the population would have for a density.
    let any = population.iter().map(|at| suit(*at)).sum::<f64>() / population.len() as f64;
    let mut likeliest = (f64::NEG_INFINITY, population[0]);
    for at in population {
        let ring = &rings[*at];
        let (d1, d2) = (ring.id.nominal.mm(), ring.section.nominal.mm());
        if too_far(&seen, (d1, d2), &law) {
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
            for (set, weight) in &sets {
                total += weight * likelihood(&seen, (d1, d2, sds), (law.swell, *set, *radial));
            }
        }
        let suits = (1.0 - FOREIGN_SHARE) * suit(*at) / any.max(f64::MIN_POSITIVE) + FOREIGN_SHARE;
        let log = total.ln() + suits.ln();
        if log > likeliest.0 {
            likeliest = (log, *at);
        }
    }
    likeliest.1
}

fn too_far(seen: &[Seen], (d1, d2): (f64, f64), law: &Wear) -> bool {
    let middle = |m: Measurand| match m {
        Measurand::Id => d1,
        Measurand::Od => d1 + 2.0 * d2,
        _ => d2,
    };
    // Set changes a height by its own share and a width by a little more; a diameter changes by twice half of that.
    let set = 1.2 * (law.set.0 + REACH * law.set.1) * d2;
    let swell = law.swell.0 + REACH * law.swell.1;
    seen.iter().any(|(m, value, _)| {
        let usual = middle(*m);
        (value - usual).abs() > FAR_MM + set + swell * usual
    })
}

/// A reading as the closed form takes it: slopes by the deviations and by swell, residual, precision.
type Row = ([f64; 3], f64, f64);

/// Density of the readings given set and direction, swell and moulding deviations integrated in closed form.
fn likelihood(
    seen: &[Seen],
    (d1, d2, (sd1, sd2)): (f64, f64, (f64, f64)),
    ((swell, swell_sd), set, radial): ((f64, f64), f64, bool),
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
    let mut rows: [Row; 4] = [([0.0; 3], 0.0, 0.0); 4];
    for (row, (measurand, value, variance)) in rows.iter_mut().zip(seen) {
        let (a, b) = slopes(*measurand);
        let middle = a * d1 + b * d2;
        *row = (
            [a * sd1, b * sd2, middle / grow * swell_sd],
            value - middle,
            1.0 / variance,
        );
    }
    let rows = &rows[..seen.len()];
    let mut total = (1.0 - SLIP_SHARE) * density(rows, None);
    for slipped in 0..rows.len() {
        for shift in [-1.0, 1.0] {
            total += 0.5 * SLIP_SHARE * density(rows, Some((slipped, shift)));
        }
    }
    total
}

/// Normal density of residuals that three independent standard deviates share, up to a constant of the readings.
///
/// With M = 1 + ΣppᵀΛ (information form) it is exp(−½(rᵀΛr − xᵀM⁻¹x)) / √det M, x = ΣpΛr; M is reduced by elimination.
fn density(rows: &[Row], slip: Option<(usize, f64)>) -> f64 {
    let mut m = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    let (mut pull, mut square) = ([0.0; 3], 0.0);
    for (at, (slopes, residual, precision)) in rows.iter().enumerate() {
        let away = residual - slip.filter(|s| s.0 == at).map_or(0.0, |s| s.1);
        square += away * away * precision;
        for i in 0..3 {
            pull[i] += slopes[i] * away * precision;
            for k in 0..3 {
                m[i][k] += slopes[i] * slopes[k] * precision;
            }
        }
    }
    let mut determinant = 1.0;
    let mut explained = 0.0;
    for i in 0..3 {
        determinant *= m[i][i];
        explained += pull[i] * pull[i] / m[i][i];
        for k in i + 1..3 {
            let share = m[k][i] / m[i][i];
            pull[k] -= share * pull[i];
            let above = m[i];
            for (cell, above) in m[k].iter_mut().zip(above).skip(i) {
                *cell -= share * above;
            }
        }
    }
    (-0.5 * (square - explained)).exp() / determinant.sqrt()
}
