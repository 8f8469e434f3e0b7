//! A counterbore under the flat head of a plug.

use super::error::GlandError;
use super::geometry::{Geometry, Seat, axial_volume, place_of, require_order};
use super::profile::Trough;
use super::spec::{GlandDimension as D, GlandKind, GlandSpec};
use crate::core::quantity::{Dimension, Length};

/// Holds a counterbore: its diameter, the neck of the plug within, its depth and, where known, its bottom radius.
///
/// The head is taken to sit flat, so L is the depth and there is no gap.
#[derive(Debug, Clone)]
pub(super) struct CounterboreGland {
    dimensions: Vec<(D, Dimension)>,
    radius: Option<usize>,
}

impl CounterboreGland {
    /// Makes the gland.
    ///
    /// # Errors
    /// Names a dimension that is missing, zero or in the wrong order; a counterbore takes no angle.
    pub(super) fn new(spec: &GlandSpec) -> Result<Self, GlandError> {
        spec.still()?;
        if let Some(degrees) = spec.degrees() {
            return Err(GlandError::Angle {
                kind: spec.kind,
                takes: "square walls",
                degrees,
            });
        }
        let (outer, neck) = (spec.needed(D::Outer)?, spec.needed(D::Neck)?);
        let depth = spec.needed(D::Depth)?;
        require_order(D::Outer, outer, D::Neck, neck, false)?;
        let mut dimensions = vec![(D::Outer, outer), (D::Neck, neck), (D::Depth, depth)];
        let width = Length::from_nm((outer.least() - neck.greatest()).nm() / 2);
        let room = depth.least().min(Length::from_nm(width.nm() / 2));
        if let Some(radius) = spec.bottom_radius(room)? {
            dimensions.push((D::Radius, radius));
        }
        Ok(Self {
            radius: place_of(&dimensions, D::Radius),
            dimensions,
        })
    }
}

impl Geometry for CounterboreGland {
    fn kind(&self) -> GlandKind {
        GlandKind::Counterbore
    }

    fn dimensions(&self) -> &[(D, Dimension)] {
        &self.dimensions
    }

    fn seat(&self, mm: &[f64]) -> Seat {
        let (outer, neck, depth) = (mm[0], mm[1], mm[2]);
        let trough = Trough {
            width: (outer - neck) / 2.0,
            lean: 0.0,
            radius: self.radius.map_or(0.0, |i| mm[i]),
        };
        Seat {
            inside: Some(neck),
            outside: Some(outer),
            gap: Some(0.0),
            axial: true,
            ..Seat::of(depth, axial_volume(outer, neck, depth, trough))
        }
    }
}
