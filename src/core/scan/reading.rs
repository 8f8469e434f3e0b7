//! All rings of a page.

use super::ground::{Apart, Distance, Ground};
use super::hole::{Hole, holes};
use super::lens::lens;
use super::page::Page;
use super::polar::{Look, NoRing};
use super::ring::ScannedRing;
use super::scale::Scale;
use super::trace::{Traced, trace};
use crate::core::quantity::{Length, as_mm};
use std::panic::resume_unwind;

/// What a page shows.
#[derive(Debug, Clone)]
pub struct PageReading {
    /// Its rings, from the top down and from the left.
    pub rings: Vec<ScannedRing>,
    /// Places with a hole that are no ring that can be measured.
    pub refused: Vec<RefusedPlace>,
    /// The scale that was used, with the lens where the rings show one.
    pub scale: Scale,
}

/// A place that was not measured.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct RefusedPlace {
    /// From the left edge of the page.
    #[serde(rename = "x_mm", serialize_with = "as_mm")]
    pub x: Length,
    /// From the upper edge.
    #[serde(rename = "y_mm", serialize_with = "as_mm")]
    pub y: Length,
    pub why: NoRing,
}

/// Says why a page cannot be measured at all.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[serde(rename_all = "snake_case", tag = "why")]
pub enum PageRefusal {
    /// Its file states no resolution.
    NoScale,
    /// The resolution is too coarse, or that of a screen.
    TooCoarse { dpi: f64 },
    /// What lies behind the rings is dark: the lid was open or is black. The edge that faces away from the lamp is unlit then,
    /// and rings read up to half a millimetre too thin.
    DarkGround,
    /// Rings are as light as the paper.
    LikeThePaper,
    /// What lies there is cut through or open.
    Open,
    /// Nothing encloses a hole.
    NoRings,
}

/// What is behind the rings must be lighter than this, white as 1: a black lid has 0.03, blue paper 0.6 in its blue.
const LEAST_GROUND: f32 = 0.12;
/// Holes are looked for at about this resolution, dots an inch.
const FINDING_DPI: f64 = 300.0;
/// A refused place is told of where its hole is at least this wide, mm; smaller ones are specks.
const LEAST_TOLD_MM: f64 = 1.5;

/// A ring with the trace from which it was measured.
struct Found {
    hole: Hole,
    traced: Traced,
    ring: ScannedRing,
}

/// Measures all rings of a page, by so many threads; the answer is the same with any number.
///
/// # Errors
/// Says why nothing on the page can be measured.
pub fn read_page(page: &Page, scale: &Scale, threads: usize) -> Result<PageReading, PageRefusal> {
    read_kinds(page, scale, threads, Kinds::Rubber)
}

/// Names what is looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kinds {
    /// Rings of rubber; metal and what is as pale as the paper is refused.
    Rubber,
    AnyRing,
}

pub(super) fn read_kinds(
    page: &Page,
    scale: &Scale,
    threads: usize,
    kinds: Kinds,
) -> Result<PageReading, PageRefusal> {
    let factor = (scale.across.dpi() / FINDING_DPI).round().max(1.0) as usize;
    let (ground, distances) = {
        let shrunk = (factor > 1).then(|| page.shrunk(factor));
        let small = shrunk.as_ref().unwrap_or(page);
        let ground = Ground::of(small);
        if ground.brightness() < LEAST_GROUND {
            return Err(PageRefusal::DarkGround);
        }
        let distances =
            [Apart::Light, Apart::Colour].map(|apart| Distance::of(small, &ground, apart));
        (ground, distances)
    };
    let mut search = Search {
        page,
        ground: &ground,
        scale,
        threads,
        kinds,
        found: Vec::new(),
        tried: Vec::new(),
        refused: Vec::new(),
    };
    let pitch = scale.mean_mm() * factor as f64;
    for distance in &distances {
        for &level in &distance.levels {
            search.at(holes(distance, level, pitch, factor));
        }
    }
    search.reading()
}

struct Search<'p> {
    page: &'p Page,
    ground: &'p Ground,
    scale: &'p Scale,
    threads: usize,
    kinds: Kinds,
    found: Vec<Found>,
    tried: Vec<Hole>,
    refused: Vec<(Hole, NoRing)>,
}

impl Search<'_> {
    /// Measures the holes of one threshold; a place that gave a clear ring is not tried again.
    fn at(&mut self, holes: Vec<Hole>) {
        let mut new: Vec<Hole> = Vec::new();
        for hole in holes {
            let is_known = self
                .tried
                .iter()
                .chain(&new)
                .any(|tried| hole.is_like(tried));
            if !is_known && !self.found.iter().any(|found| self.covers(found, &hole)) {
                new.push(hole);
            }
        }
        let measured = self.measured(&new);
        for (hole, result) in new.iter().zip(measured) {
            match result {
                Ok(found) => self.found.push(found),
                Err(why) => self.refused.push((hole.clone(), why)),
            }
        }
        self.tried.append(&mut new);
    }

    fn covers(&self, found: &Found, hole: &Hole) -> bool {
        let pitch = self.scale.mean_mm();
        let ring = &found.ring;
        let (id, od) = (ring.id.value.mm(), ring.od.value.mm());
        let wide = 2.0 * hole.radius * pitch;
        (ring.x - hole.x).hypot(ring.y - hole.y) * pitch < 0.3 * id
            && wide > 0.6 * id
            && wide < 1.05 * od
    }

    fn measured(&self, holes: &[Hole]) -> Vec<Result<Found, NoRing>> {
        let threads = self.threads.clamp(1, holes.len().max(1));
        let every = |first: usize| {
            let own = holes.iter().enumerate().skip(first).step_by(threads);
            own.map(|(at, hole)| (at, self.measure(hole)))
                .collect::<Vec<_>>()
        };
        let mut results = std::thread::scope(|scope| {
            let others: Vec<_> = (1..threads)
                .map(|first| scope.spawn(move || every(first)))
                .collect();
            let mut results = every(0);
            for other in others {
                // What stops a thread stops the measuring: no ring is left out in silence.
                results.extend(other.join().unwrap_or_else(|fault| resume_unwind(fault)));
            }
            results
        });
        results.sort_by_key(|(at, _)| *at);
        results.into_iter().map(|(_, result)| result).collect()
    }

    fn measure(&self, hole: &Hole) -> Result<Found, NoRing> {
        let pitch = self.scale.mean_mm();
        let part = |at: f64, size: usize| at / size as f64;
        let (across, down) = (
            part(hole.x, self.page.width()),
            part(hole.y, self.page.height()),
        );
        let look = Look::at(self.page, hole, self.ground.light_at(across, down), pitch)?;
        if self.kinds == Kinds::Rubber && look.is_like_paper() {
            return Err(NoRing::LikeThePaper);
        }
        trace(self.page, hole, look, pitch, |traced| {
            let ring = ScannedRing::of(&traced, self.scale)?;
            if self.kinds == Kinds::Rubber && ring.is_metal(&traced) {
                return Err(NoRing::Metal);
            }
            let score = ring.score;
            let hole = hole.clone();
            Ok((Found { hole, traced, ring }, score))
        })
    }

    /// Keeps the best ring of each place, and measures again where the rings show a lens.
    fn reading(mut self) -> Result<PageReading, PageRefusal> {
        self.found
            .sort_by(|a, b| a.ring.score.total_cmp(&b.ring.score));
        let mut kept: Vec<Found> = Vec::new();
        for found in std::mem::take(&mut self.found) {
            let is_same = |k: &Found| k.ring.is_same_place(&found.ring, self.scale);
            if !kept.iter().any(is_same) {
                kept.push(found);
            }
        }
        if self.kinds == Kinds::Rubber {
            let open = open(&kept, self.scale);
            let mut at = 0;
            let left = kept.extract_if(.., |_| {
                at += 1;
                open[at - 1]
            });
            let left = left.map(|found| (found.hole, NoRing::Open));
            self.refused.splice(0..0, left);
        }
        let mut scale = *self.scale;
        let rings: Vec<ScannedRing> = kept.iter().map(|found| found.ring.clone()).collect();
        scale.lens = scale
            .lens
            .or_else(|| lens(&rings, &scale, self.page.width()));
        let mut rings = if scale.lens == self.scale.lens {
            rings
        } else {
            let again = kept
                .iter()
                .map(|found| ScannedRing::of(&found.traced, &scale));
            again.filter_map(Result::ok).collect()
        };
        rings.sort_by(|a, b| a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x)));
        let refused = refused_places(&self.refused, &rings, &scale);
        if rings.is_empty() {
            let any = |why| refused.iter().any(|place| place.why == why);
            return Err(if any(NoRing::Open) {
                PageRefusal::Open
            } else if any(NoRing::LikeThePaper) {
                PageRefusal::LikeThePaper
            } else {
                PageRefusal::NoRings
            });
        }
        Ok(PageReading {
            rings,
            refused,
            scale,
        })
    }
}

/// Tells of each ring whether it is open.
fn open(kept: &[Found], scale: &Scale) -> Vec<bool> {
    let others = |at: usize| {
        let rings = kept
            .iter()
            .enumerate()
            .filter(move |(other, _)| *other != at);
        rings.map(|(_, found)| &found.ring).collect::<Vec<_>>()
    };
    let rings = kept.iter().enumerate();
    rings
        .map(|(at, found)| found.ring.is_open(&others(at), scale))
        .collect()
}

/// Gives the places where no ring was measured in the end, each once, what it was refused for first.
fn refused_places(
    refused: &[(Hole, NoRing)],
    rings: &[ScannedRing],
    scale: &Scale,
) -> Vec<RefusedPlace> {
    let pitch = scale.mean_mm();
    let mut told: Vec<(&Hole, NoRing)> = Vec::new();
    for (hole, why) in refused {
        let near = |x: f64, y: f64, reach: f64| (hole.x - x).hypot(hole.y - y) < reach;
        let of_ring = |ring: &ScannedRing| near(ring.x, ring.y, ring.od.value.mm() / pitch / 2.0);
        let is_told = told.iter().any(|(one, _)| near(one.x, one.y, one.radius));
        let is_speck = 2.0 * hole.radius * pitch < LEAST_TOLD_MM;
        if !is_speck && !is_told && !rings.iter().any(of_ring) {
            told.push((hole, *why));
        }
    }
    told.sort_by(|(a, _), (b, _)| a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x)));
    let places = told.into_iter().map(|(hole, why)| RefusedPlace {
        x: scale.across.place(hole.x),
        y: scale.down.place(hole.y),
        why,
    });
    places.collect()
}
