//! A groove in a flat face whose undercut walls hold the ring.

use super::error::GlandError;
use super::geometry::{Geometry, Seat, place_of};
use super::profile::{Corner, Edge, volume_of};
use super::spec::{GlandDimension as D, GlandKind, GlandSpec};
use crate::core::quantity::{Dimension, Length};

/// Holds a dovetail or half dovetail: mean diameter, depth, width at the mouth (sharp corners), and the radii where known.
///
/// L is the depth; the faces are taken to touch, so there is no gap. A half dovetail is undercut at its outer wall. The
/// angle of the undercut wall from the bottom is 66° where none is given (recalled; the source of the table prints none).
#[derive(Debug, Clone)]
pub(super) struct DovetailGland {
    kind: GlandKind,
    dimensions: Vec<(D, Dimension)>,
    angle: f64,
    radius: Option<usize>,
    lip: Option<usize>,
}

pub(super) const USUAL_DEGREES: f64 = 66.0;

impl DovetailGland {
    /// Makes the gland.
    ///
    /// # Errors
    /// Names a dimension that is missing, zero or too large, or an angle that makes no undercut.
    pub(super) fn new(spec: &GlandSpec) -> Result<Self, GlandError> {
        spec.still()?;
        let (centre, depth) = (spec.needed(D::Centre)?, spec.needed(D::Depth)?);
        let width = spec.needed(D::Width)?;
        let degrees = spec.degrees().unwrap_or(USUAL_DEGREES);
        if !(45.0..90.0).contains(&degrees) {
            return Err(GlandError::Angle {
                kind: spec.kind,
                takes: "a wall of 45 to below 90 deg from the bottom",
                degrees,
            });
        }
        let undercut = Length::from_mm(depth.greatest().mm() / libm::tan(degrees.to_radians()))
            .unwrap_or(Length::ZERO);
        let half = Length::from_nm(width.greatest().nm() / 2) + undercut;
        if centre.least() <= half + half {
            return Err(GlandError::NoInnerWall {
                outer: centre.least(),
                width: half + half,
            });
        }
        let mut dimensions = vec![(D::Centre, centre), (D::Depth, depth), (D::Width, width)];
        let room = Length::from_nm(depth.least().min(width.least()).nm() / 2);
        for which in [D::Radius, D::Lip] {
            if let Some(radius) = spec.optional(which)? {
                if radius.greatest() >= room {
                    return Err(GlandError::TooRound {
                        dimension: which,
                        radius: radius.greatest(),
                    });
                }
                dimensions.push((which, radius));
            }
        }
        Ok(Self {
            kind: spec.kind,
            angle: degrees.to_radians(),
            radius: place_of(&dimensions, D::Radius),
            lip: place_of(&dimensions, D::Lip),
            dimensions,
        })
    }
}

impl Geometry for DovetailGland {
    fn kind(&self) -> GlandKind {
        self.kind
    }

    fn dimensions(&self) -> &[(D, Dimension)] {
        &self.dimensions
    }

    fn seat(&self, mm: &[f64]) -> Seat {
        let (centre, depth, width) = (mm[0], mm[1], mm[2]);
        let (within, out) = (f64::midpoint(centre, -width), f64::midpoint(centre, width));
        let undercut = depth / libm::tan(self.angle);
        let inner_undercut = if self.kind == GlandKind::Dovetail {
            undercut
        } else {
            0.0
        };
        let fillet = Edge::Fillet(self.radius.map_or(0.0, |i| mm[i]));
        let lip = self.lip.map_or(0.0, |i| mm[i]);
        let inner_lip = if inner_undercut > 0.0 {
            Edge::LipBehind(lip)
        } else {
            Edge::Sharp
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
            axial: true,
            ..Seat::of(depth, volume)
        }
    }
}
