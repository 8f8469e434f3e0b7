//! A static ring on a seat carrier, sealed in the bore of the body.

use super::column::Column;
use super::cylinder::OuterGroove;
use super::error::GlandError;
use super::geometry::{Geometry, Seat};
use super::seats::Seats;
use super::spec::{GlandDimension as D, GlandKind, GlandSpec};
use crate::core::quantity::Dimension;

/// Holds the gland of a seat carrier: bore, diameter under the ring, width and, where known, the carrier beside the ring.
///
/// Where the ring lies on a step between the carrier's shoulder and the bottom of the bore, the width is that space with
/// the carrier home. The ring is held still.
#[derive(Debug, Clone)]
pub(super) struct CarrierGland(OuterGroove);

impl CarrierGland {
    /// Makes the gland.
    ///
    /// # Errors
    /// Names a dimension that is missing, zero or in the wrong order, or says that the ring is held still.
    pub(super) fn new(spec: &GlandSpec) -> Result<Self, GlandError> {
        spec.still()?;
        Ok(Self(OuterGroove::new(spec, D::Carrier)?))
    }
}

impl Geometry for CarrierGland {
    fn kind(&self) -> GlandKind {
        GlandKind::Carrier
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
        Some(D::Carrier)
    }
}
