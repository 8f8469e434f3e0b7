//! Angles.

use super::error::QuantityError;
use super::scalar::ScalarForm;
use super::typed::Typed;
use serde::{Deserialize, Serialize};

/// Holds an angle in degrees, from 0 to below 90.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Angle(f64);

const FORM: ScalarForm = ScalarForm {
    quantity: "angle",
    example: "45 deg",
    known: "deg, °",
    missing: "unit",
};

impl Angle {
    /// Makes an angle of degrees; `None` outside 0 to below 90.
    pub fn from_degrees(degrees: f64) -> Option<Self> {
        (0.0..90.0).contains(&degrees).then_some(Self(degrees))
    }

    /// Returns the angle in degrees.
    pub const fn degrees(self) -> f64 {
        self.0
    }
}

impl std::fmt::Display for Angle {
    /// Writes the angle as [`parse_angle`] reads it.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} deg", self.0)
    }
}

/// Reads an angle such as `45 deg` or `66°`.
pub fn parse_angle(text: &str) -> Result<Typed<Angle>, QuantityError> {
    let scalar = FORM.split(text)?;
    if !matches!(
        scalar.unit.to_lowercase().as_str(),
        "deg" | "°" | "degree" | "degrees"
    ) {
        return Err(FORM.bad_unit(&scalar, text));
    }
    let value = Angle::from_degrees(scalar.number)
        .ok_or_else(|| ScalarForm::out_of_range(&scalar, text, "0 to below 90 deg"))?;
    Ok(Typed::new(value, text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_angle_needs_its_unit_and_its_range() {
        let read = |t| parse_angle(t).map(|a| a.value.degrees());
        assert_eq!(read("45 deg"), Ok(45.0));
        assert_eq!(read("12.5°"), Ok(12.5));
        let shown = Angle::from_degrees(12.5).expect("in range").to_string();
        assert_eq!(shown, "12.5 deg");
        assert_eq!(read(&shown), Ok(12.5));
        assert!(read("45").is_err());
        assert!(read("90 deg").is_err());
        assert!(read("-1 deg").is_err());
    }
}
