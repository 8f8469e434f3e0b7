//! A tube of elliptic section bent to a circle, on the glass or lifted off it: what it hides and how it is lit.

use super::light::{Light, Shine, Vector, length};

/// A torus about the upright through the origin. Lengths in mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Tube {
    /// From the middle of the ring to the middle of its section.
    pub(crate) radius: f64,
    pub(crate) half_width: f64,
    pub(crate) half_height: f64,
    /// Height of the section's middle over the glass.
    pub(crate) middle: f64,
}

impl Tube {
    /// Whether a ray from `start` meets the tube before the glass (marching by a lower bound of the distance).
    pub(crate) fn blocks(&self, start: &Vector, towards: &Vector) -> bool {
        let least = self.half_width.min(self.half_height);
        let from = length(start[0], start[1]);
        if from >= self.radius + self.half_width
            && start[0] * towards[0] + start[1] * towards[1] >= 0.0
        {
            return false;
        }
        let mut gone = 0.0;
        for _ in 0..64 {
            let z = start[2] + gone * towards[2];
            if z < self.middle - self.half_height {
                return false;
            }
            let across =
                length(start[0] + gone * towards[0], start[1] + gone * towards[1]) - self.radius;
            let bound = (length(
                across / self.half_width,
                (z - self.middle) / self.half_height,
            ) - 1.0)
                * least;
            if bound < 0.002 * least {
                return true;
            }
            gone += bound.max(0.02 * least);
        }
        false
    }

    /// Light on the skin at `turn` from its lowest line (positive outwards), on the side of the ring that looks to `around`.
    pub(crate) fn lit(&self, turn: f64, around: f64, bounce: f64, light: &Light) -> Shine {
        let (sine, cosine) = turn.sin_cos();
        let slope = [sine / self.half_width, -cosine / self.half_height];
        let size = length(slope[0], slope[1]);
        let (out, up) = (slope[0] / size, slope[1] / size);
        let normal = [out * around.cos(), out * around.sin(), up];
        let from = self.radius + self.half_width * sine + out * 0.03 * self.half_width;
        let start = [
            from * around.cos(),
            from * around.sin(),
            self.middle - self.half_height * cosine + up * 0.03 * self.half_height,
        ];
        light.on_surface(&normal, bounce, |towards| self.blocks(&start, towards))
    }

    /// Light on paper at `height`, `from` mm off the ring's axis in the direction `around`.
    pub(crate) fn shade(&self, from: f64, around: f64, height: f64, light: &Light) -> f64 {
        let start = [from * around.cos(), from * around.sin(), height];
        let lamp = light.on_paper(|towards| self.blocks(&start, towards));
        lamp + light.ambient * (1.0 - self.covers(from - self.radius, height))
    }

    /// Share of the half sphere below a paper point that a straight tube takes up, weighted by the cosine.
    fn covers(&self, across: f64, height: f64) -> f64 {
        let (x, z) = (across, height - self.middle);
        let away = x.hypot(z);
        let size = self.half_width.midpoint(self.half_height);
        if away <= size {
            return 1.0;
        }
        let (middle, half) = ((-x).atan2(z), (size / away).asin());
        let limit = std::f64::consts::FRAC_PI_2;
        let sine = |angle: f64| angle.clamp(-limit, limit).sin();
        0.5 * (sine(middle + half) - sine(middle - half))
    }
}
