//! The law by which a dimension lies within its tolerance.

use super::column::larger;
use crate::core::quantity::Dimension;
use crate::core::uncertainty::normal_quantile;
use crate::core::word::words;
use serde::Serialize;

/// Names the law of a dimension.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Law {
    /// A measurement: the tolerance is the 95 % band of a normal law.
    Measured,
    /// A drawing tolerance of which nothing more is known: evenly anywhere in it.
    Uniform,
    /// A drawing tolerance held by a careful shop: symmetric triangle over it.
    Triangular,
}

/// Standard deviations from the middle to the end of a 95 % band.
pub(super) const BAND: f64 = 1.959_964;

words!(Law {
    Measured => "measured",
    Uniform => "uniform",
    Triangular => "triangular",
});

impl Law {
    /// Returns the law of a dimension by how its tolerance is written: the same both ways as a measurement, otherwise as on a
    /// drawing.
    pub fn as_written(dimension: Dimension) -> Self {
        if dimension.plus == dimension.minus {
            Self::Measured
        } else {
            Self::Uniform
        }
    }
}

/// A dimension made ready for drawing: middle, half width in millimetres, law.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spread {
    middle: f64,
    half: f64,
    law: Law,
}

impl Spread {
    /// A measurement of nothing in units of its half band.
    pub(super) const BAND: Self = Self {
        middle: 0.0,
        half: 1.0,
        law: Law::Measured,
    };

    /// Makes the spread of a dimension times a factor.
    pub(super) fn of(dimension: Dimension, law: Law) -> Self {
        let (low, high) = (dimension.least().mm(), dimension.greatest().mm());
        Self {
            middle: f64::midpoint(low, high),
            half: (high - low) / 2.0,
            law,
        }
    }

    /// Returns the value in millimetres for a share of the distribution; never below zero.
    #[cfg(test)]
    fn drawn(self, share: f64) -> f64 {
        self.at(self.deviate(share))
    }

    /// Returns the value in millimetres for a deviation in half widths; never below zero.
    #[allow(clippy::inline_always, reason = "compiled for the widest registers")]
    #[inline(always)]
    pub(super) fn at(self, deviate: f64) -> f64 {
        larger(self.middle + self.half * deviate, f64::MIN_POSITIVE)
    }

    /// Returns the deviation from the middle in half widths.
    pub(super) fn deviate(self, share: f64) -> f64 {
        match self.law {
            Law::Measured => normal_quantile(share) / BAND,
            Law::Uniform => 2.0 * share - 1.0,
            Law::Triangular if share < 0.5 => libm::sqrt(2.0 * share) - 1.0,
            Law::Triangular => 1.0 - libm::sqrt(2.0 * (1.0 - share)),
        }
    }

    /// Returns the standard deviation in millimetres.
    #[cfg(test)]
    pub(super) fn deviation(self) -> f64 {
        self.half
            / match self.law {
                Law::Measured => BAND,
                Law::Uniform => libm::sqrt(3.0),
                Law::Triangular => libm::sqrt(6.0),
            }
    }

    /// Returns the law.
    pub(super) const fn law(self) -> Law {
        self.law
    }

    /// Tells whether the dimension has a tolerance at all.
    pub(super) fn is_loose(self) -> bool {
        self.half > 0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::quantity::Length;

    #[test]
    fn each_law_has_its_textbook_deviation_and_drawings_stay_inside() {
        // Standard deviations: band/1.96, half width/√3, half width/√6 (any table of distributions). 20 000 even shares;
        // 0.1 % is the error of the midpoint rule with normal tails.
        const N: u32 = 20_000;
        let dimension = Dimension {
            nominal: Length::from_nm(25_400_000),
            plus: Length::from_nm(50_000),
            minus: Length::ZERO,
        };
        for (law, _) in Law::ALL {
            let spread = Spread::of(dimension, law);
            let values = (0..N).map(|n| spread.drawn((f64::from(n) + 0.5) / f64::from(N)));
            let sum: f64 = values
                .map(|v| {
                    assert!(law == Law::Measured || (25.4..=25.45).contains(&v));
                    (v - 25.425) * (v - 25.425)
                })
                .sum();
            let found = libm::sqrt(sum / f64::from(N));
            assert!((found / spread.deviation() - 1.0).abs() < 1e-3, "{law:?}");
        }
    }
}
