//! The edges of one ring in points of the page, whatever a point is in millimetres.

use super::coarse::{Rough, Start, Way, section_of};
use super::edge::{Edge, fit_edge};
use super::hole::{Hole, RAYS};
use super::page::Page;
use super::polar::{Look, NoRing, STEP, Samples, Surroundings};
use super::series::{Radii, quantile};

/// Holds both edges of a ring along the rays from a place inside it.
#[derive(Debug, Clone)]
pub(super) struct Traced {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) inner: TracedEdge,
    pub(super) outer: TracedEdge,
    /// The section, in points.
    pub(super) section: f64,
    pub(super) look: Look,
    /// The edge is clear on some rays alone; the others were not asked.
    pub(super) hidden: bool,
    /// Root of light along the middle of the section, ray by ray.
    pub(super) middle: Vec<f64>,
    /// Root of light of the paper in the hole, in the same channel.
    pub(super) paper_root: f64,
}

/// Holds one edge along the rays.
#[derive(Debug, Clone)]
pub(super) struct TracedEdge {
    /// Distance on each ray, in points; not finite where none was found.
    pub(super) radii: Vec<f64>,
    /// Standard deviation of the edge's spread, in points.
    pub(super) blur: f64,
    /// How far each ray is trusted, where the edge is hidden on some.
    pub(super) trust: Option<Vec<f64>>,
}

/// The channel in which edges are sought.
struct Channel<'s> {
    level: &'s Samples,
    root: &'s Samples,
    slopes: Samples,
}

/// What is known of the place of a hole.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    /// Millimetres of a point.
    pub(super) pitch: f64,
    /// Light of the paper round about.
    pub(super) ground: [f32; 3],
}

/// Traces a ring round a hole, by every start until one satisfies: `worth` tells how bad a trace is, below `enough` ends the
/// search.
pub(super) fn trace<M>(
    page: &Page,
    hole: &Hole,
    place: Place,
    judge: impl Fn(Traced) -> Result<(M, f64), NoRing>,
) -> Result<M, NoRing> {
    const ENOUGH: f64 = 0.25;
    let look = Look::at(page, hole, place.ground, place.pitch)?;
    let around = Surroundings::of(page, hole, &look);
    let shape: Vec<f64> = hole.shape().ok_or(NoRing::NotSmooth)?;
    let shape: Vec<f64> = shape.iter().map(|r| (r - around.first) / STEP).collect();
    let mut best: Option<(M, f64)> = None;
    let mut why = NoRing::NotSmooth;
    for start in Start::ALL {
        if start == Start::Strength && best.is_some() {
            break;
        }
        let Some(rough) = start.find(&around, &shape, look.section / STEP) else {
            continue;
        };
        for channel in channels(&around, start, best.is_some()) {
            let hidden = start == Start::Strength;
            let seen = Seen {
                hole,
                around: &around,
                look,
                hidden,
            };
            match seen.traced(&channel, &rough, place.pitch).and_then(&judge) {
                Ok(found) if best.as_ref().is_none_or(|best| found.1 < best.1) => {
                    best = Some(found);
                }
                Ok(_) => {}
                Err(reason) => why = reason,
            }
            if best.as_ref().is_some_and(|best| best.1 < ENOUGH) {
                return best.map(|found| found.0).ok_or(why);
            }
        }
    }
    best.map(|found| found.0).ok_or(why)
}

/// The channel that shows the ring best, then a strong colour of its own where the first did not satisfy.
fn channels(around: &Surroundings, start: Start, measured: bool) -> Vec<Channel<'_>> {
    let channel = |level, root: &'_ Samples| Channel {
        level,
        slopes: root.slope(around.sigma),
        root: &around.root,
    };
    let mut channels = vec![channel(&around.level, &around.root)];
    if let Some(colour) = &around.colour
        && colour.strong
        && (measured || matches!(start, Start::Votes | Start::ColourVotes))
    {
        channels.push(channel(&colour.level, &colour.root));
    }
    channels
}

/// The most that a ring may be wider than the first look said.
const WIDEST: f64 = 1.5;

struct Seen<'s> {
    hole: &'s Hole,
    around: &'s Surroundings,
    look: Look,
    hidden: bool,
}

impl Seen<'_> {
    fn traced(&self, channel: &Channel<'_>, rough: &Rough, pitch: f64) -> Result<Traced, NoRing> {
        let thin = |rough: &Rough| {
            let section = section_of(rough);
            if section * pitch < 0.3 || section < 3.0 {
                Err(NoRing::TooThin)
            } else {
                Ok(section / STEP)
            }
        };
        let section = thin(rough)?;
        let near = self
            .nearest(channel, rough, section)
            .ok_or(NoRing::NotSmooth)?;
        let mid = Rough {
            inner: near.inner.smooth.clone(),
            outer: near.outer.smooth.clone(),
        };
        let section = thin(&mid)?;
        // The first look saw the ring with its shadow: it is hardly wider than that.
        if section * STEP > WIDEST * self.look.section {
            return Err(NoRing::NotSmooth);
        }
        let fit = |near: &Near, way| {
            fit_edge(channel.level, &channel.slopes, &near.places, way, section)
                .map(|edge| self.on_page(&edge, near, channel))
                .ok_or(NoRing::NotSmooth)
        };
        let inner = fit(&near.inner, Way::In)?;
        let outer = fit(&near.outer, Way::Out)?;
        let middle = (0..RAYS)
            .map(|k| {
                let at = f64::midpoint(mid.inner[k], mid.outer[k]);
                let reach = (0.22 * section) as i32;
                let near =
                    (-reach..=reach).map(|o| channel.root.between(k, at + f64::from(o)).abs());
                near.sum::<f64>() / f64::from(2 * reach + 1)
            })
            .collect();
        Ok(Traced {
            x: self.hole.x,
            y: self.hole.y,
            inner,
            outer,
            section: section * STEP,
            look: self.look,
            hidden: self.hidden,
            middle,
            paper_root: f64::from(self.around.paper_root),
        })
    }

    fn on_page(&self, edge: &Edge, near: &Near, channel: &Channel<'_>) -> TracedEdge {
        let radius = |place: &f64| self.around.first + place * STEP;
        TracedEdge {
            radii: edge.places.iter().map(radius).collect(),
            blur: edge.spread.sigma * STEP,
            trust: self.hidden.then(|| trust(&channel.slopes, &near.places)),
        }
    }

    /// Moves rough edges to the nearest peaks of the slope, by outlines of ever more orders.
    fn nearest(&self, channel: &Channel<'_>, rough: &Rough, section: f64) -> Option<NearBoth> {
        let (part, orders) = if self.hidden {
            (0.15, [2, 2, 2])
        } else {
            (0.3, [2, 3, 4])
        };
        let mut reach = (part * section).max(4.0);
        let mut near = None;
        let (mut inner, mut outer) = (rough.inner.clone(), rough.outer.clone());
        for order in orders {
            let side = |smooth: &[f64], way| {
                let places = peaks(&channel.slopes, smooth, way, reach);
                let found = places.iter().filter(|p| p.is_finite()).count();
                let weights = self.hidden.then(|| trust(&channel.slopes, &places));
                let radii = Radii {
                    weights,
                    ..Radii::even(places.clone())
                };
                let smooth = (found >= 120).then(|| radii.smooth(order))??;
                Some(Near { places, smooth })
            };
            let both = NearBoth {
                inner: side(&inner, Way::In)?,
                outer: side(&outer, Way::Out)?,
            };
            inner.clone_from(&both.inner.smooth);
            outer.clone_from(&both.outer.smooth);
            near = Some(both);
            reach = (0.6 * reach).max(4.0);
        }
        near
    }
}

struct Near {
    /// Peaks near the outline; not finite where there is none.
    places: Vec<f64>,
    smooth: Vec<f64>,
}

struct NearBoth {
    inner: Near,
    outer: Near,
}

fn peaks(slopes: &Samples, smooth: &[f64], way: Way, reach: f64) -> Vec<f64> {
    let sign = way.sign() as f32;
    let nearest = |k: usize| {
        let row = slopes.row(k);
        let least = {
            let mut sizes: Vec<f64> = row.iter().map(|v| f64::from(v.abs())).collect();
            (0.10 * quantile(&mut sizes, 0.98)).max(0.001) as f32
        };
        let from = (smooth[k] - reach).max(1.0) as usize;
        let to = ((smooth[k] + reach).max(0.0) as usize + 1).min(row.len() - 1);
        (from..to)
            .filter(|&i| {
                let at = |i: usize| sign * row[i];
                at(i) >= at(i - 1) && at(i) > at(i + 1) && at(i) > least
            })
            .map(|i| i as f64)
            .filter(|at| (at - smooth[k]).abs() < reach)
            .min_by(|a, b| (a - smooth[k]).abs().total_cmp(&(b - smooth[k]).abs()))
    };
    (0..RAYS).map(|k| nearest(k).unwrap_or(f64::NAN)).collect()
}

/// Where shadow hides an edge, the rays that see it clearly carry the outline.
fn trust(slopes: &Samples, places: &[f64]) -> Vec<f64> {
    let strength: Vec<f64> = places
        .iter()
        .enumerate()
        .map(|(k, at)| {
            let there = at
                .is_finite()
                .then(|| slopes.row(k)[at.round() as usize].abs());
            there.map_or(0.0, f64::from)
        })
        .collect();
    let mut there: Vec<f64> = strength.iter().copied().filter(|&s| s > 0.0).collect();
    let clear = quantile(&mut there, 0.85).max(1e-9);
    strength
        .iter()
        .map(|s| (s / clear).clamp(0.0, 1.0).powi(3))
        .collect()
}
