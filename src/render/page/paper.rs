//! The paper that a sheet is laid out for, and the scale of the printer.

use crate::core::quantity::Length;
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

/// By how much true-size drawings are stretched so that a printer that shrinks or stretches pages prints them true.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PrinterScale(f64);

impl Default for PrinterScale {
    fn default() -> Self {
        Self(1.0)
    }
}

impl PrinterScale {
    /// A bar further off than this is no printer's fault but a wrong setting or reading.
    pub const MOST_OFF: f64 = 0.1;

    /// Makes the correction from what a check bar measures: `nominal` over `measured`.
    ///
    /// `None` where the bar is more than a tenth off, because then the page was scaled to fit and must be printed again.
    pub fn of_bar(nominal: Length, measured: Length) -> Option<Self> {
        let ratio = nominal.mm() / measured.mm();
        ((ratio - 1.0).abs() <= Self::MOST_OFF).then_some(Self(ratio))
    }

    /// Turns a length into points on this printer.
    pub fn points(self, mm: f64) -> f64 {
        points(mm) * self.0
    }

    /// Tells whether a correction is made.
    pub fn corrects(self) -> bool {
        (self.0 - 1.0).abs() > f64::EPSILON
    }
}
