//! Readings of a ring of known size, from which a person and an instrument are learned.

use super::reading::{Measurand, Reading};
use crate::core::quantity::{Dimension, Length};
use crate::core::sizes::{class_b_inside_diameter, class_b_section};
use crate::core::uncertainty::normal_quantile;
use serde::{Deserialize, Serialize};

/// What is known of a ring: listed size with its tolerance, or dimensions as measured by someone better equipped.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KnownRing {
    /// Inside diameter; its tolerance is taken as a 95 % band.
    pub id: Dimension,
    /// Section, likewise.
    pub section: Dimension,
}

/// Tells how far one instrument lay from the truth on one ring, as the book keeps it and as it travels. Millimetres.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KnownReading {
    pub measurand: Measurand,
    pub method: String,
    pub typed: String,
    /// Mean of the repetitions less the nominal value.
    pub error: f64,
    pub repeats: usize,
    /// Sum of the squared distances of the repetitions from their mean, mm².
    pub scatter: f64,
    /// Variance of the ring's own size about nominal, mm².
    pub ring_variance: f64,
}

/// Says why a reading of a known ring teaches nothing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum KnownError {
    /// A mass tells of the compound as much as of the scale.
    #[error(
        "a scale is not learned from rings, whose compound differs: weigh a known weight instead, and leave --mass out"
    )]
    Mass,
    /// No instrument was named.
    #[error(
        "{typed:?} names no instrument: write what it was read with, as \"12.85 mm by caliper\""
    )]
    NoMethod { typed: String },
    /// The reading lies so far out that ring or reading must be another one.
    #[error(
        "{typed:?} lies {error:+.2} mm from the {} of that ring, {sigma:.0} times what chance gives: is it that ring, and was it read right? Nothing was learned", .measurand.name()
    )]
    FarOut {
        measurand: Measurand,
        typed: String,
        /// How far out it lies, in millimetres.
        error: f64,
        /// The same in standard deviations.
        sigma: f64,
    },
}

/// Swell of a new ring (standard deviation of a factor on every length), `data/measurement/conditions.csv`.
const NEW_SWELL: f64 = 0.002;
/// Set of a new ring (share of the section), the same table.
const NEW_SET: f64 = 0.004;

impl KnownRing {
    /// Makes a known ring; a dimension without tolerance gets that of ISO 3601-1 class B, because it is a nominal size.
    pub fn new(id: Dimension, section: Dimension) -> Self {
        let toleranced = |dimension: Dimension, class_b: fn(Length) -> Length| {
            if dimension.has_tolerance() {
                dimension
            } else {
                Dimension::symmetric(dimension.nominal, class_b(dimension.nominal))
            }
        };
        Self {
            id: toleranced(id, class_b_inside_diameter),
            section: toleranced(section, class_b_section),
        }
    }

    /// Compares a reading with the ring.
    ///
    /// # Errors
    /// A mass, or a reading that names no instrument.
    pub fn compare(&self, reading: &Reading) -> Result<KnownReading, KnownError> {
        if reading.method.is_empty() {
            return Err(KnownError::NoMethod {
                typed: reading.typed.clone(),
            });
        }
        let (truth, ring_variance) = self.expected(reading.measurand)?;
        let mean = reading.mean();
        Ok(KnownReading {
            measurand: reading.measurand,
            method: reading.method.clone(),
            typed: reading.typed.clone(),
            error: mean - truth,
            repeats: reading.values.len(),
            scatter: reading
                .values
                .iter()
                .map(|value| (value - mean) * (value - mean))
                .sum(),
            ring_variance,
        })
    }

    /// Returns the value that a perfect instrument would read on the nominal ring, and the variance of rings about it.
    fn expected(&self, measurand: Measurand) -> Result<(f64, f64), KnownError> {
        let (d1, var1) = middle(self.id);
        let (d2, var2) = middle(self.section);
        let pi = std::f64::consts::PI;
        let (truth, variance) = match measurand {
            Measurand::Id => (d1, var1),
            Measurand::Od => (d1 + 2.0 * d2, var1 + 4.0 * var2),
            Measurand::Cs | Measurand::Width | Measurand::Stack => {
                (d2, var2 + NEW_SET * NEW_SET * d2 * d2)
            }
            Measurand::CutLength => (pi * (d1 + d2), pi * pi * (var1 + var2)),
            Measurand::Mass => return Err(KnownError::Mass),
        };
        let swell = NEW_SWELL * truth;
        Ok((truth, variance + swell * swell))
    }
}

/// Returns the middle of a toleranced length and its variance, the tolerance being a 95 % band.
fn middle(dimension: Dimension) -> (f64, f64) {
    let (plus, minus) = (dimension.plus.mm(), dimension.minus.mm());
    let sd = 0.5 * (plus + minus) / normal_quantile(0.975);
    (dimension.nominal.mm() + 0.5 * (plus - minus), sd * sd)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::quantity::parse_dimension;

    fn ring() -> KnownRing {
        let read = |text| parse_dimension(text, None).expect("reads").value;
        KnownRing::new(read("9.25±0.13 mm"), read("1.78±0.08 mm"))
    }

    #[test]
    fn a_reading_is_compared_with_what_the_ring_must_give() {
        let reading =
            Reading::parse(Measurand::Od, "12.75 12.79 mm by caliper", None).expect("reads");
        let known = ring().compare(&reading).expect("compares");
        assert!((known.error - (12.77 - 12.81)).abs() < 1e-9);
        assert!((known.scatter - 2.0 * 0.02 * 0.02).abs() < 1e-9);
        // (0.13² + 4·0.08²)/1.96² + (0.002·12.81)² = 0.01106 + 0.00066.
        assert!((known.ring_variance - 0.01172).abs() < 2e-5, "{known:?}");
    }

    #[test]
    fn a_nominal_size_gets_a_tolerance_and_a_mass_is_refused() {
        let exact = |mm| Dimension::exact(Length::from_mm(mm).expect("a length"));
        let ring = KnownRing::new(exact(9.25), exact(1.78));
        assert!((ring.section.plus.mm() - 0.08).abs() < 1e-9 && ring.id.minus.mm() > 0.1);
        let mass = Reading::parse(Measurand::Mass, "0.12 g by scale", None).expect("reads");
        assert_eq!(ring.compare(&mass), Err(KnownError::Mass));
        let plain = Reading::parse(Measurand::Od, "12.8 mm", None).expect("reads");
        assert!(matches!(
            ring.compare(&plain),
            Err(KnownError::NoMethod { .. })
        ));
    }
}
