//! A gland as it was measured or drawn, before its geometry is checked.

pub use crate::core::duty::Duty;
use crate::core::quantity::{Angle, Dimension, Pressure, Typed};
use crate::core::word::words;
use serde::{Deserialize, Serialize};

/// Names a kind of gland.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum GlandKind {
    /// Groove in a piston, ring squeezed against the bore.
    Piston,
    /// Groove in a housing, ring squeezed against the rod.
    Rod,
    /// Groove in a flat face, ring squeezed between two faces.
    Face,
    /// Chamfer under a shoulder or hex plug: a triangle into which the ring is crushed.
    Crush,
    /// Groove in a flat face with both walls undercut, so that the ring stays in.
    Dovetail,
    /// The same with one wall undercut.
    HalfDovetail,
    /// Straight-thread boss port: ring between plug and the cone of the port.
    Port,
    /// Counterbore under the flat head of a plug.
    Counterbore,
    /// Static ring on a seat carrier in its bore.
    Carrier,
}

/// Says from which side the pressure comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum PressureSide {
    Inside,
    Outside,
}

/// Names one dimension of a gland by the word that selects it in a note and on the command line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum GlandDimension {
    /// Bore diameter (piston).
    Bore,
    /// Groove diameter: root of a piston groove, bottom of a rod groove.
    Groove,
    /// Piston diameter beside the groove (piston).
    Piston,
    /// Rod diameter (rod).
    Rod,
    /// Housing bore diameter beside the groove (rod).
    Housing,
    /// Outer groove diameter (face, pressure from inside).
    Outer,
    /// Inner groove diameter (face, pressure from outside).
    Inner,
    /// Groove depth (face).
    Depth,
    /// Groove width, at the bottom; of a dovetail at the mouth, sharp corners.
    Width,
    /// Diameter of the plug under its head, which the ring lies on (crush, port, counterbore): the thread relief.
    Neck,
    /// Diameter of the chamfer or cone where it meets the face (crush, port).
    Mouth,
    /// Radial leg of the chamfer (crush).
    Chamfer,
    /// Mean diameter of the groove (dovetail).
    Centre,
    /// Diameter of the seat carrier beside the groove (carrier).
    Carrier,
    /// Radius of the corners at the bottom of the groove.
    Radius,
    /// Radius of the lips of a dovetail.
    Lip,
    /// Total runout of the groove to the part it is cut in, as an indicator reads it.
    Runout,
}

words!(GlandKind {
    Piston => "piston",
    Rod => "rod",
    Face => "face",
    Crush => "crush",
    Dovetail => "dovetail",
    HalfDovetail => "half-dovetail",
    Port => "port",
    Counterbore => "counterbore",
    Carrier => "carrier",
});

words!(PressureSide {
    Inside => "inside",
    Outside => "outside",
});

words!(GlandDimension {
    Bore => "bore",
    Groove => "groove",
    Piston => "piston",
    Rod => "rod",
    Housing => "housing",
    Outer => "outer",
    Inner => "inner",
    Depth => "depth",
    Width => "width",
    Neck => "neck",
    Mouth => "mouth",
    Chamfer => "chamfer",
    Centre => "centre",
    Carrier => "carrier",
    Radius => "radius",
    Lip => "lip",
    Runout => "runout",
});

/// A gland as it was measured or drawn: a kind and any subset of its dimensions.
///
/// Which dimensions a kind needs is checked where its geometry is made.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct GlandSpec {
    pub kind: GlandKind,
    /// Dimensions in the order they were given; none appears twice.
    pub dimensions: Vec<(GlandDimension, Typed<Dimension>)>,
    /// How the parts move.
    pub duty: Option<Duty>,
    /// Greatest pressure the ring holds.
    pub pressure: Option<Typed<Pressure>>,
    pub from: Option<PressureSide>,
    /// The angle of the kind; see [`GlandKind::angle_meaning`].
    #[serde(default)]
    pub angle: Option<Typed<Angle>>,
    /// How many back-up rings the groove holds beside the ring, 0 to 2.
    #[serde(default)]
    pub back_ups: u8,
}

impl GlandSpec {
    /// Makes a gland of a kind without dimensions.
    pub fn new(kind: GlandKind) -> Self {
        Self {
            kind,
            dimensions: Vec::new(),
            duty: None,
            pressure: None,
            from: None,
            angle: None,
            back_ups: 0,
        }
    }

    /// Returns the angle in degrees, where it was given.
    pub fn degrees(&self) -> Option<f64> {
        self.angle.as_ref().map(|typed| typed.value.degrees())
    }

    /// Tells whether a dimension was not given, nor the one that does as well in its place.
    pub fn lacks(&self, which: GlandDimension) -> bool {
        let either = self.kind.facts().either.filter(|two| two.contains(&which));
        let has = |dimension: &GlandDimension| self.dimension(*dimension).is_some();
        !either.unwrap_or([which; 2]).iter().any(has)
    }

    /// Returns a dimension, where it was given.
    pub fn dimension(&self, which: GlandDimension) -> Option<Dimension> {
        self.dimensions
            .iter()
            .find(|(name, _)| *name == which)
            .map(|(_, typed)| typed.value)
    }
}
