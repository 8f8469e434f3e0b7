//! The light on a surface: beams from the lamp's strip, and ambient light from all round below.

use super::scanner::Scanner;

/// A place or a direction: x along the sensor, y along its travel, z up from the glass.
pub(crate) type Vector = [f64; 3];

/// One sample of the lamp.
pub(crate) struct Beam {
    /// Unit direction towards the lamp; its z is negative.
    pub(crate) towards: Vector,
    weight: f64,
}

/// All the light. Paper that lies open gets 1 in all.
pub(crate) struct Light {
    pub(crate) beams: Vec<Beam>,
    pub(crate) ambient: f64,
}

/// Diffuse and glossy light that a surface sends down.
#[derive(Clone, Copy, Default)]
pub(crate) struct Shine {
    pub(crate) diffuse: f64,
    pub(crate) gloss: f64,
}

/// Beams a side; a lattice of the golden section, so that every one has its own place along and across the strip.
const BEAMS: usize = 56;
/// Half the angle along the strip that is sampled, in radians; beyond it the strip gives next to nothing.
const HALF_LENGTH: f64 = 1.13;
/// Exponent of the lobe of rubber that is not quite dull.
const LOBE: i32 = 20;

impl Light {
    pub(crate) fn new(scanner: &Scanner) -> Self {
        let lamp = &scanner.lamp;
        let mut beams = Vec::new();
        for (side, share) in [(1.0, lamp.share), (-1.0, 1.0 - lamp.share)] {
            if share <= 0.0 {
                continue;
            }
            let first = beams.len();
            for index in 0..BEAMS {
                beams.push(Self::beam(scanner, side, index));
            }
            let sum: f64 = beams[first..]
                .iter()
                .map(|beam| -beam.towards[2] * beam.weight)
                .sum();
            for beam in &mut beams[first..] {
                beam.weight *= share * (1.0 - scanner.ambient) / sum;
            }
        }
        Self {
            beams,
            ambient: scanner.ambient,
        }
    }

    /// A strip at distance 1 sends cos³φ dτ with τ = tan φ, that is cos φ dφ, φ the angle along the strip.
    fn beam(scanner: &Scanner, side: f64, index: usize) -> Beam {
        let along = ((index as f64 + 0.5) / BEAMS as f64 * 2.0 - 1.0) * HALF_LENGTH;
        let across =
            ((index as f64 * 0.618_033_988_75 + 0.5).fract() * 2.0 - 1.0) * scanner.lamp.half_width;
        let slant = scanner.lamp.slant + across;
        let (sine, cosine) = along.sin_cos();
        Beam {
            towards: [sine, side * cosine * slant.sin(), -cosine * slant.cos()],
            weight: cosine,
        }
    }

    /// Light of the lamp on level paper at `place`, of which `blocked` stands in the way.
    pub(crate) fn on_paper(&self, blocked: impl Fn(&Vector) -> bool) -> f64 {
        self.beams
            .iter()
            .filter(|beam| !blocked(&beam.towards))
            .map(|beam| -beam.towards[2] * beam.weight)
            .sum()
    }

    /// What a surface with this normal sends straight down: lamp, ambient from below, and `bounce` off the paper above.
    pub(crate) fn on_surface(
        &self,
        normal: &Vector,
        bounce: f64,
        blocked: impl Fn(&Vector) -> bool,
    ) -> Shine {
        let mut shine = Shine {
            diffuse: self.ambient * 0.5 * (1.0 - normal[2]) + bounce * 0.5 * (1.0 + normal[2]),
            gloss: 0.0,
        };
        for beam in &self.beams {
            let facing = dot(normal, &beam.towards);
            if facing <= 0.0 || blocked(&beam.towards) {
                continue;
            }
            shine.diffuse += facing * beam.weight;
            let half = [beam.towards[0], beam.towards[1], beam.towards[2] - 1.0];
            let lobe = dot(normal, &half).max(0.0) / dot(&half, &half).sqrt();
            shine.gloss += lobe.powi(LOBE) * beam.weight;
        }
        shine
    }
}

pub(crate) fn dot(a: &Vector, b: &Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Length of a level vector (without the care of `hypot` for the very large and small, which costs four times as much).
pub(crate) fn length(x: f64, y: f64) -> f64 {
    (x * x + y * y).sqrt()
}
