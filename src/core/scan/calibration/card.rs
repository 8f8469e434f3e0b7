//! A card of format ID-1: the distance of its opposite sides.

use super::super::coarse::Way;
use super::super::edge::fit_edge;
use super::super::ground::{Apart, Distance, Ground};
use super::super::hole::{RAYS, Run, regions};
use super::super::line::line;
use super::super::page::Page;
use super::super::polar::Samples;
use super::super::scale::Pitch;
use super::{Axis, AxisScale};

/// Sides of the card, mm, and half the width of what a card in use may have, as a standard uncertainty (85.47 to 85.72 and
/// 53.92 to 54.03 mm, evenly likely; ISO/IEC 7810:2019, 5).
const LONG_MM: f64 = 85.60;
const SHORT_MM: f64 = 53.98;
const LONG_UNCERTAINTY_MM: f64 = 0.072;
const SHORT_UNCERTAINTY_MM: f64 = 0.032;
/// The cone of a rod lens (half cone 0.12 to 0.25) sees the wall of the card, 0.76 mm high, beside its edge, and so does a lens
/// that stands beside it: each side stands out by nought to 0.06 mm, evenly likely. Twice the mean is taken off.
const WALLS_MM: f64 = 0.06;
const WALLS_UNCERTAINTY_MM: f64 = 0.035;
/// Part of a side that is straight between its rounded corners (radius 3.18 mm), with room.
const STRAIGHT: f64 = 0.7;
/// How far off the side its edge is looked for, mm.
const REACH_MM: f64 = 2.5;
/// A card that lies farther aslant does not tell the axes apart, radians.
const MOST_SLANT: f64 = 0.2;

/// Where a card roughly lies, in points of the page.
#[derive(Debug, Clone, Copy)]
struct Lie {
    middle: [f64; 2],
    /// Direction of the long side.
    slant: f64,
    long_across: bool,
}

/// Gives the scale along both axes; `None` where no card is found.
pub(super) fn scales(page: &Page, pitch: Pitch) -> Option<Vec<AxisScale>> {
    let lie = Lie::find(page, pitch)?;
    let reach = |length, side, turn: f64| Reach {
        normal: lie.slant + turn,
        length,
        side,
        aslant: 0.0,
    };
    let quarter = std::f64::consts::FRAC_PI_2;
    let long = Sides::across(page, pitch, &lie, reach(LONG_MM, SHORT_MM, 0.0))?;
    let short = Sides::across(page, pitch, &lie, reach(SHORT_MM, LONG_MM, quarter))?;
    // Distances in points, split along the axes: L² = (a sx)² + (b sy)² for each pair of sides.
    let split = |sides: &Sides| {
        let (sin, cos) = sides.normal.sin_cos();
        [(sides.apart * cos).powi(2), (sides.apart * sin).powi(2)]
    };
    let (one, other) = (split(&long), split(&short));
    let determinant = one[0] * other[1] - one[1] * other[0];
    let (long, short) = ((LONG_MM + WALLS_MM).powi(2), (SHORT_MM + WALLS_MM).powi(2));
    let across = ((long * other[1] - short * one[1]) / determinant).sqrt() / pitch.mm();
    let down = ((short * one[0] - long * other[0]) / determinant).sqrt() / pitch.mm();
    let of = |axis, factor: f64| {
        let is_long = (axis == Axis::Across) == lie.long_across;
        let (length, own) = if is_long {
            (LONG_MM, LONG_UNCERTAINTY_MM)
        } else {
            (SHORT_MM, SHORT_UNCERTAINTY_MM)
        };
        let relative_uncertainty = own.hypot(WALLS_UNCERTAINTY_MM) / length;
        factor.is_finite().then_some(AxisScale {
            axis,
            factor,
            relative_uncertainty,
        })
    };
    Some(vec![of(Axis::Across, across)?, of(Axis::Down, down)?])
}

impl Lie {
    /// Finds a region of the card's area, by its first and second moments.
    fn find(page: &Page, pitch: Pitch) -> Option<Self> {
        let factor = (pitch.dpi() / 150.0).round().max(1.0) as usize;
        let small = page.shrunk(factor);
        let ground = Ground::of(&small);
        let distance = Distance::of(&small, &ground, Apart::Light);
        let point = pitch.mm() * factor as f64;
        distance.levels.iter().find_map(|&level| {
            let regions = regions(&distance, |step| step > level);
            regions
                .iter()
                .find_map(|runs| Self::of(&Moments::of(runs), point, factor as f64))
        })
    }

    fn of(region: &Moments, point: f64, factor: f64) -> Option<Self> {
        let area = region.count * point * point;
        let card = LONG_MM * SHORT_MM;
        if (area / card - 1.0).abs() > 0.12 {
            return None;
        }
        let middle = [region.x / region.count, region.y / region.count];
        let xx = region.xx / region.count - middle[0] * middle[0];
        let yy = region.yy / region.count - middle[1] * middle[1];
        let xy = region.xy / region.count - middle[0] * middle[1];
        let slant = 0.5 * (2.0 * xy).atan2(xx - yy);
        let spread = ((xx - yy) / 2.0).hypot(xy);
        let half = f64::midpoint(xx, yy);
        let long = (12.0 * (half + spread)).sqrt() * point;
        let short = (12.0 * (half - spread).max(0.0)).sqrt() * point;
        let off_axis = slant.sin().abs().min(slant.cos().abs());
        let is_card = (long / LONG_MM - 1.0).abs() < 0.06
            && (short / SHORT_MM - 1.0).abs() < 0.06
            && off_axis < MOST_SLANT;
        is_card.then_some(Self {
            middle: middle.map(|v| (v + 0.5) * factor - 0.5),
            slant,
            long_across: slant.cos().abs() > slant.sin().abs(),
        })
    }
}

/// Sums over the points of a region.
#[derive(Debug, Clone, Copy, Default)]
struct Moments {
    count: f64,
    x: f64,
    y: f64,
    xx: f64,
    yy: f64,
    xy: f64,
}

impl Moments {
    fn of(runs: &[Run]) -> Self {
        let mut sums = Self::default();
        for run in runs {
            let y = run.row as f64;
            for x in (run.start..run.end).map(|x| x as f64) {
                sums.count += 1.0;
                sums.x += x;
                sums.y += y;
                sums.xx += x * x;
                sums.yy += y * y;
                sums.xy += x * y;
            }
        }
        sums
    }
}

/// Two opposite sides.
struct Sides {
    /// Their distance, in points.
    apart: f64,
    /// Direction from one to the other, radians.
    normal: f64,
}

impl Sides {
    /// Finds the sides that lie `length` apart, along `turn` from the long side, each `side` long.
    ///
    /// The shadow of the card ends in an edge too, a few tenths of a millimetre outside: the view is laid straight along the side
    /// first, so that both stand apart, and of all edges the pair is taken whose distance is nearest to the card's.
    fn across(page: &Page, pitch: Pitch, lie: &Lie, reach: Reach) -> Option<Self> {
        let opposite = Reach {
            normal: reach.normal + std::f64::consts::PI,
            ..reach
        };
        let straight = |reach: Reach| {
            let rough = SideView::of(page, pitch, lie, reach)?;
            let strongest = rough
                .peaks()
                .into_iter()
                .max_by(|a, b| a.size.total_cmp(&b.size))?;
            let aslant = rough.side(&strongest, ASLANT_MM / pitch.mm(), pitch)?.slope;
            SideView::of(page, pitch, lie, Reach { aslant, ..reach })
        };
        let (one, other) = (straight(reach)?, straight(opposite)?);
        let expected = reach.length / pitch.mm();
        let off = |a: &Peak, b: &Peak| (one.out(a.at) + other.out(b.at) - expected).abs();
        let (one_peaks, other_peaks) = (one.peaks(), other.peaks());
        let pairs = one_peaks
            .iter()
            .flat_map(|a| other_peaks.iter().map(move |b| (a, b)));
        let (a, b) = pairs.min_by(|x, y| off(x.0, x.1).total_cmp(&off(y.0, y.1)))?;
        let near = NEAR_MM / pitch.mm();
        let (one, other) = (one.side(a, near, pitch)?, other.side(b, near, pitch)?);
        // The sides' own slant against the rough one is the same on both, with opposite signs.
        let aslant = f64::midpoint(one.slope, -other.slope);
        Some(Self {
            apart: (one.place + other.place) * aslant.atan().cos(),
            normal: reach.normal + aslant.atan(),
        })
    }
}

/// Which side is meant: its direction from the middle, how far apart the pair lies, and how long it is, mm.
#[derive(Clone, Copy)]
struct Reach {
    normal: f64,
    length: f64,
    side: f64,
    /// Slope of the side against the rough direction.
    aslant: f64,
}

/// One side: its distance from the middle, in points, and how it leaves the rough direction.
struct Side {
    place: f64,
    slope: f64,
}

/// The surroundings of one side: lines across it, evenly along its straight part.
struct SideView {
    level: Samples,
    /// Distance of the first sample from the middle of the card, in points.
    start: f64,
    /// Length of the part along which the lines lie, in points.
    along: f64,
    /// Slope of the side against the rough direction.
    aslant: f64,
}

/// An edge in the mean of the lines.
struct Peak {
    /// In samples.
    at: f64,
    /// Whether the light rises on the way out.
    rises: bool,
    size: f32,
}

const STEP: f64 = 0.5;
/// Weaker edges are print or dust, against the strongest.
const LEAST_EDGE: f32 = 0.15;
/// A side lies aslant of the rough direction by so much at its ends, mm; then, straight, the edge lies this near to its peak.
const ASLANT_MM: f64 = 0.6;
const NEAR_MM: f64 = 0.15;
/// Smoothing of slopes, in samples; and the stretch on either side of an edge that is its own, mm.
const SMOOTH: f64 = 2.0;
const OWN_MM: f64 = 0.5;

impl SideView {
    fn of(page: &Page, pitch: Pitch, lie: &Lie, reach: Reach) -> Option<Self> {
        let (sin, cos) = reach.normal.sin_cos();
        let around = REACH_MM / pitch.mm();
        let mut view = Self {
            level: Samples {
                values: Vec::new(),
                length: (2.0 * around / STEP) as usize,
            },
            start: reach.length / 2.0 / pitch.mm() - around,
            along: STRAIGHT * reach.side / pitch.mm(),
            aslant: reach.aslant,
        };
        for k in 0..RAYS {
            let along = view.along(k);
            for i in 0..view.level.length {
                let out = view.out(i as f64) + view.aslant * along;
                let x = lie.middle[0] + out * cos - along * sin;
                let y = lie.middle[1] + out * sin + along * cos;
                let light = page.light_at(x, y)?;
                view.level.values.push(light.iter().sum::<f32>() / 3.0);
            }
        }
        Some(view)
    }

    fn along(&self, k: usize) -> f64 {
        (k as f64 / (RAYS - 1) as f64 - 0.5) * self.along
    }

    fn out(&self, at: f64) -> f64 {
        self.start + at * STEP
    }

    /// Gives the edges in the mean of the lines.
    fn peaks(&self) -> Vec<Peak> {
        let slopes = self.level.slope(SMOOTH);
        let mean: Vec<f32> = (0..slopes.length)
            .map(|i| (0..RAYS).map(|k| slopes.row(k)[i]).sum::<f32>())
            .collect();
        let top = mean.iter().fold(0.0_f32, |top, v| top.max(v.abs()));
        let is_peak = |w: &[f32]| {
            let size = w[1].abs();
            size >= w[0].abs() && size > w[2].abs() && size > LEAST_EDGE * top
        };
        let windows = mean.windows(3).enumerate();
        windows
            .filter(|(_, w)| is_peak(w))
            .map(|(at, w)| Peak {
                at: at as f64 + 1.0,
                rises: w[1] > 0.0,
                size: w[1].abs(),
            })
            .collect()
    }

    /// Fits the edge of a peak on every line, and a straight side through them.
    fn side(&self, peak: &Peak, near: f64, pitch: Pitch) -> Option<Side> {
        let sign = if peak.rises { 1.0 } else { -1.0 };
        let level = Samples {
            values: self.level.values.iter().map(|v| sign * v).collect(),
            length: self.level.length,
        };
        let slopes = level.slope(SMOOTH);
        let reach = (near / STEP) as usize + 2;
        let near: Vec<f64> = (0..RAYS)
            .map(|k| {
                let row = slopes.row(k);
                let from = (peak.at as usize).saturating_sub(reach).max(8);
                let to = (peak.at as usize + reach).min(row.len() - 8);
                let top = (from..to).max_by(|&a, &b| row[a].total_cmp(&row[b]));
                top.map_or(f64::NAN, |at| at as f64)
            })
            .collect();
        let edge = fit_edge(&level, &slopes, &near, Way::Out, OWN_MM / pitch.mm() / STEP)?;
        let places = edge.places.iter().enumerate();
        let points: Vec<[f64; 2]> = places
            .filter(|(_, place)| place.is_finite())
            .map(|(k, place)| [self.along(k), self.out(*place)])
            .collect();
        let line = line(&points)?;
        (points.len() > RAYS / 2).then_some(Side {
            place: line.at_zero,
            slope: line.slope + self.aslant,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A grey card, its walls seen with it, on white paper in a scanner whose points are off by a factor along each axis.
    fn page(across: f64, down: f64, slant: f64) -> Page {
        let pitch = 25.4 / 200.0;
        let (width, height) = (1200, 800);
        let shade = |x: usize, y: usize| {
            let mut light = 0.0;
            for part in 0..16 {
                let (i, j) = (f64::from(part % 4), f64::from(part / 4));
                let px = (x as f64 + (i - 1.5) / 4.0) * pitch * across - 76.0;
                let py = (y as f64 + (j - 1.5) / 4.0) * pitch * down - 50.0;
                let u = px * slant.cos() + py * slant.sin();
                let v = py * slant.cos() - px * slant.sin();
                let inside = u.abs() < f64::midpoint(LONG_MM, WALLS_MM)
                    && v.abs() < f64::midpoint(SHORT_MM, WALLS_MM);
                light += if inside { 0.2 } else { 0.8 } / 16.0;
            }
            let code: f64 = 1.055 * f64::powf(light, 1.0 / 2.4) - 0.055;
            (code * 255.0).round() as u8
        };
        let pixels = (0..height).flat_map(|y| (0..width).flat_map(move |x| [shade(x, y); 3]));
        Page::new(width, height, pixels.collect()).expect("a page")
    }

    #[test]
    fn a_card_gives_both_axes_to_two_parts_in_ten_thousand() {
        let pitch = Pitch::from_dpi(200.0).expect("a pitch");
        for (across, down, slant) in [(1.0, 1.0, 0.0), (1.004, 0.998, 0.03), (0.996, 1.003, -0.05)]
        {
            let found = scales(&page(across, down, slant), pitch).expect("a card");
            assert!(
                (found[0].factor - across).abs() < 2e-4,
                "{found:?} {across}"
            );
            assert!((found[1].factor - down).abs() < 2e-4, "{found:?} {down}");
        }
    }

    #[test]
    fn another_rectangle_is_no_card() {
        let pitch = Pitch::from_dpi(150.0).expect("a pitch");
        assert!(scales(&page(1.0, 1.0, 0.0), pitch).is_none());
    }
}
