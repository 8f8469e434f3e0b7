//! A groove in a housing: the ring is squeezed against the rod.

use super::error::GlandError;
use super::geometry::{Geometry, Seat, annulus, require_order};
use super::spec::{GlandDimension as D, GlandKind, GlandSpec};
use crate::core::quantity::Dimension;

/// Holds a rod gland: rod, groove diameter, groove width and, where known, the housing bore beside the groove.
///
/// L = (groove − rod)/2, so L_max = (groove_max − rod_min)/2, as published tables form it.
#[derive(Debug, Clone)]
pub(super) struct RodGland {
    dimensions: Vec<(D, Dimension)>,
}

impl RodGland {
    /// Makes the gland.
    ///
    /// # Errors
    /// Names a dimension that is missing, foreign, zero or in the wrong order.
    pub(super) fn new(spec: &GlandSpec) -> Result<Self, GlandError> {
        spec.only(&[D::Rod, D::Groove, D::Width, D::Housing])?;
        let (rod, groove) = (spec.needed(D::Rod)?, spec.needed(D::Groove)?);
        let width = spec.needed(D::Width)?;
        require_order((D::Groove, groove), (D::Rod, rod), false)?;
        let mut dimensions = vec![(D::Rod, rod), (D::Groove, groove), (D::Width, width)];
        if let Some(housing) = spec.optional(D::Housing)? {
            require_order((D::Housing, housing), (D::Rod, rod), true)?;
            require_order((D::Groove, groove), (D::Housing, housing), false)?;
            dimensions.push((D::Housing, housing));
        }
        Ok(Self { dimensions })
    }
}

impl Geometry for RodGland {
    fn kind(&self) -> GlandKind {
        GlandKind::Rod
    }

    fn dimensions(&self) -> &[(D, Dimension)] {
        &self.dimensions
    }

    fn seat(&self, mm: &[f64]) -> Seat {
        let (rod, groove, width) = (mm[0], mm[1], mm[2]);
        Seat {
            depth: (groove - rod) / 2.0,
            volume: annulus(groove, rod, width),
            inside: Some(rod),
            outside: Some(groove),
            gap: mm.get(3).map(|housing| housing - rod),
        }
    }
}
