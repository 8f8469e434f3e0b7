//! A rubber ring on the bed: its true size, shape, colour and damage.

use super::light::length;
use super::random::{ease, texture};
use std::f64::consts::{PI, TAU};

/// What a ring looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Rubber {
    Black,
    Brown,
    Green,
    Blue,
    Orange,
    /// Black under uneven grey talc.
    Talc,
    White,
}

/// The colours of which every ring should be found.
pub(crate) const COLOURED: [Rubber; 5] = [
    Rubber::Black,
    Rubber::Brown,
    Rubber::Green,
    Rubber::Blue,
    Rubber::Orange,
];

impl Rubber {
    /// Albedo in linear red, green and blue.
    pub(crate) fn albedo(self) -> [f64; 3] {
        match self {
            Rubber::Black => [0.035, 0.034, 0.033],
            Rubber::Brown => [0.15, 0.07, 0.04],
            Rubber::Green => [0.05, 0.16, 0.08],
            Rubber::Blue => [0.04, 0.09, 0.25],
            Rubber::Orange => [0.55, 0.18, 0.06],
            Rubber::Talc => [0.40, 0.40, 0.39],
            Rubber::White => [0.80, 0.80, 0.78],
        }
    }
}

/// The outer or the inner edge as seen from above.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Edge {
    Outer,
    Inner,
}

/// Damage at `angle` (radians from +x towards +y). Depths and widths in mm.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Defect {
    /// A bite out of the edge, a parabola `width` long and `depth` deep.
    Nick {
        edge: Edge,
        angle: f64,
        depth: f64,
        width: f64,
    },
    /// The outer edge cut straight along a chord, `depth` deep.
    Flat { angle: f64, depth: f64 },
    /// A dark line across the face that leans `lean` mm along the ring from the inner to the outer edge.
    Crack { angle: f64, width: f64, lean: f64 },
    /// A thin fin that stands out by `height` over `span` radians.
    Flash {
        edge: Edge,
        angle: f64,
        span: f64,
        height: f64,
    },
}

/// One ring as it lies. Lengths in mm; the place is from the page's top left corner, y down the page.
#[derive(Clone, Debug)]
pub(crate) struct Ring {
    pub(crate) centre: [f64; 2],
    /// Inside diameter: the length of the inner edge over π.
    pub(crate) inside: f64,
    /// Section along the radius, as seen from above.
    pub(crate) width: f64,
    /// Section upright.
    pub(crate) height: f64,
    /// (Greatest − least) / mean diameter, and the direction of the greatest.
    pub(crate) ovality: f64,
    pub(crate) long_axis: f64,
    /// Amplitude of the third order of the outline over its radius.
    pub(crate) triangle: f64,
    pub(crate) rubber: Rubber,
    pub(crate) defects: Vec<Defect>,
    /// How far the side that looks to `lean_to` stands over the glass, when the ring leans on another.
    pub(crate) rise: f64,
    pub(crate) lean_to: f64,
    /// The paper's height, when it is not what lies on this ring or hangs from its neighbours.
    pub(crate) paper: Option<f64>,
}

impl Ring {
    /// A round black ring without fault.
    pub(crate) fn new(inside: f64, section: f64, centre: [f64; 2]) -> Self {
        Self {
            centre,
            inside,
            width: section,
            height: section,
            ovality: 0.0,
            long_axis: 0.0,
            triangle: 0.0,
            rubber: Rubber::Black,
            defects: Vec::new(),
            rise: 0.0,
            lean_to: 0.0,
            paper: None,
        }
    }

    pub(crate) fn rubber(mut self, rubber: Rubber) -> Self {
        self.rubber = rubber;
        self
    }

    pub(crate) fn oval(mut self, ovality: f64, long_axis: f64) -> Self {
        self.ovality = ovality;
        self.long_axis = long_axis;
        self
    }

    pub(crate) fn defect(mut self, defect: Defect) -> Self {
        self.defects.push(defect);
        self
    }

    /// Outside diameter: the length of the outer edge without its defects, over π.
    pub(crate) fn outside(&self) -> f64 {
        self.inside + 2.0 * self.width
    }

    /// Height of its highest line.
    pub(crate) fn top(&self) -> f64 {
        self.height + self.rise
    }

    /// Radius of the circle that holds the whole ring, without flash.
    pub(crate) fn bound(&self) -> f64 {
        0.5 * self.outside() * (1.0 + 0.6 * self.ovality + self.triangle)
    }
}

/// The outline of a ring made ready for many questions.
pub(crate) struct Outline {
    radius: f64,
    half: f64,
    second: [f64; 2],
    third: f64,
    long_axis: f64,
    defects: Vec<Defect>,
    seed: u64,
}

/// Where a point lies in a ring: across its section (after defects), and which way the normal looks.
pub(crate) struct Place {
    pub(crate) across: f64,
    pub(crate) around: f64,
    /// Times the albedo: cracks and talc.
    pub(crate) stain: f64,
}

impl Outline {
    pub(crate) fn of(ring: &Ring, seed: u64) -> Self {
        let mut outline = Self {
            radius: 1.0,
            half: 0.5 * ring.width,
            second: [
                0.5 * ring.ovality * (2.0 * ring.long_axis).cos(),
                0.5 * ring.ovality * (2.0 * ring.long_axis).sin(),
            ],
            third: ring.triangle,
            long_axis: ring.long_axis,
            defects: ring.defects.clone(),
            seed,
        };
        // The centre line's length is to be π times the middle of both diameters, whatever its shape.
        outline.radius = 0.5 * (ring.inside + ring.width) * TAU / outline.length();
        outline
    }

    /// Length of the centre line.
    fn length(&self) -> f64 {
        let count = 3600;
        (0..count)
            .map(|index| {
                let angle = f64::from(index) / f64::from(count) * TAU;
                let (from, slope) = self.centre_line(angle);
                from.hypot(slope) * TAU / f64::from(count)
            })
            .sum()
    }

    /// Radius of the centre line and its derivative by the angle.
    fn centre_line(&self, angle: f64) -> (f64, f64) {
        let (sine, cosine) = (2.0 * angle).sin_cos();
        let mut value = 1.0 + self.second[0] * cosine + self.second[1] * sine;
        let mut slope = 2.0 * (self.second[1] * cosine - self.second[0] * sine);
        if self.third != 0.0 {
            let (sine, cosine) = (3.0 * (angle - self.long_axis) + 1.0).sin_cos();
            value += self.third * cosine;
            slope -= 3.0 * self.third * sine;
        }
        (self.radius * value, self.radius * slope)
    }

    /// Least and greatest radius of the centre line.
    pub(crate) fn span(&self) -> [f64; 2] {
        let swing = self.second[0].hypot(self.second[1]) + self.third.abs();
        [self.radius * (1.0 - swing), self.radius * (1.0 + swing)]
    }

    /// The place of a point `x`, `y` off the ring's centre.
    pub(crate) fn place(&self, x: f64, y: f64, rubber: Rubber) -> Place {
        let from = length(x, y);
        let angle = y.atan2(x);
        let (line, slope) = self.centre_line(angle);
        let lean = slope / line;
        let mut across = (from - line) / (1.0 + lean * lean).sqrt();
        let mut stain = 1.0;
        for defect in &self.defects {
            self.damage(defect, angle, &mut across, &mut stain);
        }
        if rubber == Rubber::Talc {
            let patch = texture(x * 0.9 + 40.0, y * 0.9 + 40.0, self.seed);
            let fine = texture(x * 6.0 + 40.0, y * 6.0 + 40.0, self.seed ^ 1);
            stain *= 0.5 + ease(patch) + 0.15 * (fine - 0.5);
        }
        Place {
            across,
            around: angle - lean.atan(),
            stain,
        }
    }

    fn damage(&self, defect: &Defect, angle: f64, across: &mut f64, stain: &mut f64) {
        let off = |middle: f64| (angle - middle + PI).rem_euclid(TAU) - PI;
        match *defect {
            Defect::Nick {
                edge,
                angle: at,
                depth,
                width,
            } => {
                let part = off(at) * (self.radius + edge.sign() * self.half) / (0.5 * width);
                if part.abs() < 1.0 {
                    self.push(edge, depth * (1.0 - part * part), across);
                }
            }
            Defect::Flat { angle: at, depth } => {
                let turn = off(at);
                let outer = self.radius + self.half;
                if turn.abs() < 1.2 {
                    let missing = outer - (outer - depth) / turn.cos();
                    if missing > 0.0 {
                        self.push(Edge::Outer, missing, across);
                    }
                }
            }
            Defect::Crack {
                angle: at,
                width,
                lean,
            } => {
                let along = off(at) * (self.radius + *across) - lean * *across / (2.0 * self.half);
                let line = 1.0 - ease((along.abs() - 0.3 * width) / (0.4 * width));
                let inside = 1.0 - ease((across.abs() - 0.8 * self.half) / (0.15 * self.half));
                *stain *= 1.0 - 0.9 * line * inside;
            }
            Defect::Flash {
                edge,
                angle: at,
                span,
                height,
            } => {
                let part = off(at).abs() / (0.5 * span);
                if part < 1.0 {
                    self.push(edge, -height * ease((1.0 - part) * 6.0), across);
                }
            }
        }
    }

    /// Moves one edge towards the middle by `depth`; the middle of the section stays.
    fn push(&self, edge: Edge, depth: f64, across: &mut f64) {
        let side = edge.sign();
        let share = ease(*across * side / (0.3 * self.half));
        *across += side * depth * share;
    }
}

impl Edge {
    fn sign(self) -> f64 {
        match self {
            Edge::Outer => 1.0,
            Edge::Inner => -1.0,
        }
    }
}
