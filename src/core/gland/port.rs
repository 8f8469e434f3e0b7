//! A straight-thread boss port: the ring is wedged between plug, shoulder and the cone of the port.

use super::error::GlandError;
use super::geometry::{Geometry, Seat, require_order};
use super::profile::{Corner, circle_in_wedge, volume_of};
use super::spec::{GlandDimension as D, GlandKind, GlandSpec};
use crate::core::quantity::Dimension;

/// Holds a boss port: neck of the plug, diameter and depth of the cone at the face, angle of the cone from the axis.
///
/// L is the diameter of the circle that touches neck, shoulder and cone. The ring may fill the space down to the end of the
/// cone. Metal meets metal at the shoulder, so there is no gap.
#[derive(Debug, Clone)]
pub(super) struct PortGland {
    dimensions: Vec<(D, Dimension)>,
    angle: f64,
}

/// The cone where neither thread nor angle is given.
pub(super) const USUAL_DEGREES: f64 = 12.0;

impl PortGland {
    /// Makes the gland.
    ///
    /// # Errors
    /// Names a dimension that is missing, zero or in the wrong order, an angle that makes no cone, or a cone that closes.
    pub(super) fn new(spec: &GlandSpec) -> Result<Self, GlandError> {
        spec.still()?;
        let (neck, mouth) = (spec.needed(D::Neck)?, spec.needed(D::Mouth)?);
        let depth = spec.needed(D::Depth)?;
        require_order(D::Mouth, mouth, D::Neck, neck, false)?;
        let degrees = spec.degrees().unwrap_or(USUAL_DEGREES);
        if !(5.0..=45.0).contains(&degrees) {
            return Err(GlandError::Angle {
                kind: spec.kind,
                takes: "a cone of 5 to 45 deg from the axis",
                degrees,
            });
        }
        let angle = degrees.to_radians();
        let space = (mouth.least().mm() - neck.greatest().mm()) / 2.0;
        if depth.greatest().mm() * libm::tan(angle) >= space {
            return Err(GlandError::ConeCloses {
                mouth: mouth.least(),
                neck: neck.greatest(),
                depth: depth.greatest(),
            });
        }
        Ok(Self {
            dimensions: vec![(D::Neck, neck), (D::Mouth, mouth), (D::Depth, depth)],
            angle,
        })
    }
}

impl Geometry for PortGland {
    fn kind(&self) -> GlandKind {
        GlandKind::Port
    }

    fn dimensions(&self) -> &[(D, Dimension)] {
        &self.dimensions
    }

    fn seat(&self, mm: &[f64]) -> Seat {
        let (neck, mouth, depth) = (mm[0], mm[1], mm[2]);
        let (inner, outer) = (neck / 2.0, mouth / 2.0);
        let volume = volume_of(&[
            Corner::sharp(inner, 0.0),
            Corner::sharp(outer, 0.0),
            Corner::sharp(outer - depth * libm::tan(self.angle), depth),
            Corner::sharp(inner, depth),
        ]);
        Seat {
            inside: Some(neck),
            gap: Some(0.0),
            ..Seat::of(circle_in_wedge(outer - inner, self.angle), volume)
        }
    }
}
