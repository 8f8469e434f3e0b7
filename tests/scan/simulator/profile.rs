//! What a pixel sees across an edge, as a table over the distance from the edge and the direction in which it looks.

use super::light::{Light, Shine, length};
use super::random::ease;
use super::tube::Tube;
use std::f64::consts::{PI, TAU};

/// Directions in a table.
const AROUND: usize = 48;
/// Skin samples from the lowest line to this angle on both sides (beyond the equator, for slanting rays).
const SKIN: usize = 40;
const SKIN_LIMIT: f64 = 2.1;
/// Room for the pixel's own width at the end of a table, mm.
const SPARE: f64 = 0.3;
/// Cells of a cone where an edge passes through it, and where none does.
const FINE: u32 = 40;
const COARSE: u32 = 6;
/// Places on the cone's chords: the two of three Gauss points that differ, with their weights.
const CHORD: [[f64; 2]; 2] = [[0.0, 8.0 / 18.0], [0.774_596_669, 10.0 / 18.0]];

/// What one thing adds to a pixel.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Sample {
    /// Share of the pixel's rays that end on the thing.
    pub(crate) cover: f32,
    /// Diffuse light of these, for a thing of albedo 1.
    pub(crate) diffuse: f32,
    pub(crate) gloss: f32,
    /// Light on the paper where the other rays end, times their share; open paper has 1.
    pub(crate) paper: f32,
}

impl Sample {
    /// Nothing but open paper.
    const OPEN: Self = Self {
        cover: 0.0,
        diffuse: 0.0,
        gloss: 0.0,
        paper: 1.0,
    };

    fn blend(self, other: Self, share: f32) -> Self {
        let mix = |a: f32, b: f32| a + (b - a) * share;
        Self {
            cover: mix(self.cover, other.cover),
            diffuse: mix(self.diffuse, other.diffuse),
            gloss: mix(self.gloss, other.gloss),
            paper: mix(self.paper, other.paper),
        }
    }

    pub(crate) fn add(&mut self, other: Self, weight: f32) {
        self.cover += other.cover * weight;
        self.diffuse += other.diffuse * weight;
        self.gloss += other.gloss * weight;
        self.paper += other.paper * weight;
    }
}

/// How the sensor looks: from which slopes, and how wide a pixel is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct View {
    pub(crate) cone: f64,
    /// Slope in x of the middle ray.
    pub(crate) slope: f64,
    /// Width of a pixel in mm.
    pub(crate) pixel: f64,
    /// SD of the blur in mm.
    pub(crate) blur: f64,
}

/// The paper over a thing and the light that it throws back down.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cover {
    pub(crate) height: f64,
    /// Light from the paper on a surface that looks straight up.
    pub(crate) bounce: f64,
    /// Whether there is any paper for shadows to fall on.
    pub(crate) catches: bool,
}

/// A table over `across` (distance from the edge or the centre line, mm) and direction.
pub(crate) struct Profile {
    first: f64,
    step: f64,
    across: usize,
    cells: Vec<Sample>,
}

impl Profile {
    /// The last distance that the table reaches.
    pub(crate) fn reach(&self) -> f64 {
        self.first + self.step * (self.across - 1) as f64
    }

    pub(crate) fn at(&self, across: f64, around: f64) -> Sample {
        let place = (across - self.first) / self.step;
        if place >= (self.across - 1) as f64 {
            return Sample::OPEN;
        }
        let place = place.max(0.0);
        let row = place as usize;
        let along = (place - row as f64) as f32;
        let columns = Columns::about(around);
        let edge = |column: usize| {
            let base = column * self.across + row;
            self.cells[base].blend(self.cells[base + 1], along)
        };
        edge(columns.low).blend(edge(columns.high), columns.share as f32)
    }

    /// The table of a tube. Distances run from the middle of its section, at the height of that middle.
    pub(crate) fn of_tube(lit: &Lit, view: &View) -> Self {
        let (tube, inward, outward) = (&lit.tube, lit.inward, lit.outward);
        let step = (tube.half_width / 24.0).min(view.pixel / 3.0);
        let across = ((inward + outward) / step).ceil() as usize + 1;
        let mut cells = Vec::with_capacity(across * AROUND);
        for column in 0..AROUND {
            let around = column as f64 / AROUND as f64 * TAU;
            let looks = Look {
                tube,
                skin: &lit.skin,
                shade: &lit.shade,
                rise: lit.height - tube.middle,
                rays: Rays::of(view, around, if view.cone > 0.05 { FINE } else { COARSE }),
                coarse: Rays::of(view, around, COARSE),
                around,
            };
            let line: Vec<Sample> = (0..across)
                .map(|row| looks.sees(row as f64 * step - inward))
                .collect();
            cells.extend(smooth(&line, step, view));
        }
        Self {
            first: -inward,
            step,
            across,
            cells,
        }
    }

    /// The table of the edge of a plate `thick` mm high that lies on the glass; distances run outwards from the edge. Its
    /// shadow depends on its whole outline and is no part of the table.
    pub(crate) fn of_plate(thick: f64, view: &View, cover: &Cover, light: &Light) -> Self {
        let outward = 2.5 * cover.height + view.pixel * 4.0;
        let inward = view.pixel * 4.0;
        let step = (view.pixel / 3.0).min(0.04);
        let across = ((inward + outward) / step).ceil() as usize + 1;
        let mut cells = Vec::with_capacity(across * AROUND);
        for column in 0..AROUND {
            let around = column as f64 / AROUND as f64 * TAU;
            let plate = Plate {
                thick,
                face: light.on_surface(&[0.0, 0.0, -1.0], 0.0, |_| false),
                wall: light.on_surface(&[around.cos(), around.sin(), 0.0], cover.bounce, |_| false),
                rays: Rays::of(view, around, FINE),
            };
            let line: Vec<Sample> = (0..across)
                .map(|row| plate.sees(row as f64 * step - inward))
                .collect();
            cells.extend(smooth(&line, step, view));
        }
        Self {
            first: -inward,
            step,
            across,
            cells,
        }
    }
}

/// A tube under its light: what does not depend on how the sensor looks.
pub(crate) struct Lit {
    tube: Tube,
    skin: Skin,
    shade: Shade,
    /// Height of the paper.
    height: f64,
    /// How far the tables reach to both sides of the section's middle.
    inward: f64,
    outward: f64,
}

impl Lit {
    pub(crate) fn of(tube: Tube, cover: &Cover, light: &Light) -> Self {
        let outward = tube.half_width + 2.5 * cover.height + SPARE;
        let inward = outward.min(tube.radius);
        Self {
            skin: Skin::of(&tube, cover, light),
            shade: Shade::of(&tube, cover, light, inward, outward),
            height: cover.height,
            tube,
            inward,
            outward,
        }
    }
}

/// The cone of rays of one pixel, cut into cells of equal slope along the section's plane.
struct Rays {
    /// Slope and weight of each cell, and half the chord across it.
    cells: Vec<[f64; 3]>,
    width: f64,
    /// Slope of the middle ray along the edge.
    sideways: f64,
}

impl Rays {
    fn of(view: &View, around: f64, count: u32) -> Self {
        let width = 2.0 * view.cone / f64::from(count);
        let chords: Vec<[f64; 2]> = (0..count)
            .map(|index| {
                let slope = (f64::from(index) + 0.5) * width - view.cone;
                [
                    slope,
                    (view.cone * view.cone - slope * slope).max(0.0).sqrt(),
                ]
            })
            .collect();
        let sum: f64 = chords.iter().map(|chord| chord[1]).sum();
        Self {
            cells: chords
                .iter()
                .map(|chord| {
                    [
                        view.slope * around.cos() + chord[0],
                        chord[1] / sum,
                        chord[1],
                    ]
                })
                .collect(),
            width,
            sideways: view.slope * around.sin(),
        }
    }

    fn middle(&self) -> f64 {
        0.5 * (self.cells[0][0] + self.cells[self.cells.len() - 1][0])
    }
}

/// One cell of the cone: its slope in the section's plane in all and off the middle ray, and its slope across.
struct Ray {
    slope: f64,
    spread: f64,
    aside: f64,
}

/// The two columns of a table about a direction, and the share of the second.
struct Columns {
    low: usize,
    high: usize,
    share: f64,
}

impl Columns {
    fn about(around: f64) -> Self {
        let turn = around / TAU;
        let turn = (turn - turn.floor()) * AROUND as f64;
        let low = turn as usize % AROUND;
        Self {
            low,
            high: (low + 1) % AROUND,
            share: turn.fract(),
        }
    }
}

/// The light sent down by the skin of a tube, over the angle from its lowest line and direction.
struct Skin(Vec<Shine>);

impl Skin {
    fn of(tube: &Tube, cover: &Cover, light: &Light) -> Self {
        let mut table = Vec::with_capacity(AROUND * (SKIN + 1));
        for column in 0..AROUND {
            let around = column as f64 / AROUND as f64 * TAU;
            for row in 0..=SKIN {
                let turn = (row as f64 / SKIN as f64 * 2.0 - 1.0) * SKIN_LIMIT;
                table.push(tube.lit(turn, around, cover.bounce, light));
            }
        }
        Self(table)
    }

    fn at(&self, turn: f64, column: usize) -> Shine {
        let place = ((turn / SKIN_LIMIT + 1.0) * 0.5).clamp(0.0, 0.999_999) * SKIN as f64;
        let (row, share) = (place as usize, place.fract());
        let base = column * (SKIN + 1) + row;
        let (low, high) = (self.0[base], self.0[base + 1]);
        Shine {
            diffuse: low.diffuse + (high.diffuse - low.diffuse) * share,
            gloss: low.gloss + (high.gloss - low.gloss) * share,
        }
    }
}

/// The light on the paper beside a tube, over the distance from the middle of the section and direction.
struct Shade {
    first: f64,
    step: f64,
    across: usize,
    cells: Vec<f64>,
}

impl Shade {
    fn of(tube: &Tube, cover: &Cover, light: &Light, inward: f64, outward: f64) -> Self {
        let step = tube.half_width / 10.0;
        let across = ((inward + outward) / step).ceil() as usize + 1;
        let mut cells = vec![1.0; across * AROUND];
        if cover.catches {
            // The lamp is even along x, so that what lies to the left mirrors what lies to the right.
            for column in 0..=AROUND / 2 {
                let around = column as f64 / AROUND as f64 * TAU - PI / 2.0;
                let mirrored = (AROUND - column) % AROUND;
                for row in 0..across {
                    let off = row as f64 * step - inward;
                    let lit = tube.shade(tube.radius + off, around, cover.height, light);
                    // The far tail is let down to open paper, so that the table ends without a step.
                    let tail = ease((outward - off) / (0.3 * outward));
                    let value = 1.0 - (1.0 - lit) * tail;
                    cells[Self::turned(column) * across + row] = value;
                    cells[Self::turned(mirrored) * across + row] = value;
                }
            }
        }
        Self {
            first: -inward,
            step,
            across,
            cells,
        }
    }

    /// Columns above count from the side of least y; the table counts from the x axis.
    fn turned(column: usize) -> usize {
        (column + AROUND - AROUND / 4) % AROUND
    }

    fn at(&self, off: f64, columns: &Columns) -> f64 {
        let place = ((off - self.first) / self.step).clamp(0.0, (self.across - 1) as f64 - 1e-9);
        let row = place as usize;
        let along = place - row as f64;
        let edge = |column: usize| {
            let base = column * self.across + row;
            self.cells[base] + (self.cells[base + 1] - self.cells[base]) * along
        };
        let low = edge(columns.low);
        low + (edge(columns.high) - low) * columns.share
    }
}

/// One direction of a tube's table in the making.
struct Look<'a> {
    tube: &'a Tube,
    skin: &'a Skin,
    shade: &'a Shade,
    /// From the section's middle up to the paper.
    rise: f64,
    rays: Rays,
    coarse: Rays,
    around: f64,
}

impl Look<'_> {
    /// What a pixel sees whose middle ray passes the section's middle `off` mm away.
    fn sees(&self, off: f64) -> Sample {
        let cone = 0.5 * self.rays.width * self.rays.cells.len() as f64;
        let far = (off.abs() - self.tube.half_width).abs()
            > 1.3 * cone * self.tube.middle + 0.05 * self.tube.half_width;
        let rays = if far { &self.coarse } else { &self.rays };
        let from = (self.tube.radius + off).max(1e-6);
        // Where the middle ray meets the paper the ring is seen in another direction.
        let turn = if rays.sideways == 0.0 {
            0.0
        } else {
            (rays.sideways * self.rise).atan2(from + rays.middle() * self.rise)
        };
        let columns = Columns::about(self.around + turn);
        let mut sum = Sample::default();
        for &[slope, weight, chord] in &rays.cells {
            for [node, share] in CHORD {
                let ray = Ray {
                    slope,
                    spread: slope - rays.middle(),
                    aside: chord * node,
                };
                sum.add(self.ray(off, rays, &ray, &columns), (weight * share) as f32);
            }
        }
        sum
    }

    fn ray(&self, off: f64, rays: &Rays, ray: &Ray, columns: &Columns) -> Sample {
        let tube = self.tube;
        let from = (tube.radius + off).max(1e-6);
        // The cone opens from the glass, so that at the section's middle this ray is aside by so much.
        let bend = (ray.aside * tube.middle).powi(2) / (2.0 * from.max(tube.half_width));
        let place = (off + ray.spread * tube.middle + bend) / tube.half_width;
        let tilt = ray.slope * tube.half_height / tube.half_width;
        let norm = 1.0 + tilt * tilt;
        let margin = (1.0 - place.abs() / norm.sqrt()) * tube.half_width;
        let cover = (margin / (tube.middle * rays.width) + 0.5).clamp(0.0, 1.0);
        let mut sample = Sample::default();
        if cover > 0.0 {
            let shine = self.skin_at(place, tilt);
            sample.cover = cover as f32;
            sample.diffuse = (shine.diffuse * cover) as f32;
            sample.gloss = (shine.gloss * cover) as f32;
        }
        if cover < 1.0 {
            let along = from + ray.spread * tube.middle + ray.slope * self.rise;
            let sideways = rays.sideways * self.rise + ray.aside * (tube.middle + self.rise);
            let light = self
                .shade
                .at(length(along, sideways) - tube.radius, columns);
            sample.paper = (light * (1.0 - cover)) as f32;
        }
        sample
    }

    /// The lower of the two places where the ray meets the section, in units of the section's half axes.
    fn skin_at(&self, place: f64, tilt: f64) -> Shine {
        let norm = 1.0 + tilt * tilt;
        let root = (norm - place * place).max(0.0).sqrt();
        let z = (-tilt * place - root) / norm;
        let x = place + tilt * z;
        let column = (self.around / TAU * AROUND as f64).round() as usize % AROUND;
        self.skin.at(x.atan2(-z), column)
    }
}

/// One direction of a plate's table in the making.
struct Plate {
    thick: f64,
    face: Shine,
    wall: Shine,
    rays: Rays,
}

impl Plate {
    fn sees(&self, off: f64) -> Sample {
        if off <= 0.0 {
            return Sample {
                cover: 1.0,
                diffuse: self.face.diffuse as f32,
                gloss: self.face.gloss as f32,
                paper: 0.0,
            };
        }
        let mut sum = Sample::default();
        for &[slope, weight, _] in &self.rays.cells {
            let margin = -(off + slope * self.thick);
            let cover = (margin / (self.thick * self.rays.width) + 0.5).clamp(0.0, 1.0);
            let one = Sample {
                cover: cover as f32,
                diffuse: (self.wall.diffuse * cover) as f32,
                gloss: 0.0,
                paper: (1.0 - cover) as f32,
            };
            sum.add(one, weight as f32);
        }
        sum
    }
}

/// The line seen through the pixel's area and the blur.
fn smooth(line: &[Sample], step: f64, view: &View) -> Vec<Sample> {
    let half = ((view.pixel * 0.5 + 3.0 * view.blur) / step).ceil() as i32;
    let kernel: Vec<f64> = (-half..=half)
        .map(|place| {
            let off = f64::from(place) * step;
            (0..16)
                .map(|part| (f64::from(part) + 0.5) / 16.0 - 0.5)
                .map(|part| (off - part * view.pixel) / view.blur)
                .map(|z| (-0.5 * z * z).exp())
                .sum()
        })
        .collect();
    let sum: f64 = kernel.iter().sum();
    let last = i32::try_from(line.len()).expect("tables have some thousand places") - 1;
    (0..=last)
        .map(|row| {
            let mut mean = Sample::default();
            for (place, weight) in (row - half..=row + half).zip(&kernel) {
                let place = place.clamp(0, last) as usize;
                mean.add(line[place], (weight / sum) as f32);
            }
            mean
        })
        .collect()
}
