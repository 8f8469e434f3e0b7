//! What a reading of a worn ring should be, and how it answers to each latent deviation.

use super::wear::{Squeeze, WearMode};
use crate::core::measurement::Measurand;

/// The number of latent deviations: δ1, δ2, swell, set.
pub(crate) const LATENTS: usize = 4;

/// A predicted reading with its derivatives with respect to the latent deviations.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Prediction {
    /// The reading at the middle of the wear mode, in millimetres or grams.
    pub(crate) value: f64,
    /// Derivatives by δ1, δ2 (per millimetre), swell, set (per one).
    pub(crate) slopes: [f64; LATENTS],
}

impl Prediction {
    pub(crate) const NONE: Self = Self {
        value: 0.0,
        slopes: [0.0; LATENTS],
    };
}

/// Grams in a cubic millimetre at one gram per cubic centimetre.
const GRAMS_PER_MM3: f64 = 1e-3;

/// A ring's nominal dimensions in millimetres and its compound's density in g/cm³ (which matters for a mass only).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Nominal {
    pub(crate) d1: f64,
    pub(crate) d2: f64,
    pub(crate) density: f64,
}

/// Predicts a reading of a ring in the middle of a wear mode.
///
/// Ring volume π²/4 · d2² · (d1 + d2) (torus).
pub(crate) fn predict(measurand: Measurand, ring: Nominal, mode: &WearMode) -> Prediction {
    use std::f64::consts::PI;
    let Nominal { d1, d2, density } = ring;
    let grown = 1.0 + mode.swell_mean;
    match measurand {
        Measurand::Id => diameter(ring, mode, -1.0),
        Measurand::Od => diameter(ring, mode, 1.0),
        Measurand::Cs => {
            let left = 1.0 - mode.set_mean;
            Prediction {
                value: d2 * left * grown,
                slopes: [0.0, left * grown, d2 * left, -d2 * grown],
            }
        }
        Measurand::Width => {
            let gained = 1.0 / (1.0 - mode.set_mean);
            Prediction {
                value: d2 * gained * grown,
                slopes: [
                    0.0,
                    gained * grown,
                    d2 * gained,
                    d2 * gained * gained * grown,
                ],
            }
        }
        // A ring of a stack lies flat: squeezed radially it shows its width, squeezed between faces its height.
        Measurand::Stack => match mode.squeeze {
            Squeeze::Radial => predict(Measurand::Width, ring, mode),
            Squeeze::Axial => predict(Measurand::Cs, ring, mode),
            Squeeze::Unknown => Prediction {
                value: d2 * grown,
                slopes: [0.0, grown, d2, 0.0],
            },
        },
        Measurand::CutLength => Prediction {
            value: PI * (d1 + d2) * grown,
            slopes: [PI * grown, PI * grown, PI * (d1 + d2), 0.0],
        },
        Measurand::Mass => {
            let factor = density * GRAMS_PER_MM3 * PI * PI / 4.0 * grown.powi(3);
            let mass = factor * d2 * d2 * (d1 + d2);
            let by_d1 = factor * d2 * d2;
            let by_d2 = factor * (2.0 * d2 * (d1 + d2) + d2 * d2);
            Prediction {
                value: mass,
                slopes: [by_d1, by_d2, 3.0 * mass / grown, 0.0],
            }
        }
    }
}

/// Predicts the outside (`side` 1) or inside (`side` −1) diameter: the mean line keeps its length, and half the radial
/// thickness stands on either side of it.
fn diameter(ring: Nominal, mode: &WearMode, side: f64) -> Prediction {
    let Nominal { d1, d2, .. } = ring;
    let grown = 1.0 + mode.swell_mean;
    let gained = 1.0 / (1.0 - mode.set_mean);
    let (thick, by_set) = match mode.squeeze {
        Squeeze::Radial => (1.0 - mode.set_mean, -1.0),
        Squeeze::Axial => (gained, gained * gained),
        Squeeze::Unknown => (1.0, 0.0),
    };
    let length = d1 + d2 + side * d2 * thick;
    Prediction {
        value: length * grown,
        slopes: [
            grown,
            (1.0 + side * thick) * grown,
            length,
            side * d2 * by_set * grown,
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mode(squeeze: Squeeze) -> WearMode {
        WearMode {
            log_weight: 0.0,
            swell_mean: 0.01,
            swell_variance: 1e-4,
            set_mean: 0.05,
            set_variance: 1e-4,
            squeeze,
        }
    }

    const RING: Nominal = Nominal {
        d1: 9.25,
        d2: 1.78,
        density: 1.2,
    };

    #[test]
    fn the_slopes_are_those_of_the_value() {
        const STEP: f64 = 1e-6;
        for (measurand, _) in Measurand::ALL {
            for squeeze in [Squeeze::Radial, Squeeze::Axial] {
                let at = |deviations: [f64; LATENTS]| {
                    let mut ring = RING;
                    ring.d1 += deviations[0];
                    ring.d2 += deviations[1];
                    let mut mode = mode(squeeze);
                    mode.swell_mean += deviations[2];
                    mode.set_mean += deviations[3];
                    predict(measurand, ring, &mode).value
                };
                let slopes = predict(measurand, RING, &mode(squeeze)).slopes;
                for latent in 0..LATENTS {
                    let mut up = [0.0; LATENTS];
                    let mut down = [0.0; LATENTS];
                    up[latent] = STEP;
                    down[latent] = -STEP;
                    let numeric = (at(up) - at(down)) / (2.0 * STEP);
                    assert!(
                        (slopes[latent] - numeric).abs() < 1e-6,
                        "{measurand:?} {latent}"
                    );
                }
            }
        }
    }

    #[test]
    fn the_mass_of_a_ring_is_that_of_its_torus() {
        // Torus volume 2 π² R r² with R = (9.25 + 1.78)/2, r = 0.89.
        let torus = 2.0 * std::f64::consts::PI.powi(2) * 5.515 * 0.89 * 0.89;
        let mut plain = mode(Squeeze::Radial);
        plain.swell_mean = 0.0;
        let mass = predict(Measurand::Mass, RING, &plain).value;
        assert!((mass - 1.2e-3 * torus).abs() < 1e-12);
    }

    #[test]
    fn set_keeps_the_area_of_the_section() {
        let area = |mode: &WearMode| {
            predict(Measurand::Cs, RING, mode).value * predict(Measurand::Width, RING, mode).value
        };
        let mut round = mode(Squeeze::Radial);
        round.set_mean = 0.0;
        assert!((area(&mode(Squeeze::Radial)) - area(&round)).abs() < 1e-12);
    }
}
