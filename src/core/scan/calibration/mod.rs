//! The scale of a scanner, found from a thing of known size on its glass.

mod card;
mod rule;

use super::page::Page;
use super::reading::{Kinds, PageRefusal, read_kinds};
use super::scale::{Pitch, Scale, ScaleSource};
use crate::core::quantity::Length;
use serde::{Deserialize, Serialize};

/// Names a thing of known size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standard {
    /// A card of format ID-1 (ISO/IEC 7810:2019, 5: 85.60 mm by 53.98 mm), sides along the glass.
    Card,
    /// A steel rule with a mark every millimetre, along one axis or one along each.
    Rule,
    /// A ring of known outside diameter, such as that of a rolling bearing.
    Ring(Length),
}

/// Names an axis of a scanner.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Axis {
    /// Along a row of the picture: the sensor's own points.
    Across,
    /// Along a column: the steps of the carriage.
    Down,
}

/// What one axis was found to be.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct AxisScale {
    pub axis: Axis,
    /// A true millimetre over a millimetre by the stated resolution.
    pub factor: f64,
    /// Its relative standard uncertainty, the standard's own with it.
    pub relative_uncertainty: f64,
}

/// Says why a page calibrates nothing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "why")]
pub enum CalibrationRefusal {
    /// No card lies on it along its sides.
    NoCard,
    /// No rule with millimetres lies on it along its sides.
    NoRule,
    /// There is no ring, or none of about this size.
    NoRing,
    /// The page cannot be measured at all.
    #[serde(untagged)]
    Page(PageRefusal),
}

/// Farther from what the resolution says no scanner was seen by far: another thing was found.
const FARTHEST: f64 = 0.03;

/// Finds the scale along the axes that a standard shows.
///
/// # Errors
/// Says what is not found.
pub fn calibrate(
    page: &Page,
    pitch: Pitch,
    standard: Standard,
) -> Result<Vec<AxisScale>, CalibrationRefusal> {
    let found = match standard {
        Standard::Card => card::scales(page, pitch).ok_or(CalibrationRefusal::NoCard)?,
        Standard::Rule => rule::scales(page, pitch),
        Standard::Ring(outside) => ring_scales(page, pitch, outside)?,
    };
    let near = |scale: &AxisScale| (scale.factor - 1.0).abs() < FARTHEST;
    if found.is_empty() || !found.iter().all(near) {
        return Err(match standard {
            Standard::Card => CalibrationRefusal::NoCard,
            Standard::Rule => CalibrationRefusal::NoRule,
            Standard::Ring(_) => CalibrationRefusal::NoRing,
        });
    }
    Ok(found)
}

/// Joins what several pages say of one axis: the mean, weighted by uncertainty. Standards of one kind share their error, so
/// that the mean is no surer than the best of them.
pub fn joined(scales: &[AxisScale], axis: Axis) -> Option<AxisScale> {
    let of_axis = || scales.iter().filter(|scale| scale.axis == axis);
    let weight = |scale: &AxisScale| scale.relative_uncertainty.powi(-2);
    let total: f64 = of_axis().map(weight).sum();
    let best = of_axis()
        .map(|s| s.relative_uncertainty)
        .min_by(f64::total_cmp)?;
    let factor = of_axis().map(|s| s.factor * weight(s)).sum::<f64>() / total;
    let apart = of_axis()
        .map(|s| (s.factor - factor).abs())
        .fold(0.0, f64::max);
    Some(AxisScale {
        axis,
        factor,
        relative_uncertainty: best.max(apart),
    })
}

/// A ring's roundness and edges, mm, beside what the measurement itself doubts.
const RING_MM: f64 = 0.01;

fn ring_scales(
    page: &Page,
    pitch: Pitch,
    outside: Length,
) -> Result<Vec<AxisScale>, CalibrationRefusal> {
    let stated = Scale::stated(pitch, ScaleSource::File);
    let reading = read_kinds(page, &stated, 1, Kinds::AnyRing).map_err(CalibrationRefusal::Page)?;
    let known = outside.mm();
    let near = |od: f64| (od / known - 1.0).abs() < FARTHEST;
    let ring = reading
        .rings
        .iter()
        .filter(|ring| near(ring.od.value.mm()))
        .min_by(|a, b| a.score.total_cmp(&b.score))
        .ok_or(CalibrationRefusal::NoRing)?;
    let scale_part = stated.relative_uncertainty * ring.od.value.mm();
    let edges = (ring.od.uncertainty.mm().powi(2) - scale_part.powi(2))
        .max(0.0)
        .sqrt();
    let relative_uncertainty = edges.hypot(RING_MM) / known;
    let along = |axis, direction: f64| AxisScale {
        axis,
        factor: known / ring.outer.extent(direction),
        relative_uncertainty,
    };
    Ok(vec![
        along(Axis::Across, 0.0),
        along(Axis::Down, std::f64::consts::FRAC_PI_2),
    ])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_that_disagree_make_an_axis_less_sure() {
        let scale = |factor| AxisScale {
            axis: Axis::Across,
            factor,
            relative_uncertainty: 0.0005,
        };
        let alike = joined(&[scale(1.001), scale(1.001)], Axis::Across).expect("an axis");
        assert!((alike.relative_uncertainty - 0.0005).abs() < 1e-12);
        let apart = joined(&[scale(1.000), scale(1.004)], Axis::Across).expect("an axis");
        assert!((apart.factor - 1.002).abs() < 1e-12 && apart.relative_uncertainty > 0.0019);
        assert!(joined(&[scale(1.0)], Axis::Down).is_none());
    }
}
