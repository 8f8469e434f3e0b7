//! The surroundings of one hole, laid out along rays from its middle.

use super::hole::{Hole, RAYS, ray};
use super::page::Page;
use super::series::{median, quantile};
use std::f64::consts::TAU;

/// Distance of samples along a ray, in points.
pub(super) const STEP: f64 = 0.5;

/// Says why a place was not measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum NoRing {
    /// Nothing encloses it on most sides.
    NoOuterEdge,
    /// What encloses it is too thin to be measured at this resolution.
    TooThin,
    /// The hole is too small for what is round it.
    HoleTooSmall,
    /// The edges are not those of one closed ring.
    NotSmooth,
    /// It is as bright as the paper, or shines: a pale ring on pale paper, or metal.
    LikeThePaper,
    /// It is flat, and lighter than black rubber: a washer or a circlip.
    Metal,
    /// It is cut through, or was never closed: a cut ring or a circlip.
    Open,
    NotRound,
    /// It is not of one width.
    UnevenWidth,
}

/// Samples along rays, one value each.
#[derive(Debug, Clone)]
pub(super) struct Samples {
    pub(super) values: Vec<f32>,
    pub(super) length: usize,
}

impl Samples {
    pub(super) fn row(&self, k: usize) -> &[f32] {
        &self.values[k * self.length..][..self.length]
    }

    /// Gives the value between two samples; the ends go on.
    pub(super) fn between(&self, k: usize, at: f64) -> f64 {
        let at = at.clamp(0.0, self.length as f64 - 1.001);
        let low = at as usize;
        let part = at - low as f64;
        let row = self.row(k);
        f64::from(row[low]) * (1.0 - part) + f64::from(row[low + 1]) * part
    }

    fn map(&self, rule: impl Fn(f32) -> f32) -> Self {
        Self {
            values: self.values.iter().map(|&v| rule(v)).collect(),
            length: self.length,
        }
    }

    /// Takes each ray with a part of both its neighbours.
    fn with_neighbours(self) -> Self {
        let mut mixed = Vec::with_capacity(self.values.len());
        for k in 0..RAYS {
            let (before, after) = (self.row((k + RAYS - 1) % RAYS), self.row((k + 1) % RAYS));
            let near = before.iter().zip(self.row(k)).zip(after);
            mixed.extend(near.map(|((a, b), c)| 0.25 * (a + c) + 0.5 * b));
        }
        Self {
            values: mixed,
            length: self.length,
        }
    }

    /// Gives the slope along each ray after a normal smoothing of so many samples.
    pub(super) fn slope(&self, sigma: f64) -> Self {
        let kernel = normal_kernel(sigma);
        let mut values = vec![0.0; self.values.len()];
        let mut smooth = vec![0.0; self.length];
        for k in 0..RAYS {
            smooth_row(self.row(k), &kernel, &mut smooth);
            let slopes = smooth.windows(3).map(|w| (w[2] - w[0]) / 2.0);
            let row = &mut values[k * self.length..][..self.length];
            for (cell, slope) in row[1..].iter_mut().zip(slopes) {
                *cell = slope;
            }
        }
        Self {
            values,
            length: self.length,
        }
    }

    /// Smooths across the rays, so many of them.
    pub(super) fn along_ring(&self, rays: f64) -> Self {
        let kernel = normal_kernel(rays);
        let half = kernel.len() / 2;
        let mut values = vec![0.0_f32; self.values.len()];
        for (k, row) in values.chunks_exact_mut(self.length).enumerate() {
            for (offset, weight) in kernel.iter().enumerate() {
                let source = self.row((k + 4 * RAYS + offset - half) % RAYS);
                for (cell, value) in row.iter_mut().zip(source) {
                    *cell += weight * value;
                }
            }
        }
        Self {
            values,
            length: self.length,
        }
    }
}

fn normal_kernel(sigma: f64) -> Vec<f32> {
    let half = (3.0 * sigma).ceil().max(1.0) as i32;
    let weights: Vec<f64> = (-half..=half)
        .map(|i| (-0.5 * (f64::from(i) / sigma).powi(2)).exp())
        .collect();
    let sum: f64 = weights.iter().sum();
    weights.iter().map(|w| (w / sum) as f32).collect()
}

/// Smooths a row; its ends go on.
fn smooth_row(row: &[f32], kernel: &[f32], smooth: &mut [f32]) {
    let half = kernel.len() / 2;
    let end = |at: usize| std::iter::repeat_n(row[at], half);
    let longer = end(0).chain(row.iter().copied()).chain(end(row.len() - 1));
    let longer: Vec<f32> = longer.collect();
    smooth.fill(0.0);
    for (j, weight) in kernel.iter().enumerate() {
        for (cell, value) in smooth.iter_mut().zip(&longer[j..]) {
            *cell += weight * value;
        }
    }
}

/// What a first look shows: the colours of paper and ring, and the section.
#[derive(Debug, Clone, Copy)]
pub(super) struct Look {
    /// Light of the paper in the hole.
    pub(super) paper: [f32; 3],
    /// Light of the paper round about, where no shadow lies.
    pub(super) ground: [f32; 3],
    /// Light of the ring in the middle of its section.
    pub(super) ring: [f32; 3],
    /// The section, in points.
    pub(super) section: f64,
}

const COARSE_RAYS: usize = 180;
/// No section of a ring in these shops is wider, mm; the look ends there.
const WIDEST_MM: f64 = 14.0;

/// The section of a listed ring over its inside diameter, at most: AS568-102 has 2.62 mm round a hole of 1.24 mm.
pub(super) const MOST_SECTION: f64 = 2.12;

impl Look {
    /// Looks at a hole. `ground`: the light of the paper round about; that in the hole may lie in shadow.
    pub(super) fn at(
        page: &Page,
        hole: &Hole,
        ground: [f32; 3],
        pitch: f64,
    ) -> Result<Self, NoRing> {
        let paper = middle_light(page, hole, |_, outline| {
            [0.5, 0.6, 0.7, 0.8].map(|part| part * outline).to_vec()
        });
        let reach = (WIDEST_MM / pitch).min((7.0 * hole.radius).max(6.0)) as usize;
        let apart = smoothed_apart(page, hole, &PaperLight::between(paper, ground), reach);
        let runs: Vec<Option<f64>> = (0..COARSE_RAYS)
            .map(|ray| dark_run(&apart[ray * reach..][..reach], hole.radius))
            .collect();
        let mut ends: Vec<f64> = runs.iter().flatten().copied().collect();
        if ends.len() < 40 {
            return Err(NoRing::NoOuterEdge);
        }
        let section = quantile(&mut ends, 0.3);
        if section < 4.0 || section * pitch < 0.35 {
            return Err(NoRing::TooThin);
        }
        if section > 2.6 * MOST_SECTION * hole.radius + 3.0 {
            return Err(NoRing::HoleTooSmall);
        }
        let ring = middle_light(page, hole, |_, outline| {
            let parts = (0..9).map(|i| 0.3 + 0.05 * f64::from(i));
            parts.map(|part| outline + part * section).collect()
        });
        Ok(Self {
            paper,
            ground,
            ring,
            section,
        })
    }

    /// Tells whether the ring is darker than the paper in full light.
    pub(super) fn is_darker(&self) -> bool {
        let sum = |light: [f32; 3]| light.iter().sum::<f32>();
        sum(self.paper).max(sum(self.ground)) >= sum(self.ring)
    }

    /// Gives the least of the channels' ratios of ring to paper: near one where it is like the paper.
    pub(super) fn least_ratio(&self) -> f32 {
        let ratio = |c: usize| (self.ring[c] + 0.01) / (self.paper[c].max(self.ground[c]) + 0.01);
        ratio(0).min(ratio(1)).min(ratio(2))
    }

    /// Tells whether what is seen is paper, or shines like metal: it has between half and two and a half times the paper's light in
    /// its darkest channel.
    pub(super) fn is_like_paper(&self) -> bool {
        (0.5..2.5).contains(&self.least_ratio())
    }

    /// Tells whether it is neither black nor coloured: rubber gives back 4 to 8 parts in a hundred of the light where it is
    /// black, and little in one channel where it is coloured.
    pub(super) fn is_grey(&self) -> bool {
        const LEAST_GREY: f32 = 0.2;
        const LEAST_SATURATED: f32 = 0.25;
        let [r, g, b] = self.ring;
        self.least_ratio() > LEAST_GREY && r.min(g).min(b) > LEAST_SATURATED * r.max(g).max(b)
    }

    /// Weights of the channels: by how far ring and paper lie apart, in light and in ratio. A dark ring must differ from the paper
    /// in its shadow too: a hole that lies in shadow is darker than orange rubber, but for its blue.
    fn weights(&self) -> [f32; 3] {
        let darker = self.is_darker();
        let weights: [f32; 3] = std::array::from_fn(|c| {
            let (paper, ring) = (self.paper[c], self.ring[c].max(0.0));
            let (light, dark) = if darker {
                (paper.min(self.ground[c]), ring)
            } else {
                (ring, paper)
            };
            let ratio = ((light.max(dark) + 0.01) / (dark.max(0.0) + 0.01)).ln();
            (light - dark).max(1e-4) * ratio * ratio + 1e-6
        });
        let sum: f32 = weights.iter().sum();
        weights.map(|w| w / sum)
    }

    /// The part of the ring's colour that no shadow of the paper can make: at right angles to the paper's colour.
    fn own_colour(&self) -> [f32; 3] {
        let length = norm(self.paper).max(1e-6);
        let along = dot(self.ring, self.paper) / length;
        std::array::from_fn(|c| self.ring[c] - along * self.paper[c] / length)
    }
}

fn dot(a: [f32; 3], b: [f32; 3]) -> f32 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn norm(a: [f32; 3]) -> f32 {
    dot(a, a).sqrt()
}

/// Gives the middle light of places along the coarse rays.
fn middle_light(page: &Page, hole: &Hole, places: impl Fn(usize, f64) -> Vec<f64>) -> [f32; 3] {
    let mut seen: [Vec<f64>; 3] = Default::default();
    for k in (0..RAYS).step_by(RAYS / COARSE_RAYS) {
        let light = along(page, hole, k);
        for light in places(k, hole.outline[k]).into_iter().filter_map(light) {
            for c in 0..3 {
                seen[c].push(f64::from(light[c]));
            }
        }
    }
    seen.map(|mut values| median(&mut values) as f32)
}

/// Gives the light along a ray, by the distance from the middle of the hole.
fn along<'p>(page: &'p Page, hole: &Hole, k: usize) -> impl Fn(f64) -> Option<[f32; 3]> + use<'p> {
    let ((sin, cos), x, y) = (ray(k).sin_cos(), hole.x, hole.y);
    move |radius| page.light_at(x + radius * cos, y + radius * sin)
}

/// The paper in any light from that of the hole to that round about, as roots of light. In any shadow it keeps its colour.
struct PaperLight {
    low: [f32; 3],
    high: [f32; 3],
}

impl PaperLight {
    fn between(one: [f32; 3], other: [f32; 3]) -> Self {
        let root = |v: f32| v.max(0.0).sqrt();
        Self {
            low: std::array::from_fn(|c| root(one[c].min(other[c]))),
            high: std::array::from_fn(|c| root(one[c].max(other[c]))),
        }
    }

    /// Gives how far light lies from it, the greatest of the channels, or from its colour.
    fn apart(&self, light: [f32; 3]) -> f32 {
        let root = light.map(|v| v.max(0.0).sqrt());
        let shade = dot(root, self.high) / dot(self.high, self.high).max(1e-6);
        let channel = |c: usize| {
            let tint = (root[c] - shade * self.high[c]).abs();
            (self.low[c] - root[c])
                .max(root[c] - self.high[c])
                .max(tint)
        };
        channel(0).max(channel(1)).max(channel(2))
    }
}

/// How far each place outside the hole lies from the paper, a little smoothed along the ring; beyond the page nothing is there.
fn smoothed_apart(page: &Page, hole: &Hole, paper: &PaperLight, reach: usize) -> Vec<f32> {
    let mut apart = vec![0.0_f32; COARSE_RAYS * reach];
    for (coarse, row) in apart.chunks_exact_mut(reach).enumerate() {
        let k = coarse * (RAYS / COARSE_RAYS);
        let light = along(page, hole, k);
        for (t, cell) in row.iter_mut().enumerate() {
            if let Some(light) = light(hole.outline[k] + t as f64) {
                *cell = paper.apart(light);
            }
        }
    }
    let mut smooth = vec![0.0_f32; apart.len()];
    for (coarse, row) in smooth.chunks_exact_mut(reach).enumerate() {
        for near in 0..7 {
            let other = (coarse + COARSE_RAYS + near - 3) % COARSE_RAYS;
            let source = &apart[other * reach..][..reach];
            for (cell, value) in row.iter_mut().zip(source) {
                *cell += value / 7.0;
            }
        }
    }
    smooth
}

/// Gives how far a ray stays unlike the paper, where it ends in paper again.
fn dark_run(apart: &[f32], radius: f64) -> Option<f64> {
    let first = 12 + (0.6 * radius) as usize;
    let top = apart.iter().take(first).fold(0.0_f32, |a, &b| a.max(b));
    let threshold = (0.35 * top).max(0.04);
    let start = apart.iter().take(7).position(|&v| v >= threshold)?;
    let length = apart[start..].iter().position(|&v| v < threshold)?;
    Some((start + length) as f64)
}

/// The surroundings of a hole along its rays.
#[derive(Debug)]
pub(super) struct Surroundings {
    /// Radius of the first sample, in points.
    pub(super) first: f64,
    /// In the channels that show the ring best, then, of coloured rings, in what of their colour no shadow can make.
    pub(super) views: Vec<View>,
    /// Root of light of the paper in the hole, in the first view.
    pub(super) paper_root: f32,
    /// Smoothing of slopes along a ray, in samples.
    pub(super) sigma: f64,
    /// Smoothing across rays, in rays.
    pub(super) sigma_rays: f64,
}

/// The samples in one colour, greater outside the ring.
#[derive(Debug)]
pub(super) struct View {
    pub(super) level: Samples,
    /// Root of the level.
    pub(super) root: Samples,
}

impl View {
    /// Makes a view of light that is greater outside the ring where `sign` is positive; `floor` is added below the root.
    fn of(values: Vec<f32>, length: usize, sign: f32, floor: f32) -> Self {
        let seen = Samples { values, length }.with_neighbours();
        Self {
            root: seen.map(|v| sign * (v.max(0.0) + floor).sqrt()),
            level: seen.map(|v| sign * v),
        }
    }
}

/// Less of a colour of its own is grey.
const LEAST_COLOUR: f32 = 0.006;

impl Surroundings {
    pub(super) fn of(page: &Page, hole: &Hole, look: &Look) -> Self {
        let t = look.section;
        let low = hole.outline.iter().copied().fold(f64::MAX, f64::min);
        let high = hole.outline.iter().copied().fold(0.0, f64::max);
        let first = (low - (2.2 * t).min(0.97 * low)).max(0.0);
        let length = (((high + 3.4 * t - first) / STEP) as usize).max(16);
        let (weights, own) = (look.weights(), look.own_colour());
        let own_length = norm(own);
        let coloured = own_length > LEAST_COLOUR;
        let own = own.map(|v| v / own_length.max(1e-6));
        let mut grey = Vec::with_capacity(RAYS * length);
        let mut colour = Vec::with_capacity(if coloured { RAYS * length } else { 0 });
        for k in 0..RAYS {
            let light = along(page, hole, k);
            let mut seen = look.paper;
            for i in 0..length {
                seen = light(first + i as f64 * STEP).unwrap_or(seen);
                grey.push(dot(seen, weights));
                if coloured {
                    colour.push(dot(seen, own));
                }
            }
        }
        let sign = if look.is_darker() { 1.0 } else { -1.0 };
        let mut views = vec![View::of(grey, length, sign, 0.0)];
        if coloured {
            views.push(View::of(colour, length, -1.0, 0.1 * own_length));
        }
        let girth = TAU * (hole.radius + t / 2.0).max(1.0);
        Self {
            first,
            views,
            paper_root: dot(look.paper, weights).max(0.0).sqrt(),
            sigma: (1.2 / STEP).max(0.035 * t / STEP),
            sigma_rays: (0.12 * t / girth * RAYS as f64).max(3.0),
        }
    }
}
