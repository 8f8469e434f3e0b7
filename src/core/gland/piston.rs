//! A groove in a piston, or a seat carrier in the place of one: the ring is squeezed against the bore.

use super::column::Column;
use super::cylinder::OuterGroove;
use super::error::GlandError;
use super::geometry::{Geometry, Seat};
use super::seats::Seats;
use super::spec::{GlandDimension as D, GlandKind, GlandSpec};
use crate::core::quantity::Dimension;

/// Holds a gland in a bore: bore, groove diameter, groove width and, where known, the piston or carrier beside the groove.
///
/// Where the ring lies on a step between a seat carrier's shoulder and the bottom of the bore, the width is that space with
/// the carrier home. A carrier's ring is held still.
#[derive(Debug, Clone)]
pub(super) struct PistonGland {
    groove: OuterGroove,
    kind: GlandKind,
    beside: D,
}

impl PistonGland {
    /// Makes the gland of a piston.
    ///
    /// # Errors
    /// Names a dimension that is missing, zero or in the wrong order.
    pub(super) fn piston(spec: &GlandSpec) -> Result<Self, GlandError> {
        Self::new(spec, GlandKind::Piston, D::Piston)
    }

    /// Makes the gland of a seat carrier.
    ///
    /// # Errors
    /// Names a dimension that is missing, zero or in the wrong order, or says that the ring is held still.
    pub(super) fn carrier(spec: &GlandSpec) -> Result<Self, GlandError> {
        spec.still()?;
        Self::new(spec, GlandKind::Carrier, D::Carrier)
    }

    fn new(spec: &GlandSpec, kind: GlandKind, beside: D) -> Result<Self, GlandError> {
        Ok(Self {
            groove: OuterGroove::new(spec, beside)?,
            kind,
            beside,
        })
    }
}

impl Geometry for PistonGland {
    fn kind(&self) -> GlandKind {
        self.kind
    }

    fn dimensions(&self) -> &[(D, Dimension)] {
        &self.groove.dimensions
    }

    fn seat(&self, mm: &[f64]) -> Seat {
        self.groove.seat(mm)
    }

    fn seats(&self, mm: &[Column], seats: &mut Seats) {
        self.groove.seats(mm, seats);
    }

    fn widened_by_pressure(&self) -> &'static [D] {
        &[D::Bore]
    }

    fn beside(&self) -> Option<D> {
        Some(self.beside)
    }
}
