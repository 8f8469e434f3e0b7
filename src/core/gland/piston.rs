//! A groove in a piston: the ring is squeezed against the bore.

use super::error::GlandError;
use super::geometry::{Geometry, Seat, annulus, require_order};
use super::spec::{GlandDimension as D, GlandKind, GlandSpec};
use crate::core::quantity::Dimension;

/// Holds a piston gland: bore, groove diameter, groove width and, where known, the piston beside the groove.
///
/// L = (bore − groove)/2, so L_max = (bore_max − groove_min)/2, as published tables form it.
#[derive(Debug, Clone)]
pub(super) struct PistonGland {
    dimensions: Vec<(D, Dimension)>,
}

impl PistonGland {
    /// Makes the gland.
    ///
    /// # Errors
    /// Names a dimension that is missing, foreign, zero or in the wrong order.
    pub(super) fn new(spec: &GlandSpec) -> Result<Self, GlandError> {
        spec.only(&[D::Bore, D::Groove, D::Width, D::Piston])?;
        let (bore, groove) = (spec.needed(D::Bore)?, spec.needed(D::Groove)?);
        let width = spec.needed(D::Width)?;
        require_order((D::Bore, bore), (D::Groove, groove), false)?;
        let mut dimensions = vec![(D::Bore, bore), (D::Groove, groove), (D::Width, width)];
        if let Some(piston) = spec.optional(D::Piston)? {
            require_order((D::Bore, bore), (D::Piston, piston), true)?;
            require_order((D::Piston, piston), (D::Groove, groove), false)?;
            dimensions.push((D::Piston, piston));
        }
        Ok(Self { dimensions })
    }
}

impl Geometry for PistonGland {
    fn kind(&self) -> GlandKind {
        GlandKind::Piston
    }

    fn dimensions(&self) -> &[(D, Dimension)] {
        &self.dimensions
    }

    fn seat(&self, mm: &[f64]) -> Seat {
        let (bore, groove, width) = (mm[0], mm[1], mm[2]);
        Seat {
            depth: (bore - groove) / 2.0,
            volume: annulus(bore, groove, width),
            inside: Some(groove),
            outside: None,
            gap: mm.get(3).map(|piston| bore - piston),
        }
    }
}
