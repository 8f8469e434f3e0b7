//! The edges of one ring in points of the page, whatever a point is in millimetres.

use super::coarse::{Rough, Start, Way};
use super::edge::fit_edge;
use super::hole::{Hole, RAYS};
use super::page::Page;
use super::polar::{Look, NoRing, STEP, Samples, Surroundings, View};
use super::series::{Radii, quantile};

/// Both edges of a ring along the rays from a place inside it.
#[derive(Debug, Clone)]
pub(super) struct Traced {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) inner: TracedEdge,
    pub(super) outer: TracedEdge,
    /// The section, in points.
    pub(super) section: f64,
    pub(super) look: Look,
    /// Root of light along the middle of the section, ray by ray.
    pub(super) middle: Vec<f64>,
    /// How far the light differs across the section, in parts of the light in its middle: a tube is shaded, a plate is flat.
    pub(super) shading: f64,
    /// Root of light of the paper in the hole, in the same channel.
    pub(super) paper_root: f64,
}

/// One edge along the rays.
#[derive(Debug, Clone)]
pub(super) struct TracedEdge {
    /// Distance on each ray, in points; not finite where none was found.
    pub(super) radii: Vec<f64>,
    /// Standard deviation of the edge's spread, in points.
    pub(super) blur: f64,
}

/// An edge with fewer rays is broken.
const FEWEST_RAYS: usize = 120;

impl TracedEdge {
    /// Tells whether enough of the edge was found.
    pub(super) fn is_whole(&self) -> bool {
        self.radii.iter().filter(|r| r.is_finite()).count() >= FEWEST_RAYS
    }
}

/// Traces a ring round a hole, by every start until one satisfies: `judge` tells how bad a trace is, below `ENOUGH` ends the
/// search. `pitch`: millimetres of a point.
pub(super) fn trace<M>(
    page: &Page,
    hole: &Hole,
    look: Look,
    pitch: f64,
    judge: impl Fn(Traced) -> Result<(M, f64), NoRing>,
) -> Result<M, NoRing> {
    const ENOUGH: f64 = 0.25;
    let around = Surroundings::of(page, hole, &look);
    let shape = hole.shape.iter().map(|r| (r - around.first) / STEP);
    let shape: Vec<f64> = shape.collect();
    let seen = Seen {
        hole,
        around: &around,
        look,
        pitch,
    };
    let mut best: Option<(M, f64)> = None;
    let mut why = NoRing::NotSmooth;
    for start in Start::ALL {
        for view in &around.views {
            let rough = start.find(&around, &view.root, &shape, look.section / STEP);
            let rough = rough.ok_or(NoRing::NotSmooth);
            match rough
                .and_then(|rough| seen.traced(view, &rough))
                .and_then(&judge)
            {
                Ok(found) if found.1 < ENOUGH => return Ok(found.0),
                Ok(found) if best.as_ref().is_none_or(|best| found.1 < best.1) => {
                    best = Some(found);
                }
                Ok(_) => {}
                Err(reason) => why = reason,
            }
        }
    }
    best.map(|found| found.0).ok_or(why)
}

struct Seen<'s> {
    hole: &'s Hole,
    around: &'s Surroundings,
    look: Look,
    pitch: f64,
}

impl Seen<'_> {
    fn traced(&self, view: &View, rough: &Rough) -> Result<Traced, NoRing> {
        /// The most that a ring may be wider than the first look said, which saw it with its shadow.
        const WIDEST: f64 = 1.5;
        let thick = |rough: &Rough| {
            let section = rough.section();
            let thin = section * self.pitch < 0.3 || section < 3.0;
            if thin {
                Err(NoRing::TooThin)
            } else {
                Ok(section / STEP)
            }
        };
        let section = thick(rough)?;
        let slopes = view.root.slope(self.around.sigma);
        let least: Vec<f32> = (0..RAYS).map(|k| clear(slopes.row(k))).collect();
        let near = |rough: &[f64], way| {
            Near::of(&slopes, &least, rough, 0.3 * section, way).ok_or(NoRing::NotSmooth)
        };
        let (inner, outer) = (near(&rough.inner, Way::In)?, near(&rough.outer, Way::Out)?);
        let mid = Rough {
            inner: inner.smooth,
            outer: outer.smooth,
        };
        let section = thick(&mid)?;
        if section * STEP > WIDEST * self.look.section {
            return Err(NoRing::NotSmooth);
        }
        let edge = |places: &[f64], way| {
            let edge = fit_edge(&view.level, &slopes, places, way, section);
            let edge = edge.ok_or(NoRing::NotSmooth)?;
            let radius = |place: &f64| self.around.first + place * STEP;
            Ok(TracedEdge {
                radii: edge.places.iter().map(radius).collect(),
                blur: edge.spread.sigma * STEP,
            })
        };
        let root = |k: usize, part: f64, reach: f64| {
            let at = f64::midpoint(mid.inner[k], mid.outer[k]) + part * section;
            let reach = (reach * section) as i32;
            let root = |o: i32| {
                self.around.views[0]
                    .root
                    .between(k, at + f64::from(o))
                    .abs()
            };
            (-reach..=reach).map(root).sum::<f64>() / f64::from(2 * reach + 1)
        };
        Ok(Traced {
            x: self.hole.x,
            y: self.hole.y,
            inner: edge(&inner.places, Way::In)?,
            outer: edge(&outer.places, Way::Out)?,
            section: section * STEP,
            look: self.look,
            middle: (0..RAYS).map(|k| root(k, 0.0, 0.22)).collect(),
            shading: shading(root),
            paper_root: f64::from(self.around.paper_root),
        })
    }
}

/// Gives how far the light differs across the section, sector by sector, since a lamp on one side lights each otherwise.
/// `root`: root of light on a ray, in parts of the section from its middle, over so much on either side.
fn shading(root: impl Fn(usize, f64, f64) -> f64) -> f64 {
    const SECTORS: usize = 12;
    const RAYS_EACH: usize = RAYS / SECTORS;
    let differs = |sector: usize| {
        let rays = || sector * RAYS_EACH..(sector + 1) * RAYS_EACH;
        let light = |part: f64| rays().map(|k| root(k, part, 0.08).powi(2)).sum::<f64>();
        let [inner, middle, outer] = [-0.25, 0.0, 0.25].map(light);
        (inner.max(middle).max(outer) - inner.min(middle).min(outer)) / middle.max(1e-9)
    };
    (0..SECTORS).map(differs).sum::<f64>() / SECTORS as f64
}

struct Near {
    /// Peaks near the outline; not finite where there is none.
    places: Vec<f64>,
    smooth: Vec<f64>,
}

impl Near {
    /// Moves a rough edge to the nearest peaks of the slope, by outlines of ever more orders. `least`: what is clear, ray by ray.
    fn of(slopes: &Samples, least: &[f32], rough: &[f64], reach: f64, way: Way) -> Option<Self> {
        let (mut places, mut smooth) = (Vec::new(), rough.to_vec());
        let mut reach = reach.max(4.0);
        for order in [2, 3, 4] {
            let peak = |k: usize| peak(slopes.row(k), least[k], smooth[k], way, reach);
            places = (0..RAYS).map(|k| peak(k).unwrap_or(f64::NAN)).collect();
            smooth = Radii::even(places.clone()).smooth(order)?;
            reach = (0.6 * reach).max(4.0);
        }
        Some(Self { places, smooth })
    }
}

/// Gives the slope from which a peak of a ray is clear.
fn clear(row: &[f32]) -> f32 {
    let mut sizes: Vec<f64> = row.iter().map(|v| f64::from(v.abs())).collect();
    (0.10 * quantile(&mut sizes, 0.98)).max(0.001) as f32
}

/// Gives the clear peak of the slope that lies nearest to a place.
fn peak(row: &[f32], least: f32, about: f64, way: Way, reach: f64) -> Option<f64> {
    let sign = way.sign() as f32;
    let from = (about - reach).max(1.0) as usize;
    let to = ((about + reach).max(0.0) as usize + 1).min(row.len() - 1);
    let at = |i: usize| sign * row[i];
    let is_peak = |&i: &usize| at(i) >= at(i - 1) && at(i) > at(i + 1) && at(i) > least;
    let off = |i: &usize| (*i as f64 - about).abs();
    (from..to)
        .filter(|i| is_peak(i) && off(i) < reach)
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .map(|i| i as f64)
}
