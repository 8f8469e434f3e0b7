//! The least, nominal and greatest value of a figure.

use serde::ser::{Serialize, SerializeStruct, Serializer};

/// The least, the nominal and the greatest value of one figure over a tolerance stack.
///
/// The unit is that of the figure. In machine output each value is rounded to four decimals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    pub min: f64,
    /// The value with every dimension at its nominal.
    pub nominal: f64,
    pub max: f64,
}

impl Bounds {
    /// Makes bounds without width.
    pub const fn exact(value: f64) -> Self {
        Self {
            min: value,
            nominal: value,
            max: value,
        }
    }

    /// Returns the bounds of `factor` times the figure; the factor is not negative.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self {
            min: self.min * factor,
            nominal: self.nominal * factor,
            max: self.max * factor,
        }
    }
}

/// Rounds to the four decimals of machine output, and never gives a negative zero.
pub(crate) fn machine(value: f64) -> f64 {
    const TEN_THOUSANDTHS: f64 = 1e4;
    let rounded = (value * TEN_THOUSANDTHS).round() / TEN_THOUSANDTHS;
    if rounded == 0.0 { 0.0 } else { rounded }
}

impl Serialize for Bounds {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut fields = serializer.serialize_struct("Bounds", 3)?;
        fields.serialize_field("min", &machine(self.min))?;
        fields.serialize_field("nominal", &machine(self.nominal))?;
        fields.serialize_field("max", &machine(self.max))?;
        fields.end()
    }
}
