//! One thing on the bed made ready for pixels: its tables, its outline, where it can matter.

use super::bed::{Backing, Bed};
use super::light::Light;
use super::profile::{Cover, Lit, Profile, Sample, View};
use super::ring::{Outline, Ring};
use super::scanner::Optics;
use super::shadow::Shadow;
use super::thing::Thing;
use super::tube::Tube;

/// Slopes in x between two tables at most (a lens sees a wide ring under many).
const SLOPE_STEP: f64 = 0.05;
/// A wire counts as straight: a tube so many times wider than its section.
const STRAIGHT: f64 = 150.0;

/// What a piece sends to a pixel.
pub(crate) struct Seen {
    pub(crate) sample: Sample,
    /// Light of the piece itself in red, green and blue.
    pub(crate) light: [f32; 3],
}

/// Tables over the slope of the ray and the height over the glass.
struct Stack {
    slopes: [f64; 2],
    slope_count: usize,
    rise: f64,
    rise_count: usize,
    profiles: Vec<Profile>,
}

impl Stack {
    fn at(&self, slope: f64, rise: f64, across: f64, around: f64) -> Sample {
        let place = |value: f64, low: f64, high: f64, count: usize| {
            let part = if high > low {
                (value - low) / (high - low)
            } else {
                0.0
            };
            let part = part.clamp(0.0, 1.0) * (count - 1) as f64;
            let node = (part as usize).min(count.saturating_sub(2));
            (node, part - node as f64)
        };
        let (slope_node, slope_share) =
            place(slope, self.slopes[0], self.slopes[1], self.slope_count);
        let (rise_node, rise_share) = place(rise, 0.0, self.rise, self.rise_count);
        let mut sum = Sample::default();
        for (slope_side, slope_weight) in [(0, 1.0 - slope_share), (1, slope_share)] {
            for (rise_side, rise_weight) in [(0, 1.0 - rise_share), (1, rise_share)] {
                let weight = slope_weight * rise_weight;
                if weight <= 0.0 {
                    continue;
                }
                let node = (rise_node + rise_side) * self.slope_count + slope_node + slope_side;
                sum.add(self.profiles[node].at(across, around), weight as f32);
            }
        }
        sum
    }

    fn reach(&self) -> f64 {
        self.profiles.iter().map(Profile::reach).fold(0.0, f64::max)
    }
}

enum Shape {
    Ring {
        ring: Ring,
        outline: Outline,
    },
    Thing {
        thing: Thing,
        shadow: Option<Shadow>,
        paper: f64,
    },
}

/// A ring or a thing with all its tables.
pub(crate) struct Piece {
    shape: Shape,
    stack: Stack,
    albedo: [f64; 3],
    gloss: f64,
    seed: u64,
    pixel: f64,
    centre: [f64; 2],
    /// Nearest and farthest distance from the centre at which it matters.
    nearest: f64,
    pub(crate) farthest: f64,
    /// Whether it lies on others rather than on the glass.
    pub(crate) lifted: bool,
}

/// What a piece needs of the page for its tables.
pub(crate) struct Workshop<'a> {
    pub(crate) bed: &'a Bed,
    pub(crate) light: &'a Light,
}

impl Workshop<'_> {
    fn view(&self, slope: f64) -> View {
        let scanner = &self.bed.scanner;
        let pixel = scanner.pixel() * 0.5 * (scanner.scale[0] + scanner.scale[1]);
        View {
            cone: scanner.cone(),
            slope,
            pixel,
            blur: pixel * scanner.blur.max(0.05),
        }
    }

    fn cover(&self, height: f64) -> Cover {
        let albedo = self.bed.backing.albedo();
        let mean = (albedo[0] + albedo[1] + albedo[2]) / 3.0;
        Cover {
            height,
            // Half of what the paper gives back comes down again where the thing's own shadow lies on it.
            bounce: 0.5 * mean,
            catches: self.bed.backing != Backing::Open,
        }
    }

    /// Least and greatest slope over a stretch of x, and how many tables are wanted.
    fn slopes(&self, centre: f64, bound: f64) -> ([f64; 2], usize) {
        let scanner = &self.bed.scanner;
        if matches!(scanner.optics, Optics::Cis { .. }) {
            return ([0.0; 2], 1);
        }
        let off = centre - self.bed.lens_middle();
        let ends = [scanner.slope(off - bound), scanner.slope(off + bound)];
        let steps = ((ends[1] - ends[0]) / SLOPE_STEP).ceil() as usize;
        (ends, steps.max(1) + 1)
    }

    /// `at_rise` lights a piece at a height; what it gives makes the table of a view.
    fn stack<Make: Fn(&View) -> Profile>(
        &self,
        centre: f64,
        bound: f64,
        rise: f64,
        at_rise: impl Fn(f64) -> Make,
    ) -> Stack {
        let (slopes, slope_count) = self.slopes(centre, bound);
        let rise_count = if rise > 0.0 { 4 } else { 1 };
        let part = |index: usize, count: usize| {
            if count > 1 {
                index as f64 / (count - 1) as f64
            } else {
                0.0
            }
        };
        let mut profiles = Vec::new();
        for level in 0..rise_count {
            let make = at_rise(rise * part(level, rise_count));
            for node in 0..slope_count {
                let slope = slopes[0] + (slopes[1] - slopes[0]) * part(node, slope_count);
                profiles.push(make(&self.view(slope)));
            }
        }
        Stack {
            slopes,
            slope_count,
            rise,
            rise_count,
            profiles,
        }
    }

    pub(crate) fn ring(&self, ring: &Ring, seed: u64) -> Piece {
        let outline = Outline::of(ring, seed);
        let paper = ring
            .paper
            .unwrap_or_else(|| self.bed.paper_height(ring.centre, ring.top()));
        let stack = self.stack(
            ring.centre[0],
            ring.bound() + 3.0 * paper,
            ring.rise,
            |rise| {
                let tube = Tube {
                    radius: 0.5 * (ring.inside + ring.width),
                    half_width: 0.5 * ring.width,
                    half_height: 0.5 * ring.height,
                    middle: 0.5 * ring.height + rise,
                };
                let lit = Lit::of(tube, &self.cover(paper), self.light);
                move |view| Profile::of_tube(&lit, view)
            },
        );
        let [least, greatest] = outline.span();
        Piece {
            nearest: (least - stack.reach()).max(0.0),
            farthest: greatest + stack.reach(),
            albedo: ring.rubber.albedo(),
            gloss: 0.03,
            lifted: ring.rise > 0.0,
            shape: Shape::Ring {
                ring: ring.clone(),
                outline,
            },
            centre: ring.centre,
            stack,
            seed,
            pixel: self.bed.scanner.pixel(),
        }
    }

    pub(crate) fn thing(&self, thing: &Thing, seed: u64) -> Piece {
        let paper = self.bed.paper_height(thing.centre, thing.thick);
        let half = 0.5 * thing.thick;
        let stack = self.stack(thing.centre[0], thing.bound() + 3.0 * paper, 0.0, |_| {
            let tube = Tube {
                radius: STRAIGHT * half,
                half_width: half,
                half_height: half,
                middle: half,
            };
            let cover = self.cover(paper);
            let lit = thing.is_wire().then(|| Lit::of(tube, &cover, self.light));
            move |view| match &lit {
                Some(lit) => Profile::of_tube(lit, view),
                None => Profile::of_plate(thing.thick, view, &cover, self.light),
            }
        });
        Piece {
            nearest: 0.0,
            farthest: thing.bound() + stack.reach(),
            albedo: thing.albedo,
            gloss: thing.gloss,
            lifted: false,
            shape: Shape::Thing {
                thing: thing.clone(),
                shadow: self
                    .cover(paper)
                    .catches
                    .then(|| Shadow::of(thing, paper, self.light)),
                paper,
            },
            centre: thing.centre,
            stack,
            seed,
            pixel: self.bed.scanner.pixel(),
        }
    }
}

impl Piece {
    /// Centre of the piece on the page.
    pub(crate) fn centre(&self) -> [f64; 2] {
        self.centre
    }

    /// What a pixel at `x`, `y` on the glass sees of it, its middle ray having this slope in x.
    pub(crate) fn seen(&self, x: f64, y: f64, slope: f64) -> Option<Seen> {
        match &self.shape {
            Shape::Ring { ring, outline } => self.ring_seen(ring, outline, [x, y], slope),
            Shape::Thing {
                thing,
                shadow,
                paper,
            } => {
                let mut seen = self.thing_seen(thing, [x, y], slope)?;
                if let Some(shadow) = shadow {
                    let [dx, dy] = [x + slope * paper - self.centre[0], y - self.centre[1]];
                    seen.sample.paper = (1.0 - seen.sample.cover) * shadow.at(dx, dy);
                }
                Some(seen)
            }
        }
    }

    fn ring_seen(&self, ring: &Ring, outline: &Outline, at: [f64; 2], slope: f64) -> Option<Seen> {
        let (mut dx, mut dy) = (at[0] - self.centre[0], at[1] - self.centre[1]);
        let mut rise = 0.0;
        if ring.rise > 0.0 {
            let (sine, cosine) = ring.lean_to.sin_cos();
            let along = dx * cosine + dy * sine;
            let outside = ring.outside();
            rise = (ring.rise * (along / outside + 0.5)).clamp(0.0, ring.rise);
            // Seen from below a leaning ring is shorter along its lean.
            let stretch = 1.0 / (1.0 - (ring.rise / outside).powi(2)).sqrt() - 1.0;
            dx += along * stretch * cosine;
            dy += along * stretch * sine;
        }
        dx += slope * (0.5 * ring.height + rise);
        let square = dx * dx + dy * dy;
        if square > self.farthest * self.farthest || square < self.nearest * self.nearest {
            return None;
        }
        let place = outline.place(dx, dy, ring.rubber);
        let sample = self.stack.at(slope, rise, place.across, place.around);
        Some(self.coloured(sample, place.stain))
    }

    fn thing_seen(&self, thing: &Thing, at: [f64; 2], slope: f64) -> Option<Seen> {
        let (mut dx, dy) = (at[0] - self.centre[0], at[1] - self.centre[1]);
        if thing.is_wire() {
            dx += slope * 0.5 * thing.thick;
        }
        if dx * dx + dy * dy > self.farthest * self.farthest {
            return None;
        }
        let distance = thing.distance(dx, dy);
        if distance > self.stack.reach() {
            return None;
        }
        let small = 0.01;
        let normal = (thing.distance(dx, dy + small) - distance)
            .atan2(thing.distance(dx + small, dy) - distance);
        let sample = self.stack.at(slope, 0.0, distance, normal);
        Some(self.coloured(sample, thing.stain(dx, dy, self.seed, self.pixel)))
    }

    fn coloured(&self, sample: Sample, stain: f64) -> Seen {
        let shine = f64::from(sample.gloss) * self.gloss;
        let diffuse = f64::from(sample.diffuse) * stain;
        Seen {
            sample,
            light: self.albedo.map(|albedo| (albedo * diffuse + shine) as f32),
        }
    }
}
