//! A steel rule: the phase of its millimetre marks along the page.

use super::super::line::line;
use super::super::page::{Page, light};
use super::super::scale::Pitch;
use super::super::series::median;
use super::{Axis, AxisScale};
use std::f64::consts::TAU;

/// Height of a strip in which marks are looked for, mm.
const STRIP_MM: f64 = 1.0;
/// Length of a window in which the phase is taken, mm; a whole number of marks.
const WINDOW_MM: f64 = 5.0;
/// A shorter stretch of marks is no rule, mm.
const LEAST_MM: f64 = 60.0;
/// Steel rules of length L are true to ±(0.05 + 0.05 L/m) mm (DIN 866:1983, class B, from memory), half of it a standard
/// uncertainty; the marks of one stretch share it.
const RULE_MM: f64 = 0.03;

/// Gives the scale along each axis that shows a rule.
pub(super) fn scales(page: &Page, pitch: Pitch) -> Vec<AxisScale> {
    let axes = [Axis::Across, Axis::Down];
    axes.into_iter()
        .filter_map(|axis| along(page, pitch, axis))
        .collect()
}

fn along(page: &Page, pitch: Pitch, axis: Axis) -> Option<AxisScale> {
    let strip = (STRIP_MM / pitch.mm()).round().max(2.0) as usize;
    let across = match axis {
        Axis::Across => page.height(),
        Axis::Down => page.width(),
    };
    let strips =
        (0..across / strip).map(|at| Marks::of(&profile(page, axis, at * strip, strip), pitch));
    let (at, best) = strips
        .enumerate()
        .max_by(|(_, a), (_, b)| a.strength.total_cmp(&b.strength))?;
    let marks = best.line()?;
    // A rule that lies aslant: its marks, at right angles to it, move along from the upper half of the strip to the lower.
    let half = (strip / 2).max(1);
    let phase = |start: usize| {
        let part = Marks::of(&profile(page, axis, start, half), pitch);
        part.line().map(|marks| marks.phase)
    };
    let (upper, lower) = (phase(at * strip)?, phase(at * strip + half)?);
    let moved = (lower - upper + 0.5).rem_euclid(1.0) - 0.5;
    let aslant = moved / (half as f64 * pitch.mm());
    // Cycles of a stated millimetre are true millimetres, but along a row marks that lie aslant are farther apart.
    let factor = marks.cycles_per_mm * aslant.hypot(1.0);
    Some(AxisScale {
        axis,
        factor,
        relative_uncertainty: marks.error.hypot(RULE_MM / marks.length_mm),
    })
}

/// Gives the mean light along an axis over a strip of the page.
fn profile(page: &Page, axis: Axis, start: usize, count: usize) -> Vec<f64> {
    let green = |x: usize, y: usize| f64::from(light(page.row(y)[x * 3 + 1]));
    match axis {
        Axis::Across => (0..page.width())
            .map(|x| (start..start + count).map(|y| green(x, y)).sum::<f64>() / count as f64)
            .collect(),
        Axis::Down => (0..page.height())
            .map(|y| (start..start + count).map(|x| green(x, y)).sum::<f64>() / count as f64)
            .collect(),
    }
}

/// The swing at one cycle a millimetre, window by window.
struct Marks {
    /// Amplitude and phase (cycles), and the place of the window, mm.
    windows: Vec<[f64; 3]>,
    strength: f64,
}

/// What a line through the phases says.
struct MarkLine {
    cycles_per_mm: f64,
    /// Phase at the start of the page, cycles.
    phase: f64,
    error: f64,
    length_mm: f64,
}

impl Marks {
    fn of(profile: &[f64], pitch: Pitch) -> Self {
        let length = (WINDOW_MM / pitch.mm()).round() as usize;
        let step = (length / 2).max(1);
        let windows: Vec<[f64; 3]> = (0..profile.len().saturating_sub(length))
            .step_by(step)
            .map(|start| {
                let (mut real, mut imaginary) = (0.0, 0.0);
                let window = &profile[start..start + length];
                let mean = window.iter().sum::<f64>() / length as f64;
                for (i, value) in window.iter().enumerate() {
                    // A raised cosine keeps the ends of the window out of the phase.
                    let weight = 1.0 - (TAU * (i as f64 + 0.5) / length as f64).cos();
                    let (sin, cos) = (TAU * (start + i) as f64 * pitch.mm()).sin_cos();
                    real += (value - mean) * weight * cos;
                    imaginary -= (value - mean) * weight * sin;
                }
                let amplitude = real.hypot(imaginary) / length as f64;
                let phase = imaginary.atan2(real) / TAU;
                [
                    amplitude,
                    phase,
                    (start as f64 + length as f64 / 2.0) * pitch.mm(),
                ]
            })
            .collect();
        // The middle amplitude of the stretch a rule must at least have.
        let least = (LEAST_MM / (step as f64 * pitch.mm())) as usize;
        let mut amplitudes: Vec<f64> = windows.iter().map(|w| w[0]).collect();
        amplitudes.sort_by(f64::total_cmp);
        let strength = amplitudes.iter().rev().nth(least).copied().unwrap_or(0.0);
        Self { windows, strength }
    }

    /// Follows the phase from window to window; `None` where it jumps about: no marks a millimetre apart.
    fn line(&self) -> Option<MarkLine> {
        /// Weaker marks are texture of the paper, in light.
        const LEAST_STRENGTH: f64 = 0.01;
        /// Marks that scatter more are none, cycles.
        const MOST_SCATTER: f64 = 0.05;
        if self.strength < LEAST_STRENGTH {
            return None;
        }
        let mut points: Vec<[f64; 2]> = Vec::new();
        let mut jumps: Vec<f64> = Vec::new();
        for [_, phase, place] in self.windows.iter().filter(|w| w[0] > 0.5 * self.strength) {
            let phase = match points.last() {
                None => *phase,
                Some([_, before]) => {
                    let step = (phase - before + 0.5).rem_euclid(1.0) - 0.5;
                    jumps.push(step);
                    before + step
                }
            };
            points.push([*place, phase]);
        }
        let usual = median(&mut jumps.clone());
        let steady = jumps
            .iter()
            .filter(|jump| (*jump - usual).abs() < 0.1)
            .count();
        if steady * 10 < jumps.len() * 9 {
            return None;
        }
        let line = line(&points)?;
        let length_mm = points.last()?[0] - points.first()?[0];
        (length_mm >= LEAST_MM && line.scatter < MOST_SCATTER).then_some(MarkLine {
            cycles_per_mm: 1.0 + line.slope,
            phase: line.at_zero,
            // Neighbouring windows overlap by half.
            error: 2.0 * line.slope_error,
            length_mm,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A rule along the upper part of a page, aslant by an angle, in a scanner whose points are `factor` of what it says.
    fn page(factor: f64, slant: f64) -> Page {
        let pitch = 25.4 / 300.0 * factor;
        let (width, height) = (1200, 300);
        let shade = |x: usize, y: usize| {
            let (x, y) = (x as f64 * pitch, y as f64 * pitch - 8.0);
            let (u, v) = (
                x * slant.cos() + y * slant.sin(),
                y * slant.cos() - x * slant.sin(),
            );
            let mark = (u - u.round()).abs() < 0.08 && (0.0..4.0).contains(&v);
            if mark { 60 } else { 190 }
        };
        let pixels = (0..height).flat_map(|y| (0..width).flat_map(move |x| [shade(x, y); 3]));
        Page::new(width, height, pixels.collect()).expect("a page")
    }

    #[test]
    fn a_rule_gives_the_scale_to_a_few_parts_in_ten_thousand_even_aslant() {
        let pitch = Pitch::from_dpi(300.0).expect("a pitch");
        for (factor, slant) in [(1.0, 0.0), (1.004, 0.0), (0.997, 0.02)] {
            let found = scales(&page(factor, slant), pitch);
            assert_eq!(found.len(), 1, "{factor} {slant}");
            assert_eq!(found[0].axis, Axis::Across);
            assert!(
                (found[0].factor - factor).abs() < 4e-4,
                "{} {factor}",
                found[0].factor
            );
        }
    }

    #[test]
    fn a_page_without_a_rule_gives_no_scale() {
        let pixels = (0..600 * 900)
            .flat_map(|at: u32| [(200 + at.wrapping_mul(2_654_435_761) % 40) as u8; 3]);
        let page = Page::new(900, 600, pixels.collect()).expect("a page");
        assert!(scales(&page, Pitch::from_dpi(300.0).expect("a pitch")).is_empty());
    }
}
