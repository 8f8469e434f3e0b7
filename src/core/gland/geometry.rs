//! What every kind of gland tells about itself.

use super::back_up::{BackUps, MOST_BACK_UPS};
use super::column::Column;
use super::error::GlandError;
use super::profile::Trough;
use super::seats::Seats;
use super::spec::{Duty, GlandDimension, GlandKind, GlandSpec};
use crate::core::quantity::{Dimension, Length};
use std::f64::consts::PI;

/// The place of the ring with every dimension of the gland settled. Lengths in millimetres, volume in mm³.
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
    /// Mean diameter on which a ring lies that touches neither wall by its inside or outside.
    pub centre: Option<f64>,
    /// The wall within the ring, across from the one that locates it, which the free ring must clear.
    pub within: Option<f64>,
    /// The same wall where it lies around the ring.
    pub around: Option<f64>,
    /// Diametral clearance of the parts: the whole gap where they can rest on one side.
    pub gap: Option<f64>,
    /// Total runout of the groove to its part.
    pub runout: f64,
}

impl Seat {
    /// Makes a seat of depth and volume that nothing else is said of.
    pub const fn of(depth: f64, volume: f64) -> Self {
        Self {
            depth,
            volume,
            inside: None,
            outside: None,
            centre: None,
            within: None,
            around: None,
            gap: None,
            runout: 0.0,
        }
    }
}

type SeatOf = dyn Fn(&[f64]) -> Seat + Send + Sync;
type SeatsOf = dyn Fn(&[Column], &mut Seats) + Send + Sync;

/// The geometry of a gland: its dimensions, and the place they leave for the ring.
///
/// Worst case and sampling work on the dimensions alone and know no kind.
pub struct Geometry {
    kind: GlandKind,
    dimensions: Vec<(GlandDimension, Dimension)>,
    seat: Box<SeatOf>,
    /// Does as `seat` for a batch of samples, faster and no differently.
    columns: Option<Box<SeatsOf>>,
    /// Place of the runout among the dimensions.
    runout: Option<usize>,
    back_ups: Option<BackUps>,
}

impl std::fmt::Debug for Geometry {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let mut shown = f.debug_struct("Geometry");
        let shown = shown.field("kind", &self.kind);
        let shown = shown.field("dimensions", &self.dimensions);
        shown
            .field("back_ups", &self.back_ups)
            .finish_non_exhaustive()
    }
}

impl Geometry {
    /// Makes a geometry of the dimensions that shape the seat, and of the seat that follows from them in millimetres.
    ///
    /// Every figure of the seat is monotone in every dimension, so that its extremes lie at the ends of the tolerances. Where
    /// every dimension grows by one factor, so does every length of the seat, and its volume by the cube.
    pub(super) fn new(
        spec: &GlandSpec,
        dimensions: Vec<(GlandDimension, Dimension)>,
        seat: impl Fn(&[f64]) -> Seat + Send + Sync + 'static,
    ) -> Self {
        Self {
            kind: spec.kind,
            dimensions,
            seat: Box::new(seat),
            columns: None,
            runout: None,
            back_ups: None,
        }
    }

    /// Gives a faster way to the seats of a batch of samples, which must come out no differently.
    pub(super) fn with_columns(
        self,
        columns: impl Fn(&[Column], &mut Seats) + Send + Sync + 'static,
    ) -> Self {
        Self {
            columns: Some(Box::new(columns)),
            ..self
        }
    }

    /// Returns the kind.
    pub fn kind(&self) -> GlandKind {
        self.kind
    }

    /// Lists the dimensions that shape the seat, in the order in which [`Geometry::seat`] takes them.
    pub fn dimensions(&self) -> &[(GlandDimension, Dimension)] {
        &self.dimensions
    }

    /// Works out the seat for settled dimensions in millimetres, in the order of [`Geometry::dimensions`].
    pub fn seat(&self, mm: &[f64]) -> Seat {
        let seat = (self.seat)(mm);
        let left = self.back_ups.map_or(1.0, |rings| rings.leave(mm));
        Seat {
            volume: seat.volume * left,
            runout: self.runout.map_or(0.0, |i| mm[i]),
            ..seat
        }
    }

    /// Works out the seats of a batch of samples, one column of millimetres for each dimension.
    pub(super) fn seats(&self, mm: &[Column], seats: &mut Seats) {
        let Some(columns) = self.columns.as_ref().filter(|_| self.back_ups.is_none()) else {
            return seats.one_by_one(mm, |mm| self.seat(mm));
        };
        columns(mm, seats);
        if let Some(runout) = self.runout {
            seats.runout = mm[runout];
        }
    }

    /// Lists the dimensions that pressure inside the outer part widens; the first is the bore of its wall.
    pub fn widened_by_pressure(&self) -> &'static [GlandDimension] {
        self.kind.facts().widened
    }

    /// Returns how many back-up rings the groove holds beside the ring.
    pub fn back_ups(&self) -> u8 {
        self.back_ups.map_or(0, |rings| rings.count)
    }

    /// Returns the dimension of the part beside the groove whose clearance the ring can be pressed into.
    pub fn beside(&self) -> Option<GlandDimension> {
        self.kind.facts().beside
    }
}

/// Makes the geometry of a gland as it was measured or drawn.
///
/// # Errors
/// Names a dimension that is missing, does not belong to the kind or contradicts another, and says what to give.
pub fn geometry(spec: &GlandSpec) -> Result<Geometry, GlandError> {
    let facts = spec.kind.facts();
    if spec.back_ups > 0 && (!spec.kind.takes_back_ups() || spec.back_ups > MOST_BACK_UPS) {
        return Err(GlandError::BackUps { kind: spec.kind });
    }
    spec.only()?;
    let runout = spec.optional(GlandDimension::Runout)?;
    if !facts.moves {
        spec.still()?;
    }
    let mut made = (facts.make)(spec)?;
    if let Some(runout) = runout {
        made.runout = Some(made.dimensions.len());
        made.dimensions.push((GlandDimension::Runout, runout));
    }
    if spec.back_ups > 0 {
        made.back_ups = Some(BackUps::beside(spec, &made)?);
    }
    Ok(made)
}

/// Returns the volume of an annulus of two diameters and a length.
pub(super) fn annulus(outer: f64, inner: f64, length: f64) -> f64 {
    const QUARTER: f64 = PI / 4.0;
    QUARTER * (outer * outer - inner * inner) * length
}

/// Returns the volume of a groove cut radially from its mouth to its bottom, plain or not.
pub(super) fn radial_volume(mouth: f64, bottom: f64, trough: Trough) -> f64 {
    if trough.is_plain() {
        annulus(mouth.max(bottom), mouth.min(bottom), trough.width)
    } else {
        trough.radial(mouth, bottom)
    }
}

/// Returns the volume of a groove cut along the axis between two diameters, plain or not.
pub(super) fn axial_volume(outer: f64, inner: f64, depth: f64, trough: Trough) -> f64 {
    if trough.is_plain() {
        annulus(outer, inner, depth)
    } else {
        trough.axial(outer, inner, depth)
    }
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
    pub(super) fn only(&self) -> Result<(), GlandError> {
        let known = self.kind.facts().dimensions;
        let foreign = self.dimensions.iter().find(|(d, _)| !known.contains(d));
        foreign.map_or(Ok(()), |(dimension, _)| {
            Err(GlandError::Foreign {
                kind: self.kind,
                dimension: *dimension,
            })
        })
    }

    /// Refuses motion of a ring that is held still.
    pub(super) fn still(&self) -> Result<(), GlandError> {
        if self.duty.is_none_or(|duty| duty == Duty::Static) {
            return Ok(());
        }
        Err(GlandError::Still { kind: self.kind })
    }

    /// Adds the radius at the bottom of a groove, which must be smaller than `room`, and returns its place; `None` without one.
    pub(super) fn add_bottom_radius(
        &self,
        room: Length,
        dimensions: &mut Vec<(GlandDimension, Dimension)>,
    ) -> Result<Option<usize>, GlandError> {
        let which = GlandDimension::Radius;
        let Some(radius) = self.optional(which)? else {
            return Ok(None);
        };
        dimensions.push((which, too_round(which, radius, room)?));
        Ok(Some(dimensions.len() - 1))
    }
}

/// Refuses a radius that is not smaller than the room for it.
pub(super) fn too_round(
    which: GlandDimension,
    radius: Dimension,
    room: Length,
) -> Result<Dimension, GlandError> {
    if radius.greatest() < room {
        return Ok(radius);
    }
    Err(GlandError::TooRound {
        dimension: which,
        radius: radius.greatest(),
    })
}

/// Returns half of a length.
pub(super) fn half(length: Length) -> Length {
    Length::from_nm(length.nm() / 2)
}

fn positive(which: GlandDimension, dimension: Dimension) -> Result<Dimension, GlandError> {
    if dimension.least() > Length::ZERO {
        Ok(dimension)
    } else {
        Err(GlandError::Zero { dimension: which })
    }
}

/// Returns the place of a dimension in a list.
pub(super) fn place_of(
    dimensions: &[(GlandDimension, Dimension)],
    which: GlandDimension,
) -> Option<usize> {
    dimensions.iter().position(|(d, _)| *d == which)
}

/// Requires one diameter to be larger than another, at the ends of their tolerances or (`at_nominal`) as stated.
pub(super) fn require_order(
    greater: GlandDimension,
    greater_value: Dimension,
    lesser: GlandDimension,
    lesser_value: Dimension,
    at_nominal: bool,
) -> Result<(), GlandError> {
    let (above, below) = if at_nominal {
        (greater_value.nominal, lesser_value.nominal)
    } else {
        (greater_value.least(), lesser_value.greatest())
    };
    if above > below || (at_nominal && above == below) {
        return Ok(());
    }
    Err(GlandError::Order {
        greater,
        greater_value: above,
        lesser,
        lesser_value: below,
    })
}
