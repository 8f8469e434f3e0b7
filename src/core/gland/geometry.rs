//! What every kind of gland tells about itself.

use super::error::GlandError;
use super::face::FaceGland;
use super::piston::PistonGland;
use super::rod::RodGland;
use super::spec::{GlandDimension, GlandKind, GlandSpec};
use crate::core::quantity::{Dimension, Length};
use std::f64::consts::PI;

/// Holds the place of the ring with every dimension of the gland settled. Lengths in millimetres, volume in mm³.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seat {
    /// Gland depth L: the space into which the section is squeezed.
    pub depth: f64,
    /// Volume of the annulus that the ring may fill.
    pub volume: f64,
    /// Diameter that the inside of the ring lies on.
    pub inside: Option<f64>,
    /// Diameter that the outside of the ring lies in.
    pub outside: Option<f64>,
    /// Diametral clearance of the parts: the whole gap where they can rest on one side.
    pub gap: Option<f64>,
}

/// Gives the geometry of one kind of gland: its dimensions, and the place they leave for the ring.
///
/// A new kind is one new type. Worst case and sampling work on the dimensions alone and know no kind.
pub trait Geometry: std::fmt::Debug + Send + Sync {
    /// Returns the kind.
    fn kind(&self) -> GlandKind;

    /// Lists the dimensions that shape the seat, in the order in which [`Geometry::seat`] takes them.
    fn dimensions(&self) -> &[(GlandDimension, Dimension)];

    /// Works out the seat for settled dimensions in millimetres, in the order of [`Geometry::dimensions`].
    ///
    /// Every figure of the seat is monotone in every dimension, so that its extremes lie at the ends of the tolerances.
    fn seat(&self, mm: &[f64]) -> Seat;
}

/// Makes the geometry of a gland as it was measured or drawn.
///
/// # Errors
/// Names a dimension that is missing, does not belong to the kind or contradicts another, and says what to give.
pub fn geometry(spec: &GlandSpec) -> Result<Box<dyn Geometry>, GlandError> {
    Ok(match spec.kind {
        GlandKind::Piston => Box::new(PistonGland::new(spec)?),
        GlandKind::Rod => Box::new(RodGland::new(spec)?),
        GlandKind::Face => Box::new(FaceGland::new(spec)?),
    })
}

/// Returns the volume of an annulus of two diameters and a length.
pub(super) fn annulus(outer: f64, inner: f64, length: f64) -> f64 {
    const QUARTER: f64 = PI / 4.0;
    QUARTER * (outer * outer - inner * inner) * length
}

impl GlandSpec {
    /// Takes a dimension that the kind needs.
    pub(super) fn needed(&self, which: GlandDimension) -> Result<Dimension, GlandError> {
        let dimension = self.dimension(which).ok_or(GlandError::Missing {
            kind: self.kind,
            dimension: which,
        })?;
        positive(which, dimension)
    }

    /// Takes a dimension that may be left out.
    pub(super) fn optional(&self, which: GlandDimension) -> Result<Option<Dimension>, GlandError> {
        self.dimension(which)
            .map(|dimension| positive(which, dimension))
            .transpose()
    }

    /// Refuses dimensions that the kind does not have.
    pub(super) fn only(&self, known: &[GlandDimension]) -> Result<(), GlandError> {
        let foreign = self.dimensions.iter().find(|(d, _)| !known.contains(d));
        foreign.map_or(Ok(()), |(dimension, _)| {
            Err(GlandError::Foreign {
                kind: self.kind,
                dimension: *dimension,
            })
        })
    }
}

fn positive(which: GlandDimension, dimension: Dimension) -> Result<Dimension, GlandError> {
    if dimension.least() > Length::ZERO {
        Ok(dimension)
    } else {
        Err(GlandError::Zero { dimension: which })
    }
}

/// Requires one diameter to be larger than another, at the ends of their tolerances or (`at_nominal`) as stated.
pub(super) fn require_order(
    greater: (GlandDimension, Dimension),
    lesser: (GlandDimension, Dimension),
    at_nominal: bool,
) -> Result<(), GlandError> {
    let (above, below) = if at_nominal {
        (greater.1.nominal, lesser.1.nominal)
    } else {
        (greater.1.least(), lesser.1.greatest())
    };
    if above > below || (at_nominal && above == below) {
        return Ok(());
    }
    Err(GlandError::Order {
        greater: greater.0,
        greater_value: above,
        lesser: lesser.0,
        lesser_value: below,
    })
}
