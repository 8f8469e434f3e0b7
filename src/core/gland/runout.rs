//! A gland whose groove runs out of true to the part it is cut in.

use super::column::Column;
use super::error::GlandError;
use super::geometry::{Geometry, Seat, geometry};
use super::seats::Seats;
use super::spec::{GlandDimension as D, GlandKind, GlandSpec};
use crate::core::quantity::Dimension;

/// Holds a gland of any kind with the total runout of its groove as one more dimension.
#[derive(Debug)]
pub(super) struct RunoutGland {
    true_gland: Box<dyn Geometry>,
    dimensions: Vec<(D, Dimension)>,
}

impl RunoutGland {
    /// Makes the gland.
    ///
    /// # Errors
    /// As [`geometry`], and where the kind has no runout.
    pub(super) fn new(spec: &GlandSpec) -> Result<Self, GlandError> {
        spec.only()?;
        let runout = spec.needed(D::Runout)?;
        let mut rest = spec.clone();
        rest.dimensions.retain(|(d, _)| *d != D::Runout);
        let true_gland = geometry(&rest)?;
        let mut dimensions = true_gland.dimensions().to_vec();
        dimensions.push((D::Runout, runout));
        Ok(Self {
            true_gland,
            dimensions,
        })
    }
}

impl Geometry for RunoutGland {
    fn kind(&self) -> GlandKind {
        self.true_gland.kind()
    }

    fn dimensions(&self) -> &[(D, Dimension)] {
        &self.dimensions
    }

    fn seat(&self, mm: &[f64]) -> Seat {
        let (runout, rest) = mm.split_last().unwrap_or((&0.0, mm));
        Seat {
            runout: *runout,
            ..self.true_gland.seat(rest)
        }
    }

    fn seats(&self, mm: &[Column], seats: &mut Seats) {
        if let Some((runout, rest)) = mm.split_last() {
            self.true_gland.seats(rest, seats);
            seats.runout = *runout;
        }
    }

    fn widened_by_pressure(&self) -> &'static [D] {
        self.true_gland.widened_by_pressure()
    }

    fn beside(&self) -> Option<D> {
        self.true_gland.beside()
    }
}
