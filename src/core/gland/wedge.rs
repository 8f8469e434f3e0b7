//! Spaces in which a ring is wedged between a neck, a shoulder and a cone: the chamfer under a plug, the straight-thread boss port.
//!
//! L is the diameter of the circle that touches all three. Metal meets metal at the shoulder, so there is no gap.

use super::error::GlandError;
use super::geometry::{Geometry, Seat, require_order};
use super::profile::{Corner, circle_in_wedge, volume_of};
use super::spec::{GlandDimension as D, GlandSpec};

/// Makes the gland of a chamfer under a shoulder or hex plug: the neck that the ring lies on, and the chamfer as its leg or as
/// its diameter at the face.
///
/// A ring that fills the triangle wholly is squeezed by 27 %, which agrees with the published pair "fill near 100 %, squeeze
/// about 30 %" (nh-oring.de, installation space).
///
/// # Errors
/// Names a dimension that is missing, zero or in the wrong order, or an angle that makes no chamfer.
pub(super) fn crush(spec: &GlandSpec) -> Result<Geometry, GlandError> {
    let neck = spec.needed(D::Neck)?;
    let chamfer = match (spec.optional(D::Mouth)?, spec.optional(D::Chamfer)?) {
        (Some(_), Some(_)) => return Err(GlandError::ChamferTwice),
        (None, Some(leg)) => (D::Chamfer, leg),
        (None, None) => (D::Mouth, spec.needed(D::Mouth)?),
        (Some(mouth), None) => {
            require_order(D::Mouth, mouth, D::Neck, neck, false)?;
            (D::Mouth, mouth)
        }
    };
    let angle = spec.radians()?;
    let by_leg = chamfer.0 == D::Chamfer;
    let dimensions = vec![(D::Neck, neck), chamfer];
    Ok(Geometry::new(spec, dimensions, move |mm| {
        let (neck, second) = (mm[0], mm[1]);
        let leg = if by_leg {
            second
        } else {
            (second - neck) / 2.0
        };
        let inner = neck / 2.0;
        let corners = [
            Corner::sharp(inner, 0.0),
            Corner::sharp(inner + leg, 0.0),
            Corner::sharp(inner, leg / libm::tan(angle)),
        ];
        wedged(neck, circle_in_wedge(leg, angle), &corners)
    }))
}

/// Makes the gland of a boss port: neck of the plug, diameter and depth of the cone at the face, angle of the cone from the axis.
///
/// The ring may fill the space down to the end of the cone.
///
/// # Errors
/// Names a dimension that is missing, zero or in the wrong order, an angle that makes no cone, or a cone that closes.
pub(super) fn port(spec: &GlandSpec) -> Result<Geometry, GlandError> {
    let (neck, mouth) = (spec.needed(D::Neck)?, spec.needed(D::Mouth)?);
    let depth = spec.needed(D::Depth)?;
    require_order(D::Mouth, mouth, D::Neck, neck, false)?;
    let angle = spec.radians()?;
    let space = (mouth.least().mm() - neck.greatest().mm()) / 2.0;
    if depth.greatest().mm() * libm::tan(angle) >= space {
        return Err(GlandError::ConeCloses {
            mouth: mouth.least(),
            neck: neck.greatest(),
            depth: depth.greatest(),
        });
    }
    let dimensions = vec![(D::Neck, neck), (D::Mouth, mouth), (D::Depth, depth)];
    Ok(Geometry::new(spec, dimensions, move |mm| {
        let (neck, depth) = (mm[0], mm[2]);
        let (inner, outer) = (neck / 2.0, mm[1] / 2.0);
        let corners = [
            Corner::sharp(inner, 0.0),
            Corner::sharp(outer, 0.0),
            Corner::sharp(outer - depth * libm::tan(angle), depth),
            Corner::sharp(inner, depth),
        ];
        wedged(neck, circle_in_wedge(outer - inner, angle), &corners)
    }))
}

fn wedged(neck: f64, depth: f64, corners: &[Corner]) -> Seat {
    Seat {
        inside: Some(neck),
        gap: Some(0.0),
        ..Seat::of(depth, volume_of(corners))
    }
}
