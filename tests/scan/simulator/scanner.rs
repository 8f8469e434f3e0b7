//! A flatbed scanner: what it sees by, what it lights with, what it does to the numbers.

use super::random::Draws;

/// How the bed is seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Optics {
    /// Rod lenses right under the glass: telecentric, focused on the glass; `cone` is the tangent of half the cone they take in.
    Cis { cone: f64 },
    /// One lens `distance` mm under the glass by way of mirrors: perspective in x alone; `cone` as above, but small.
    Ccd { distance: f64, cone: f64 },
}

/// Which of the two a random scanner shall be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Sensor {
    Cis,
    Ccd,
}

/// A lamp across the bed that travels with the sensor: a strip parallel to x, on one side or both.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lamp {
    /// Share of the light that comes from the side of greater y: 1 is one-sided, 0.5 even.
    pub(crate) share: f64,
    /// Angle between the light and the upright, in radians.
    pub(crate) slant: f64,
    /// Half the angle under which the strip's width is seen, in radians: the penumbra.
    pub(crate) half_width: f64,
}

/// How linear light becomes the numbers of the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Curve {
    Srgb,
    Gamma(f64),
    Linear,
}

impl Curve {
    /// The file's number (0 to 1) for linear light (0 to 1). sRGB after IEC 61966-2-1.
    pub(crate) fn encode(self, light: f64) -> f64 {
        match self {
            Curve::Srgb if light <= 0.003_130_8 => 12.92 * light,
            Curve::Srgb => 1.055 * light.powf(1.0 / 2.4) - 0.055,
            Curve::Gamma(gamma) => light.powf(1.0 / gamma),
            Curve::Linear => light,
        }
    }
}

/// One scanner with its settings. Lengths in mm.
#[derive(Clone, Debug)]
pub(crate) struct Scanner {
    pub(crate) optics: Optics,
    pub(crate) lamp: Lamp,
    /// Share of the light on open paper that comes from all round, not from the lamp straight.
    pub(crate) ambient: f64,
    pub(crate) curve: Curve,
    /// Quality of the JPEG that the scanner writes; none is a lossless file.
    pub(crate) jpeg: Option<u8>,
    /// Amount of the unsharp mask on the coded numbers.
    pub(crate) sharpening: f64,
    /// Times the usual noise.
    pub(crate) noise: f64,
    /// Amplitude of the carriage's wander along y.
    pub(crate) stepping: f64,
    /// SD of the jump in x at the joint of two sensor chips.
    pub(crate) joints: f64,
    /// Share by which the lens stretches the far edge of the bed in x.
    pub(crate) lens: f64,
    /// True mm for each mm that the file's dpi promises, along x and y.
    pub(crate) scale: [f64; 2],
    pub(crate) dpi: u32,
    /// SD of the blur of sensor and lens in pixels, beside the pixel's own area.
    pub(crate) blur: f64,
}

impl Scanner {
    /// A scanner without any error: lamp even, no noise, sRGB, lossless.
    pub(crate) fn ideal(optics: Optics, dpi: u32) -> Self {
        Self {
            optics,
            lamp: Lamp {
                share: 0.5,
                slant: std::f64::consts::FRAC_PI_4,
                half_width: 0.12,
            },
            ambient: 0.15,
            curve: Curve::Srgb,
            jpeg: None,
            sharpening: 0.0,
            noise: 0.0,
            stepping: 0.0,
            joints: 0.0,
            lens: 0.0,
            scale: [1.0, 1.0],
            dpi,
            blur: 0.3,
        }
    }

    /// A scanner as one may stand on anybody's bench.
    pub(crate) fn random(sensor: Sensor, dpi: u32, draws: &mut Draws) -> Self {
        let optics = match sensor {
            Sensor::Cis => Optics::Cis {
                cone: draws.between(0.12, 0.25),
            },
            Sensor::Ccd => Optics::Ccd {
                distance: draws.between(250.0, 400.0),
                cone: draws.between(0.008, 0.018),
            },
        };
        Self {
            optics,
            lamp: Lamp {
                share: draws.pick(&[1.0, 0.7, 0.5]),
                slant: draws.between(0.70, 0.87),
                half_width: draws.between(0.06, 0.18),
            },
            ambient: draws.between(0.05, 0.30),
            curve: draws.pick(&[Curve::Srgb, Curve::Gamma(2.2), Curve::Gamma(1.8)]),
            jpeg: draws.pick(&[None, Some(75), Some(85), Some(92)]),
            sharpening: draws.pick(&[0.0, 0.0, 0.5, 1.0]),
            noise: draws.between(0.5, 2.0),
            stepping: draws.between(0.0, 0.020),
            joints: if sensor == Sensor::Cis { 0.012 } else { 0.0 },
            lens: if sensor == Sensor::Ccd {
                draws.normal(0.0, 0.001)
            } else {
                0.0
            },
            scale: [draws.normal(1.0, 0.002), draws.normal(1.0, 0.002)],
            dpi,
            blur: draws.between(0.2, 0.45),
        }
    }

    /// Width of a pixel in mm as the file's dpi promises it.
    pub(crate) fn pixel(&self) -> f64 {
        25.4 / f64::from(self.dpi)
    }

    pub(crate) fn cone(&self) -> f64 {
        match self.optics {
            Optics::Cis { cone } | Optics::Ccd { cone, .. } => cone,
        }
    }

    /// Slope in x of the ray through a place `off` mm beside the lens's middle.
    pub(crate) fn slope(&self, off: f64) -> f64 {
        match self.optics {
            Optics::Cis { .. } => 0.0,
            Optics::Ccd { distance, .. } => off / distance,
        }
    }
}
