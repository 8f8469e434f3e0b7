//! The paper that a sheet is laid out for.

use crate::core::word::words;
use serde::Serialize;

/// Points in a millimetre: 72 points are an inch of 25.4 mm.
pub const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// Names a size of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Paper {
    /// ISO 216 A4, 210 × 297 mm.
    #[default]
    A4,
    /// US Letter, 8.5 × 11 in (ANSI/ASME Y14.1 size A).
    Letter,
}

words!(Paper {
    A4 => "a4",
    Letter => "letter",
});

impl Paper {
    /// Returns width and height in millimetres.
    pub const fn mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }

    /// Returns width and height in points.
    pub fn points(self) -> (f64, f64) {
        let (width, height) = self.mm();
        (points(width), points(height))
    }

    /// Returns the name that is shown.
    pub const fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "US Letter",
        }
    }
}

/// Turns millimetres into points.
pub fn points(mm: f64) -> f64 {
    mm * POINTS_PER_MM
}
