//! What is known of one scanner at one resolution.

use super::calibration::{Axis, AxisScale, joined};
use super::scale::{Pitch, Scale, ScaleSource};
use serde::{Deserialize, Serialize};

/// A scanner's calibration at one resolution.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ScannerProfile {
    /// The scanner, as it is called in the shop.
    pub name: String,
    /// The resolution that its files state, dots an inch, to the whole number.
    pub dpi: u32,
    /// Along the rows, where that was calibrated.
    pub across: Option<AxisScale>,
    /// Along the columns.
    pub down: Option<AxisScale>,
    /// From what, in words.
    pub standard: String,
    /// When, ISO 8601.
    pub calibrated_at: String,
}

impl ScannerProfile {
    /// Gives the whole number of dots an inch under which a pitch is kept.
    pub fn dpi_of(pitch: Pitch) -> u32 {
        pitch.dpi().round() as u32
    }

    /// Takes what pages of one calibration say, in place of what was known of the axes that they show.
    pub fn take(&mut self, scales: &[AxisScale]) {
        self.across = joined(scales, Axis::Across).or(self.across);
        self.down = joined(scales, Axis::Down).or(self.down);
    }

    /// Gives the scale of a page from this scanner that states a pitch. An axis that was not calibrated is what the page says.
    pub fn scale(&self, pitch: Pitch) -> Scale {
        let factor = |axis: Option<AxisScale>| axis.map_or(1.0, |scale| scale.factor);
        let doubt = |axis: Option<AxisScale>| {
            axis.map_or(ScaleSource::UNCALIBRATED, |scale| {
                scale.relative_uncertainty
            })
        };
        Scale {
            across: pitch.times(factor(self.across)),
            down: pitch.times(factor(self.down)),
            // A diameter is the mean of both axes, which a shared standard moves together.
            relative_uncertainty: f64::midpoint(doubt(self.across), doubt(self.down)),
            source: ScaleSource::Calibrated,
            lens: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_axis_that_was_not_calibrated_keeps_its_doubt() {
        let mut profile = ScannerProfile {
            name: "bench".to_owned(),
            dpi: 600,
            across: None,
            down: None,
            standard: "steel rule".to_owned(),
            calibrated_at: String::new(),
        };
        profile.take(&[AxisScale {
            axis: Axis::Down,
            factor: 1.002,
            relative_uncertainty: 0.0004,
        }]);
        let pitch = Pitch::from_dpi(600.0).expect("a pitch");
        let scale = profile.scale(pitch);
        assert!((scale.down.mm() / pitch.mm() - 1.002).abs() < 1e-12);
        assert!((scale.across.mm() - pitch.mm()).abs() < 1e-12);
        assert!((scale.relative_uncertainty - 0.0012).abs() < 1e-12);
    }
}
