//! A groove in a piston: the ring is squeezed against the bore.

use super::column::Column;
use super::cylinder::OuterGroove;
use super::error::GlandError;
use super::geometry::{Geometry, Seat};
use super::seats::Seats;
use super::spec::{GlandDimension as D, GlandKind, GlandSpec};
use crate::core::quantity::Dimension;

/// Holds a piston gland: bore, groove diameter, groove width and, where known, the piston beside the groove.
#[derive(Debug, Clone)]
pub(super) struct PistonGland(OuterGroove);

impl PistonGland {
    /// Makes the gland.
    ///
    /// # Errors
    /// Names a dimension that is missing, zero or in the wrong order.
    pub(super) fn new(spec: &GlandSpec) -> Result<Self, GlandError> {
        Ok(Self(OuterGroove::new(spec, D::Piston)?))
    }
}

impl Geometry for PistonGland {
    fn kind(&self) -> GlandKind {
        GlandKind::Piston
    }

    fn dimensions(&self) -> &[(D, Dimension)] {
        &self.0.dimensions
    }

    fn seat(&self, mm: &[f64]) -> Seat {
        self.0.seat(mm)
    }

    fn seats(&self, mm: &[Column], seats: &mut Seats) {
        self.0.seats(mm, seats);
    }

    fn widened_by_pressure(&self) -> &'static [D] {
        &[D::Bore]
    }

    fn beside(&self) -> Option<D> {
        Some(D::Piston)
    }
}
