//! What lies on the glass and over it, and the scan that comes of it.

use super::picture::Scan;
use super::random::Draws;
use super::render::render;
use super::ring::Ring;
use super::scanner::Scanner;
use super::thing::Thing;
use super::truth::Truth;

/// What is over the rings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Backing {
    /// A sheet that lies on them, by its albedo.
    Paper([f64; 3]),
    /// The lid's black foam or plastic instead of a sheet.
    BlackLid,
    /// Nothing but a dim room.
    Open,
}

pub(crate) const WHITE: Backing = Backing::Paper([0.84, 0.84, 0.82]);
pub(crate) const CREAM: Backing = Backing::Paper([0.82, 0.76, 0.60]);
pub(crate) const YELLOW: Backing = Backing::Paper([0.80, 0.66, 0.07]);

impl Backing {
    pub(crate) fn albedo(self) -> [f64; 3] {
        match self {
            Backing::Paper(albedo) => albedo,
            Backing::BlackLid => [0.035; 3],
            Backing::Open => [0.006; 3],
        }
    }

    pub(crate) fn is_open(self) -> bool {
        self == Backing::Open
    }
}

/// How far paper sags for each mm of way from what holds it up.
const SAG: f64 = 0.15;
/// Height of a lid or a sheet over nothing but dust.
const LEAST_HEIGHT: f64 = 0.15;

/// A bed with all that lies on it. Lengths in mm, from the top left corner of the page, y down the page.
#[derive(Clone, Debug)]
pub(crate) struct Bed {
    pub(crate) scanner: Scanner,
    pub(crate) seed: u64,
    pub(crate) size: [f64; 2],
    pub(crate) backing: Backing,
    pub(crate) rings: Vec<Ring>,
    pub(crate) things: Vec<Thing>,
    /// Specks of dust on the glass.
    pub(crate) dust: usize,
}

impl Bed {
    /// An empty A4 bed under white paper.
    pub(crate) fn new(scanner: Scanner, seed: u64) -> Self {
        Self {
            scanner,
            seed,
            size: [210.0, 297.0],
            backing: WHITE,
            rings: Vec::new(),
            things: Vec::new(),
            dust: 0,
        }
    }

    pub(crate) fn size(mut self, width: f64, height: f64) -> Self {
        self.size = [width, height];
        self
    }

    pub(crate) fn under(mut self, backing: Backing) -> Self {
        self.backing = backing;
        self
    }

    pub(crate) fn ring(mut self, ring: Ring) -> Self {
        self.rings.push(ring);
        self
    }

    pub(crate) fn thing(mut self, thing: Thing) -> Self {
        self.things.push(thing);
        self
    }

    /// Scans it: light, optics, sensor, file. The same bed gives the same scan with any number of threads.
    pub(crate) fn scan(self) -> Scan {
        let pixels = render(&self);
        Scan::of(pixels, Truth { bed: self })
    }

    /// x of the lens's middle: the middle of the bed.
    pub(crate) fn lens_middle(&self) -> f64 {
        0.5 * self.size[0]
    }

    /// Height of the paper at a place: the highest of what hangs from all that holds it up.
    pub(crate) fn paper_height(&self, centre: [f64; 2], own: f64) -> f64 {
        let hang = |top: f64, bound: f64, at: [f64; 2]| {
            let gap = ((centre[0] - at[0]).hypot(centre[1] - at[1]) - bound).max(0.0);
            top - SAG * gap
        };
        let rings = self
            .rings
            .iter()
            .map(|ring| hang(ring.top(), ring.bound(), ring.centre));
        let things = self
            .things
            .iter()
            .map(|thing| hang(thing.thick, thing.bound(), thing.centre));
        rings.chain(things).fold(own.max(LEAST_HEIGHT), f64::max)
    }

    /// Specks: x, y, radius, darkness.
    pub(crate) fn specks(&self) -> Vec<[f64; 4]> {
        let mut draws = Draws::new(self.seed ^ 0xd057);
        (0..self.dust)
            .map(|_| {
                [
                    draws.uniform() * self.size[0],
                    draws.uniform() * self.size[1],
                    draws.between(0.03, 0.12),
                    draws.between(0.3, 0.8),
                ]
            })
            .collect()
    }
}
