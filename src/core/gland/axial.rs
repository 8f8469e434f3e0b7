//! Grooves whose ring is squeezed between two faces: in a flat face, undercut or not, and under the flat head of a plug.
//!
//! L is the depth of the groove; the faces are taken to touch, so there is no gap.

use super::error::GlandError;
use super::geometry::{Geometry, Seat, axial_volume, half, place_of, require_order, too_round};
use super::profile::{Corner, Edge, Trough, volume_of};
use super::spec::{GlandDimension as D, GlandSpec, PressureSide};
use crate::core::quantity::{Dimension, Length, NM_PER_MM};

/// Makes the gland of a groove in a flat face: the wall that the pressure presses the ring against, groove depth and width.
///
/// Pressure from inside presses the ring outwards, so the outer wall locates it; pressure from outside does the same at the
/// inner wall. The side of the pressure is the one stated, or follows from the wall that was given. Where both walls are given
/// and the width is not, the width is half their difference.
///
/// # Errors
/// Names a dimension that is missing, foreign or zero, or a wall, width and depth that contradict each other.
pub(super) fn face(spec: &GlandSpec) -> Result<Geometry, GlandError> {
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
    let room = depth.least().min(half(width.least()));
    let radius = spec.add_bottom_radius(room, &mut dimensions)?;
    let lean = libm::tan(spec.radians()?);
    Ok(Geometry::new(spec, dimensions, move |mm| {
        let (wall, depth, width) = (mm[0], mm[1], mm[2]);
        let trough = Trough {
            width,
            lean,
            radius: radius.map_or(0.0, |i| mm[i]),
        };
        let volume = |outer: f64, inner: f64| axial_volume(outer, inner, depth, trough);
        let closed = |volume: f64| Seat {
            gap: Some(0.0),
            ..Seat::of(depth, volume)
        };
        match from {
            PressureSide::Inside => {
                let within = wall - 2.0 * width;
                Seat {
                    outside: Some(wall),
                    within: Some(within),
                    ..closed(volume(wall, within))
                }
            }
            PressureSide::Outside => {
                let around = wall + 2.0 * width;
                Seat {
                    inside: Some(wall),
                    around: Some(around),
                    ..closed(volume(around, wall))
                }
            }
        }
    }))
}

/// Takes the width that was given if it agrees with the two walls to a tenth of a millimetre, or half their difference.
fn width_between(
    spec: &GlandSpec,
    outer: Dimension,
    inner: Dimension,
) -> Result<Dimension, GlandError> {
    const AGREE_NM: i64 = NM_PER_MM / 10;
    require_order(D::Outer, outer, D::Inner, inner, false)?;
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

/// Makes the gland of a counterbore under the flat head of a plug: its diameter, the neck of the plug within, its depth and, where
/// known, its bottom radius. The head is taken to sit flat.
///
/// # Errors
/// Names a dimension that is missing, zero or in the wrong order; a counterbore takes no angle.
pub(super) fn counterbore(spec: &GlandSpec) -> Result<Geometry, GlandError> {
    spec.radians()?;
    let (outer, neck) = (spec.needed(D::Outer)?, spec.needed(D::Neck)?);
    let depth = spec.needed(D::Depth)?;
    require_order(D::Outer, outer, D::Neck, neck, false)?;
    let mut dimensions = vec![(D::Outer, outer), (D::Neck, neck), (D::Depth, depth)];
    let width = half(outer.least() - neck.greatest());
    let room = depth.least().min(half(width));
    let radius = spec.add_bottom_radius(room, &mut dimensions)?;
    Ok(Geometry::new(spec, dimensions, move |mm| {
        let (outer, neck, depth) = (mm[0], mm[1], mm[2]);
        let trough = Trough {
            width: (outer - neck) / 2.0,
            lean: 0.0,
            radius: radius.map_or(0.0, |i| mm[i]),
        };
        Seat {
            inside: Some(neck),
            outside: Some(outer),
            gap: Some(0.0),
            ..Seat::of(depth, axial_volume(outer, neck, depth, trough))
        }
    }))
}

/// Makes the gland of an undercut groove (both walls of a dovetail, the outer one of a half dovetail): mean diameter, depth, width at
/// the mouth (sharp corners), and the radii where known.
///
/// # Errors
/// Names a dimension that is missing, zero or too large, or an angle that makes no undercut.
pub(super) fn undercut(spec: &GlandSpec, both_walls: bool) -> Result<Geometry, GlandError> {
    let (centre, depth) = (spec.needed(D::Centre)?, spec.needed(D::Depth)?);
    let width = spec.needed(D::Width)?;
    let angle = spec.radians()?;
    let undercut =
        Length::from_mm(depth.greatest().mm() / libm::tan(angle)).unwrap_or(Length::ZERO);
    let side = half(width.greatest()) + undercut;
    if centre.least() <= side + side {
        return Err(GlandError::NoInnerWall {
            outer: centre.least(),
            width: side + side,
        });
    }
    let mut dimensions = vec![(D::Centre, centre), (D::Depth, depth), (D::Width, width)];
    let room = half(depth.least().min(width.least()));
    for which in [D::Radius, D::Lip] {
        if let Some(radius) = spec.optional(which)? {
            dimensions.push((which, too_round(which, radius, room)?));
        }
    }
    let (radius, lip) = (
        place_of(&dimensions, D::Radius),
        place_of(&dimensions, D::Lip),
    );
    Ok(Geometry::new(spec, dimensions, move |mm| {
        let (centre, depth, width) = (mm[0], mm[1], mm[2]);
        let (within, out) = (f64::midpoint(centre, -width), f64::midpoint(centre, width));
        let undercut = depth / libm::tan(angle);
        let fillet = Edge::Fillet(radius.map_or(0.0, |i| mm[i]));
        let lip = lip.map_or(0.0, |i| mm[i]);
        let (inner_undercut, inner_lip) = if both_walls {
            (undercut, Edge::LipBehind(lip))
        } else {
            (0.0, Edge::Sharp)
        };
        let volume = volume_of(&[
            Corner::with(within, depth, inner_lip),
            Corner::with(out, depth, Edge::Lip(lip)),
            Corner::with(out + undercut, 0.0, fillet),
            Corner::with(within - inner_undercut, 0.0, fillet),
        ]);
        Seat {
            centre: Some(centre),
            gap: Some(0.0),
            ..Seat::of(depth, volume)
        }
    }))
}
