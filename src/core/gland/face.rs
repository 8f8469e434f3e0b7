//! A groove in a flat face: the ring is squeezed between two faces.

use super::error::GlandError;
use super::geometry::{Geometry, OtherWall, Seat, axial_volume, place_of};
use super::profile::Trough;
use super::spec::{GlandDimension as D, GlandKind, GlandSpec, PressureSide};
use crate::core::quantity::{Dimension, Length, NM_PER_MM};

/// Holds a face gland: the wall that the pressure presses the ring against, groove depth and width.
///
/// L is the groove depth; the faces are taken to touch, so there is no gap. Pressure from inside presses the ring
/// outwards, so the outer wall locates it; pressure from outside does the same at the inner wall.
#[derive(Debug, Clone)]
pub(super) struct FaceGland {
    from: PressureSide,
    lean: f64,
    radius: Option<usize>,
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
        let mut dimensions = vec![(wall, diameter), (D::Depth, depth), (D::Width, width)];
        let room = depth.least().min(Length::from_nm(width.least().nm() / 2));
        if let Some(radius) = spec.bottom_radius(room)? {
            dimensions.push((D::Radius, radius));
        }
        Ok(Self {
            from,
            lean: spec.wall_lean()?,
            radius: place_of(&dimensions, D::Radius),
            dimensions,
        })
    }
}

/// Takes the width that was given if it agrees with the two walls to a tenth of a millimetre, or half their difference.
fn width_between(
    spec: &GlandSpec,
    outer: Dimension,
    inner: Dimension,
) -> Result<Dimension, GlandError> {
    const AGREE_NM: i64 = NM_PER_MM / 10;
    super::geometry::require_order(D::Outer, outer, D::Inner, inner, false)?;
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
        let trough = Trough {
            width,
            lean: self.lean,
            radius: self.radius.map_or(0.0, |i| mm[i]),
        };
        let volume = |outer: f64, inner: f64| axial_volume(outer, inner, depth, trough);
        let seat = match self.from {
            PressureSide::Inside => {
                let within = wall - 2.0 * width;
                Seat {
                    outside: Some(wall),
                    other: Some(OtherWall::Within(within)),
                    ..Seat::of(depth, volume(wall, within))
                }
            }
            PressureSide::Outside => {
                let around = wall + 2.0 * width;
                Seat {
                    inside: Some(wall),
                    other: Some(OtherWall::Around(around)),
                    ..Seat::of(depth, volume(around, wall))
                }
            }
        };
        Seat {
            gap: Some(0.0),
            axial: true,
            ..seat
        }
    }
}
