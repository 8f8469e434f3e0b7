//! Masses.

use super::error::QuantityError;
use super::scalar::ScalarForm;
use super::typed::Typed;
use super::unit_table::Measured;
use serde::{Deserialize, Serialize};

/// Holds a mass in grams. Range: 0 to 1000 kg.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Mass(f64);

/// Grams in one avoirdupois ounce (exact).
pub const GRAMS_PER_OUNCE: f64 = 28.349_523_125;

impl Mass {
    /// Makes a mass from grams; `None` when it is negative, not finite or beyond 1000 kg.
    pub fn from_grams(grams: f64) -> Option<Self> {
        (0.0..=1e6).contains(&grams).then_some(Self(grams))
    }

    /// Returns grams.
    pub fn grams(self) -> f64 {
        self.0
    }
}

const FORM: ScalarForm = ScalarForm {
    quantity: "mass",
    example: "0.12 g",
    known: "g, mg, kg, oz, lb, grains",
    missing: "unit",
};

/// Reads a mass such as `0.12 g`, `120 mg`, `0.5 oz`.
pub fn parse_mass(text: &str) -> Result<Typed<Mass>, QuantityError> {
    let read = FORM.read(Measured::Mass, text)?;
    let value = Mass::from_grams(read.value)
        .ok_or_else(|| ScalarForm::out_of_range(&read.scalar, text, "0 to 1000 kg"))?;
    Ok(Typed::new(value, text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn masses_read_in_grams() {
        let read = |t| parse_mass(t).expect("reads").value.grams();
        assert!((read("120 mg") - 0.12).abs() < 1e-12);
        // NIST SP 811 (2008), appendix B.8: pound (avoirdupois) 4.535924 E-01 kg.
        assert!((read("1 lb") - 453.592_4).abs() < 1e-4);
        assert!(parse_mass("0.12").is_err());
        assert!(parse_mass("-1 g").is_err());
    }
}
