//! What every kind of gland tells about itself.

use super::back_up::BackedGland;
use super::column::Column;
use super::counterbore::CounterboreGland;
use super::crush::CrushGland;
use super::dovetail::DovetailGland;
use super::error::GlandError;
use super::face::FaceGland;
use super::piston::PistonGland;
use super::port::PortGland;
use super::profile::Trough;
use super::rod::RodGland;
use super::runout::RunoutGland;
use super::seats::Seats;
use super::spec::{Duty, GlandDimension, GlandKind, GlandSpec};
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
    /// Mean diameter on which a ring lies that touches neither wall by its inside or outside.
    pub centre: Option<f64>,
    /// The wall across from the one that locates the ring, which the free ring must clear.
    pub other: Option<OtherWall>,
    /// Diametral clearance of the parts: the whole gap where they can rest on one side.
    pub gap: Option<f64>,
    /// Total runout of the groove to its part.
    pub runout: f64,
    /// Whether the squeeze presses two faces apart along the axis.
    pub axial: bool,
}

/// Holds the diameter of the wall across from the one that locates the ring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OtherWall {
    /// It lies within the ring.
    Within(f64),
    /// It lies around the ring.
    Around(f64),
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
            other: None,
            gap: None,
            runout: 0.0,
            axial: false,
        }
    }
}

/// Gives the geometry of one kind of gland: its dimensions, and the place they leave for the ring.
///
/// A new kind is one new type here (DEVELOPERS.md lists what else it needs). Worst case and sampling work on the dimensions alone and know no kind.
pub trait Geometry: std::fmt::Debug + Send + Sync {
    /// Returns the kind.
    fn kind(&self) -> GlandKind;

    /// Lists the dimensions that shape the seat, in the order in which [`Geometry::seat`] takes them.
    fn dimensions(&self) -> &[(GlandDimension, Dimension)];

    /// Works out the seat for settled dimensions in millimetres, in the order of [`Geometry::dimensions`].
    ///
    /// Every figure of the seat is monotone in every dimension, so that its extremes lie at the ends of the tolerances. Where
    /// every dimension grows by one factor, so does every length of the seat, and its volume by the cube.
    fn seat(&self, mm: &[f64]) -> Seat;

    /// Works out the seats of a batch of samples, one column of millimetres for each dimension.
    ///
    /// A kind may do so faster than one by one, and no differently.
    fn seats(&self, mm: &[Column], seats: &mut Seats) {
        seats.one_by_one(mm, |mm| self.seat(mm));
    }

    /// Lists the dimensions that pressure inside the outer part widens; the first is the bore of its wall.
    fn widened_by_pressure(&self) -> &'static [GlandDimension] {
        &[]
    }

    /// Returns how many back-up rings the groove holds beside the ring.
    fn back_ups(&self) -> u8 {
        0
    }

    /// Returns the dimension of the part beside the groove whose clearance the ring can be pressed into.
    fn beside(&self) -> Option<GlandDimension> {
        None
    }
}

/// Makes the geometry of a gland as it was measured or drawn.
///
/// # Errors
/// Names a dimension that is missing, does not belong to the kind or contradicts another, and says what to give.
pub fn geometry(spec: &GlandSpec) -> Result<Box<dyn Geometry>, GlandError> {
    if spec.back_ups > 0 {
        return Ok(Box::new(BackedGland::new(spec)?));
    }
    if spec.dimension(GlandDimension::Runout).is_some() {
        return Ok(Box::new(RunoutGland::new(spec)?));
    }
    spec.only()?;
    Ok(match spec.kind {
        GlandKind::Piston => Box::new(PistonGland::piston(spec)?),
        GlandKind::Rod => Box::new(RodGland::new(spec)?),
        GlandKind::Face => Box::new(FaceGland::new(spec)?),
        GlandKind::Crush => Box::new(CrushGland::new(spec)?),
        GlandKind::Dovetail | GlandKind::HalfDovetail => Box::new(DovetailGland::new(spec)?),
        GlandKind::Port => Box::new(PortGland::new(spec)?),
        GlandKind::Counterbore => Box::new(CounterboreGland::new(spec)?),
        GlandKind::Carrier => Box::new(PistonGland::carrier(spec)?),
    })
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
        let known = self.kind.dimensions();
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

    /// Returns the tangent of the angle by which the side walls lean outwards: at most 5°, as MIL-G-5514G 3.2.6 allows it
    /// for pressures up to 1500 psi; steeper walls are taken up to 30° because old grooves have them.
    pub(super) fn wall_lean(&self) -> Result<f64, GlandError> {
        const STEEPEST: f64 = 30.0;
        let degrees = self.degrees().unwrap_or(0.0);
        if degrees > STEEPEST {
            return Err(GlandError::Angle {
                kind: self.kind,
                takes: "side walls that lean by 0 to 30 deg",
                degrees,
            });
        }
        Ok(libm::tan(degrees.to_radians()))
    }

    /// Takes the radius at the bottom of a groove, which must be smaller than `room`.
    pub(super) fn bottom_radius(&self, room: Length) -> Result<Option<Dimension>, GlandError> {
        let radius = self.optional(GlandDimension::Radius)?;
        match radius {
            Some(r) if r.greatest() >= room => Err(GlandError::TooRound {
                dimension: GlandDimension::Radius,
                radius: r.greatest(),
            }),
            other => Ok(other),
        }
    }
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
