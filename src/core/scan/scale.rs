//! What a pixel is in millimetres, and how well that is known.

use crate::core::quantity::Length;
use serde::Serialize;

/// The size of a pixel along one axis, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize)]
#[serde(into = "f64")]
pub struct Pitch(f64);

impl From<Pitch> for f64 {
    /// Gives dots an inch, as reports state a pitch.
    fn from(pitch: Pitch) -> Self {
        pitch.dpi()
    }
}

impl Pitch {
    /// The finest that is taken: 12,700 dots an inch.
    const LEAST_MM: f64 = 0.002;
    /// A coarser one is refused: a section of 1.78 mm has less than seven points, an edge is guessed. Also 96 and 72 dots an
    /// inch, which programs write that know nothing.
    const MOST_MM: f64 = 0.26;

    /// Makes a pitch of millimetres; `None` outside 0.002 to 0.26 mm.
    pub fn from_mm(mm: f64) -> Option<Self> {
        (Self::LEAST_MM..=Self::MOST_MM)
            .contains(&mm)
            .then_some(Self(mm))
    }

    /// Makes a pitch of dots an inch; `None` as [`Pitch::from_mm`].
    pub fn from_dpi(dpi: f64) -> Option<Self> {
        Self::from_mm(25.4 / dpi)
    }

    /// Gives it in millimetres.
    pub fn mm(self) -> f64 {
        self.0
    }

    /// Gives it as dots an inch.
    pub fn dpi(self) -> f64 {
        25.4 / self.0
    }

    /// Gives how far the middle of a point lies from the edge of the page.
    pub fn place(self, points: f64) -> Length {
        Length::from_mm((points + 0.5) * self.0).unwrap_or(Length::ZERO)
    }

    /// Gives it times a factor near one.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

/// Names where a scale came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum ScaleSource {
    File,
    Typed,
    Calibrated,
}

impl ScaleSource {
    /// Gives the standard uncertainty of a scale that was not calibrated: scanners were seen 0.1 to 0.6 % off what they
    /// state (Boron 1996; ACRS 1997), mostly near 0.2 %.
    pub const UNCALIBRATED: f64 = 0.002;
}

/// The lens of a scanner that looks at the whole bed through one: where its axis stands, and how far away.
///
/// A scanner with rod lenses has none; its picture is true at any height.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Lens {
    /// From the lens to the glass, mm.
    pub distance_mm: f64,
    /// Place of its axis from the left edge of the page, mm.
    pub axis_mm: f64,
}

/// How long a point of a page is, each way.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Scale {
    /// Of a pixel, along a row.
    #[serde(rename = "dpi_across")]
    pub across: Pitch,
    /// Of a pixel, along a column.
    #[serde(rename = "dpi_down")]
    pub down: Pitch,
    /// Relative standard uncertainty of both together; one error for every ring of the page.
    pub relative_uncertainty: f64,
    pub source: ScaleSource,
    pub lens: Option<Lens>,
}

impl Scale {
    /// Makes the scale of square pixels that nothing but a statement vouches for.
    pub fn stated(pitch: Pitch, source: ScaleSource) -> Self {
        Self {
            across: pitch,
            down: pitch,
            relative_uncertainty: ScaleSource::UNCALIBRATED,
            source,
            lens: None,
        }
    }

    pub(super) fn mean_mm(&self) -> f64 {
        (self.across.mm() * self.down.mm()).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_screen_shows_is_too_coarse_and_what_a_scanner_gives_is_not() {
        for dpi in [72.0, 96.0, 1.0, 0.0, -300.0, f64::NAN, 1e6] {
            assert!(Pitch::from_dpi(dpi).is_none(), "{dpi}");
        }
        for dpi in [100.0, 300.0, 600.0, 2400.0] {
            assert!(Pitch::from_dpi(dpi).is_some(), "{dpi}");
        }
    }
}
