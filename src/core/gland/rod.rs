//! A groove in a housing: the ring is squeezed against the rod.

use super::column::{Column, LENGTH, difference};
use super::error::GlandError;
use super::geometry::{Geometry, Seat, annulus, place_of, radial_volume, require_order};
use super::profile::Trough;
use super::seats::Seats;
use super::spec::{GlandDimension as D, GlandKind, GlandSpec};
use crate::core::quantity::{Dimension, Length};

/// Holds a rod gland: rod, groove diameter, groove width and, where known, the housing bore beside the groove.
///
/// L = (groove − rod)/2, so L_max = (groove_max − rod_min)/2, as published tables form it.
#[derive(Debug, Clone)]
pub(super) struct RodGland {
    dimensions: Vec<(D, Dimension)>,
    lean: f64,
    housing: Option<usize>,
    radius: Option<usize>,
}

impl RodGland {
    /// Makes the gland.
    ///
    /// # Errors
    /// Names a dimension that is missing, zero or in the wrong order.
    pub(super) fn new(spec: &GlandSpec) -> Result<Self, GlandError> {
        let (rod, groove) = (spec.needed(D::Rod)?, spec.needed(D::Groove)?);
        let width = spec.needed(D::Width)?;
        require_order(D::Groove, groove, D::Rod, rod, false)?;
        let mut dimensions = vec![(D::Rod, rod), (D::Groove, groove), (D::Width, width)];
        if let Some(housing) = spec.optional(D::Housing)? {
            require_order(D::Housing, housing, D::Rod, rod, true)?;
            require_order(D::Groove, groove, D::Housing, housing, false)?;
            dimensions.push((D::Housing, housing));
        }
        let depth = Length::from_nm((groove.least() - rod.greatest()).nm() / 2);
        if let Some(radius) =
            spec.bottom_radius(depth.min(Length::from_nm(width.least().nm() / 2)))?
        {
            dimensions.push((D::Radius, radius));
        }
        Ok(Self {
            lean: spec.wall_lean()?,
            housing: place_of(&dimensions, D::Housing),
            radius: place_of(&dimensions, D::Radius),
            dimensions,
        })
    }
}

impl Geometry for RodGland {
    fn kind(&self) -> GlandKind {
        GlandKind::Rod
    }

    fn dimensions(&self) -> &[(D, Dimension)] {
        &self.dimensions
    }

    fn seat(&self, mm: &[f64]) -> Seat {
        let (rod, groove, width) = (mm[0], mm[1], mm[2]);
        let trough = Trough {
            width,
            lean: self.lean,
            radius: self.radius.map_or(0.0, |i| mm[i]),
        };
        Seat {
            inside: Some(rod),
            outside: Some(groove),
            gap: self.housing.map(|i| mm[i] - rod),
            ..Seat::of((groove - rod) / 2.0, radial_volume(rod, groove, trough))
        }
    }

    fn seats(&self, mm: &[Column], seats: &mut Seats) {
        let [rod, groove, width, ..] = mm else {
            return;
        };
        if self.lean != 0.0 || self.radius.is_some() {
            return seats.one_by_one(mm, |mm| self.seat(mm));
        }
        for i in 0..LENGTH {
            seats.depth[i] = (groove[i] - rod[i]) / 2.0;
            seats.volume[i] = annulus(groove[i], rod[i], width[i]);
        }
        (seats.inside, seats.outside) = (Some(*rod), Some(*groove));
        seats.gap = self.housing.map(|housing| difference(&mm[housing], rod));
    }

    fn widened_by_pressure(&self) -> &'static [D] {
        &[D::Groove, D::Housing]
    }

    fn beside(&self) -> Option<D> {
        Some(D::Housing)
    }
}
