//! A groove in a flat face: the ring is squeezed between two faces.

use super::error::GlandError;
use super::geometry::{Geometry, Seat, annulus};
use super::spec::{GlandDimension as D, GlandKind, GlandSpec, PressureSide};
use crate::core::quantity::{Dimension, Length, NM_PER_MM};

/// Holds a face gland: the wall that the pressure presses the ring against, groove depth and width.
///
/// L is the groove depth; the faces are taken to touch, so there is no gap. Pressure from inside presses the ring
/// outwards, so the outer wall locates it; pressure from outside does the same at the inner wall.
#[derive(Debug, Clone)]
pub(super) struct FaceGland {
    from: PressureSide,
    dimensions: Vec<(D, Dimension)>,
}

impl FaceGland {
    /// Makes the gland.
    ///
    /// The side of the pressure is the one stated, or follows from the wall that was given. Where both walls are given
    /// and the width is not, the width is half their difference.
    ///
    /// # Errors
    /// Names a dimension that is missing, foreign or zero, or a wall, width and depth that contradict each other.
    pub(super) fn new(spec: &GlandSpec) -> Result<Self, GlandError> {
        spec.only(&[D::Outer, D::Inner, D::Depth, D::Width])?;
        let (outer, inner) = (spec.optional(D::Outer)?, spec.optional(D::Inner)?);
        let from = spec.from.unwrap_or(if outer.is_none() && inner.is_some() {
            PressureSide::Outside
        } else {
            PressureSide::Inside
        });
        let wall = match from {
            PressureSide::Inside => D::Outer,
            PressureSide::Outside => D::Inner,
        };
        let diameter = spec.needed(wall)?;
        let depth = spec.needed(D::Depth)?;
        let width = match (outer, inner) {
            (Some(outer), Some(inner)) => width_between(spec, outer, inner)?,
            _ => spec.needed(D::Width)?,
        };
        if from == PressureSide::Inside && diameter.least() <= width.greatest() + width.greatest() {
            return Err(GlandError::NoInnerWall {
                outer: diameter.least(),
                width: width.greatest(),
            });
        }
        let dimensions = vec![(wall, diameter), (D::Depth, depth), (D::Width, width)];
        Ok(Self { from, dimensions })
    }
}

/// Takes the width that was given if it agrees with the two walls to a tenth of a millimetre, or half their difference.
fn width_between(
    spec: &GlandSpec,
    outer: Dimension,
    inner: Dimension,
) -> Result<Dimension, GlandError> {
    const AGREE_NM: i64 = NM_PER_MM / 10;
    super::geometry::require_order((D::Outer, outer), (D::Inner, inner), false)?;
    let half = |length: Length| Length::from_nm(length.nm() / 2);
    let between = half(outer.nominal - inner.nominal);
    let Some(width) = spec.optional(D::Width)? else {
        return Ok(Dimension {
            nominal: between,
            plus: half(outer.plus + inner.minus),
            minus: half(outer.minus + inner.plus),
        });
    };
    if (width.nominal - between).nm().abs() > AGREE_NM {
        return Err(GlandError::Width {
            outer: outer.nominal,
            inner: inner.nominal,
            between,
            width: width.nominal,
        });
    }
    Ok(width)
}

impl Geometry for FaceGland {
    fn kind(&self) -> GlandKind {
        GlandKind::Face
    }

    fn dimensions(&self) -> &[(D, Dimension)] {
        &self.dimensions
    }

    fn seat(&self, mm: &[f64]) -> Seat {
        let (wall, depth, width) = (mm[0], mm[1], mm[2]);
        let (inside, outside, volume) = match self.from {
            PressureSide::Inside => (None, Some(wall), annulus(wall, wall - 2.0 * width, depth)),
            PressureSide::Outside => (Some(wall), None, annulus(wall + 2.0 * width, wall, depth)),
        };
        Seat {
            depth,
            volume,
            inside,
            outside,
            gap: Some(0.0),
        }
    }
}
