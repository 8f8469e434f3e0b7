//! A chamfer under a shoulder or hex plug: the ring is crushed into a triangle.

use super::error::GlandError;
use super::geometry::{Geometry, Seat, require_order};
use super::profile::{Corner, circle_in_wedge, volume_of};
use super::spec::{GlandDimension as D, GlandKind, GlandSpec};
use crate::core::quantity::Dimension;

/// Holds a crush gland: the neck that the ring lies on, and the chamfer as its leg or as its diameter at the face.
///
/// The triangle is closed by neck, shoulder and chamfer. L is the diameter of the circle that touches all three. A ring
/// that fills the triangle wholly is then squeezed by 27 %, which agrees with the published pair "fill near 100 %, squeeze
/// about 30 %" (nh-oring.de, installation space). Metal meets metal at the shoulder, so there is no gap.
#[derive(Debug, Clone)]
pub(super) struct CrushGland {
    dimensions: Vec<(D, Dimension)>,
    angle: f64,
}

/// The chamfer where no angle is given.
pub(super) const USUAL_DEGREES: f64 = 45.0;

impl CrushGland {
    /// Makes the gland.
    ///
    /// # Errors
    /// Names a dimension that is missing, zero or in the wrong order, or an angle that makes no chamfer.
    pub(super) fn new(spec: &GlandSpec) -> Result<Self, GlandError> {
        spec.still()?;
        let neck = spec.needed(D::Neck)?;
        let chamfer = match (spec.optional(D::Mouth)?, spec.optional(D::Chamfer)?) {
            (Some(_), Some(_)) => return Err(GlandError::ChamferTwice),
            (None, Some(leg)) => (D::Chamfer, leg),
            (None, None) => return Err(missing_chamfer(spec)),
            (Some(mouth), None) => {
                require_order(D::Mouth, mouth, D::Neck, neck, false)?;
                (D::Mouth, mouth)
            }
        };
        let degrees = spec.degrees().unwrap_or(USUAL_DEGREES);
        if !(20.0..=70.0).contains(&degrees) {
            return Err(GlandError::Angle {
                kind: spec.kind,
                takes: "a chamfer of 20 to 70 deg from the axis",
                degrees,
            });
        }
        Ok(Self {
            dimensions: vec![(D::Neck, neck), chamfer],
            angle: degrees.to_radians(),
        })
    }
}

fn missing_chamfer(spec: &GlandSpec) -> GlandError {
    GlandError::Missing {
        kind: spec.kind,
        dimension: D::Mouth,
    }
}

impl Geometry for CrushGland {
    fn kind(&self) -> GlandKind {
        GlandKind::Crush
    }

    fn dimensions(&self) -> &[(D, Dimension)] {
        &self.dimensions
    }

    fn seat(&self, mm: &[f64]) -> Seat {
        let (neck, second) = (mm[0], mm[1]);
        let leg = if self.dimensions[1].0 == D::Chamfer {
            second
        } else {
            (second - neck) / 2.0
        };
        let inner = neck / 2.0;
        let volume = volume_of(&[
            Corner::sharp(inner, 0.0),
            Corner::sharp(inner + leg, 0.0),
            Corner::sharp(inner, leg / libm::tan(self.angle)),
        ]);
        Seat {
            inside: Some(neck),
            gap: Some(0.0),
            ..Seat::of(circle_in_wedge(leg, self.angle), volume)
        }
    }
}
