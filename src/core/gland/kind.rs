//! Everything that is to be known of a kind of gland beside its words, in one row.

use super::error::GlandError;
use super::geometry::Geometry;
use super::spec::{GlandDimension as D, GlandKind, GlandSpec};
use super::{axial, radial, wedge};
use std::ops::RangeInclusive;

/// Says in which direction a gland squeezes its ring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// Between two diameters, with a gap that the ring can be pressed into.
    Radial,
    /// Between two faces.
    Axial,
    /// Into a wedge, both ways.
    Both,
}

/// What is to be known of one kind.
#[derive(Debug)]
pub struct KindFacts {
    /// The dimensions that a gland of the kind may have, the needed ones first; of those in `either` one is needed.
    pub dimensions: &'static [D],
    /// How many of them are needed whatever else is given.
    pub needed: usize,
    /// The two dimensions of which one is enough.
    pub(super) either: Option<[D; 2]>,
    angle: Option<AngleFacts>,
    pub direction: Direction,
    pub(super) moves: bool,
    /// The diameter that the inside of the ring lies on.
    pub inside: Option<D>,
    /// The diameter that its outside lies in, before `inside` where both were given.
    pub outside: Option<D>,
    /// The mean diameter of a ring that touches neither wall.
    pub centre: Option<D>,
    /// The outer and the inner diameter between which the section is squeezed.
    pub across: Option<[D; 2]>,
    /// The width of a groove with square walls: one dimension, or half the difference of two.
    pub width: &'static [D],
    /// The dimension of the part beside the groove whose clearance the ring can be pressed into.
    pub(super) beside: Option<D>,
    /// The dimensions that pressure inside the outer part widens; the first is the bore of its wall.
    pub(super) widened: &'static [D],
    pub(super) make: fn(&GlandSpec) -> Result<Geometry, GlandError>,
}

/// What is to be known of the angle of a kind, in degrees.
#[derive(Debug)]
struct AngleFacts {
    meaning: &'static str,
    takes: &'static str,
    range: RangeInclusive<f64>,
    /// The angle that is taken where none is given.
    usual: f64,
}

/// Walls lean by at most 5°, as MIL-G-5514G 3.2.6 allows it for pressures up to 1500 psi; steeper ones are taken because old
/// grooves have them.
const WALLS: Option<AngleFacts> = Some(AngleFacts {
    meaning: "by which each side wall leans outwards",
    takes: "side walls that lean by 0 to 30 deg",
    range: 0.0..=30.0,
    usual: 0.0,
});

const PISTON: KindFacts = KindFacts {
    dimensions: &[
        D::Bore,
        D::Groove,
        D::Width,
        D::Piston,
        D::Radius,
        D::Runout,
    ],
    needed: 3,
    either: None,
    angle: WALLS,
    direction: Direction::Radial,
    moves: true,
    inside: Some(D::Groove),
    outside: None,
    centre: None,
    across: Some([D::Bore, D::Groove]),
    width: &[D::Width],
    beside: Some(D::Piston),
    widened: &[D::Bore],
    make: radial::make,
};

const FACE: KindFacts = KindFacts {
    dimensions: &[D::Depth, D::Width, D::Outer, D::Inner, D::Radius],
    needed: 2,
    either: Some([D::Outer, D::Inner]),
    direction: Direction::Axial,
    inside: Some(D::Inner),
    outside: Some(D::Outer),
    across: None,
    beside: None,
    widened: &[],
    make: axial::face,
    ..PISTON
};

/// The angle of the undercut wall is 66° where none is given (recalled; the source of the table prints none).
const DOVETAIL: KindFacts = KindFacts {
    dimensions: &[D::Centre, D::Depth, D::Width, D::Radius, D::Lip],
    needed: 3,
    either: None,
    angle: Some(AngleFacts {
        meaning: "of the undercut wall from the bottom",
        takes: "a wall of 45 to below 90 deg from the bottom",
        range: 45.0..=90.0,
        usual: 66.0,
    }),
    moves: false,
    inside: None,
    outside: None,
    centre: Some(D::Centre),
    width: &[],
    make: |spec| axial::undercut(spec, true),
    ..FACE
};

/// The cone of a boss port.
const PORT: KindFacts = KindFacts {
    dimensions: &[D::Neck, D::Mouth, D::Depth],
    angle: Some(AngleFacts {
        meaning: CONE,
        takes: "a cone of 5 to 45 deg from the axis",
        range: 5.0..=45.0,
        usual: 12.0,
    }),
    direction: Direction::Both,
    inside: Some(D::Neck),
    centre: None,
    make: wedge::port,
    ..DOVETAIL
};

const CONE: &str = "of the chamfer or cone from the axis";

/// The kinds in the order of [`GlandKind`].
static KINDS: [KindFacts; GlandKind::ALL.len()] = [
    PISTON,
    KindFacts {
        dimensions: &[
            D::Rod,
            D::Groove,
            D::Width,
            D::Housing,
            D::Radius,
            D::Runout,
        ],
        inside: Some(D::Rod),
        across: Some([D::Groove, D::Rod]),
        beside: Some(D::Housing),
        widened: &[D::Groove, D::Housing],
        ..PISTON
    },
    FACE,
    KindFacts {
        dimensions: &[D::Neck, D::Mouth, D::Chamfer],
        needed: 1,
        either: Some([D::Mouth, D::Chamfer]),
        angle: Some(AngleFacts {
            meaning: CONE,
            takes: "a chamfer of 20 to 70 deg from the axis",
            range: 20.0..=70.0,
            usual: 45.0,
        }),
        make: wedge::crush,
        ..PORT
    },
    DOVETAIL,
    KindFacts {
        make: |spec| axial::undercut(spec, false),
        ..DOVETAIL
    },
    PORT,
    KindFacts {
        dimensions: &[D::Outer, D::Neck, D::Depth, D::Radius],
        angle: None,
        outside: Some(D::Outer),
        centre: None,
        width: &[D::Outer, D::Neck],
        make: axial::counterbore,
        ..DOVETAIL
    },
    KindFacts {
        dimensions: &[
            D::Bore,
            D::Groove,
            D::Width,
            D::Carrier,
            D::Radius,
            D::Runout,
        ],
        moves: false,
        beside: Some(D::Carrier),
        ..PISTON
    },
];

impl GlandKind {
    /// Returns what is to be known of the kind.
    pub fn facts(self) -> &'static KindFacts {
        &KINDS[self as usize]
    }

    /// Lists the dimensions that are measured on a gland of the kind with ordinary tools, the needed ones first.
    pub fn measured(self) -> impl Iterator<Item = D> {
        let all = self.facts().dimensions.iter().copied();
        all.filter(|dimension| !matches!(dimension, D::Radius | D::Lip | D::Runout))
    }

    /// Tells what the angle of the kind is, where it has one.
    pub fn angle_meaning(self) -> Option<&'static str> {
        self.facts().angle.as_ref().map(|angle| angle.meaning)
    }

    /// Tells whether its groove can hold back-up rings: it has a gap that a ring can be pressed into.
    pub fn takes_back_ups(self) -> bool {
        self.facts().direction == Direction::Radial
    }
}

impl GlandSpec {
    /// Returns the angle in degrees that the kind is taken with: the one that was given, else the usual one of the kind.
    pub fn degrees_taken(&self) -> Option<f64> {
        let usual = self.kind.facts().angle.as_ref().map(|angle| angle.usual);
        self.degrees().or(usual)
    }

    /// Returns the angle in radians, which must be one that the kind can have.
    pub(super) fn radians(&self) -> Result<f64, GlandError> {
        let degrees = self.degrees_taken().unwrap_or(0.0);
        let takes = match &self.kind.facts().angle {
            Some(angle) if angle.range.contains(&degrees) => None,
            Some(angle) => Some(angle.takes),
            None => self.degrees().map(|_| "square walls"),
        };
        takes.map_or(Ok(degrees.to_radians()), |takes| {
            Err(GlandError::Angle {
                kind: self.kind,
                takes,
                degrees,
            })
        })
    }
}
