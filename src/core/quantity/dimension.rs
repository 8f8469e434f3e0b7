//! A length with its tolerance.

use super::length::Length;
use serde::{Deserialize, Serialize};

/// Holds a nominal length with the tolerance that was stated beside it, if any.
///
/// `25.40+0.05/-0 mm` has nominal 25.40, `plus` 0.05 and `minus` 0; both are magnitudes and never negative.
///
/// ```
/// use ringwright::core::quantity::parse_dimension;
/// let bore = parse_dimension("25.40+0.05/-0 mm", None).unwrap().value;
/// assert_eq!(bore.greatest().mm(), 25.45);
/// assert_eq!(bore.least().mm(), 25.40);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Dimension {
    /// The nominal length.
    pub nominal: Length,
    /// How much longer it may be.
    pub plus: Length,
    /// How much shorter it may be.
    pub minus: Length,
}

impl Dimension {
    /// Makes a length without tolerance.
    pub const fn exact(nominal: Length) -> Self {
        Self {
            nominal,
            plus: Length::ZERO,
            minus: Length::ZERO,
        }
    }

    /// Makes a length with the same tolerance both ways.
    pub const fn symmetric(nominal: Length, tolerance: Length) -> Self {
        Self {
            nominal,
            plus: tolerance,
            minus: tolerance,
        }
    }

    /// Returns the greatest length that the tolerance allows.
    pub fn greatest(self) -> Length {
        self.nominal + self.plus
    }

    /// Returns the least length that the tolerance allows.
    pub fn least(self) -> Length {
        self.nominal - self.minus
    }

    /// Tells whether a tolerance was stated.
    pub fn has_tolerance(self) -> bool {
        self.plus != Length::ZERO || self.minus != Length::ZERO
    }
}
