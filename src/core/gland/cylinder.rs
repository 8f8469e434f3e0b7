//! A groove around an inner part that faces a bore: what piston and seat carrier share.

use super::column::{Column, LENGTH, difference};
use super::error::GlandError;
use super::geometry::{Seat, annulus, place_of, radial_volume, require_order};
use super::profile::Trough;
use super::seats::Seats;
use super::spec::{GlandDimension as D, GlandSpec};
use crate::core::quantity::{Dimension, Length};

/// Holds bore, groove diameter, groove width and, where known, the part beside the groove and the bottom radius.
///
/// L = (bore − groove)/2, so L_max = (bore_max − groove_min)/2, as published tables form it.
#[derive(Debug, Clone)]
pub(super) struct OuterGroove {
    pub(super) dimensions: Vec<(D, Dimension)>,
    lean: f64,
    part: Option<usize>,
    radius: Option<usize>,
}

impl OuterGroove {
    /// Makes the groove; `part` is the dimension of the part that it is cut in.
    ///
    /// # Errors
    /// Names a dimension that is missing, zero or in the wrong order.
    pub(super) fn new(spec: &GlandSpec, part: D) -> Result<Self, GlandError> {
        let (bore, groove) = (spec.needed(D::Bore)?, spec.needed(D::Groove)?);
        let width = spec.needed(D::Width)?;
        require_order(D::Bore, bore, D::Groove, groove, false)?;
        let mut dimensions = vec![(D::Bore, bore), (D::Groove, groove), (D::Width, width)];
        if let Some(beside) = spec.optional(part)? {
            require_order(D::Bore, bore, part, beside, true)?;
            require_order(part, beside, D::Groove, groove, false)?;
            dimensions.push((part, beside));
        }
        let depth = Length::from_nm((bore.least() - groove.greatest()).nm() / 2);
        if let Some(radius) =
            spec.bottom_radius(depth.min(Length::from_nm(width.least().nm() / 2)))?
        {
            dimensions.push((D::Radius, radius));
        }
        Ok(Self {
            lean: spec.wall_lean()?,
            part: place_of(&dimensions, part),
            radius: place_of(&dimensions, D::Radius),
            dimensions,
        })
    }

    pub(super) fn seat(&self, mm: &[f64]) -> Seat {
        let (bore, groove, width) = (mm[0], mm[1], mm[2]);
        let trough = Trough {
            width,
            lean: self.lean,
            radius: self.radius.map_or(0.0, |i| mm[i]),
        };
        Seat {
            inside: Some(groove),
            gap: self.part.map(|i| bore - mm[i]),
            ..Seat::of((bore - groove) / 2.0, radial_volume(bore, groove, trough))
        }
    }

    /// Works out the seats of a batch of samples.
    pub(super) fn seats(&self, mm: &[Column], seats: &mut Seats) {
        let [bore, groove, width, ..] = mm else {
            return;
        };
        if self.lean != 0.0 || self.radius.is_some() {
            return seats.one_by_one(mm, |mm| self.seat(mm));
        }
        for i in 0..LENGTH {
            seats.depth[i] = (bore[i] - groove[i]) / 2.0;
            seats.volume[i] = annulus(bore[i], groove[i], width[i]);
        }
        seats.inside = Some(*groove);
        seats.gap = self.part.map(|part| difference(bore, &mm[part]));
    }
}
