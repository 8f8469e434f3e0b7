//! A gland as it was measured or drawn, before its geometry is checked.

use crate::core::quantity::{Dimension, Pressure, Typed};
use serde::{Deserialize, Serialize};

/// Names a kind of gland.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum GlandKind {
    /// Groove in a piston, ring squeezed against the bore.
    Piston,
    /// Groove in a housing, ring squeezed against the rod.
    Rod,
    /// Groove in a flat face, ring squeezed between two faces.
    Face,
}

/// Says how the parts move against each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Duty {
    /// No motion.
    Static,
    /// To-and-fro motion.
    Moving,
    /// Turning motion.
    Rotary,
}

/// Says from which side the pressure comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum PressureSide {
    /// From inside the ring.
    Inside,
    /// From outside the ring.
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
    /// Groove width.
    Width,
}

impl GlandKind {
    /// Lists every kind with its word.
    pub const ALL: [(Self, &'static str); 3] = [
        (Self::Piston, "piston"),
        (Self::Rod, "rod"),
        (Self::Face, "face"),
    ];

    /// Returns the word of the kind.
    pub fn word(self) -> &'static str {
        word_of(&Self::ALL, self)
    }

    /// Finds the kind of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        value_of(&Self::ALL, word)
    }
}

impl Duty {
    /// Lists every duty with its word.
    pub const ALL: [(Self, &'static str); 3] = [
        (Self::Static, "static"),
        (Self::Moving, "moving"),
        (Self::Rotary, "rotary"),
    ];

    /// Returns the word of the duty.
    pub fn word(self) -> &'static str {
        word_of(&Self::ALL, self)
    }

    /// Finds the duty of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        value_of(&Self::ALL, word)
    }
}

impl PressureSide {
    /// Lists both sides with their words.
    pub const ALL: [(Self, &'static str); 2] =
        [(Self::Inside, "inside"), (Self::Outside, "outside")];

    /// Returns the word of the side.
    pub fn word(self) -> &'static str {
        word_of(&Self::ALL, self)
    }

    /// Finds the side of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        value_of(&Self::ALL, word)
    }
}

impl GlandDimension {
    /// Lists every dimension with its word.
    pub const ALL: [(Self, &'static str); 9] = [
        (Self::Bore, "bore"),
        (Self::Groove, "groove"),
        (Self::Piston, "piston"),
        (Self::Rod, "rod"),
        (Self::Housing, "housing"),
        (Self::Outer, "outer"),
        (Self::Inner, "inner"),
        (Self::Depth, "depth"),
        (Self::Width, "width"),
    ];

    /// Returns the word of the dimension.
    pub fn word(self) -> &'static str {
        word_of(&Self::ALL, self)
    }

    /// Finds the dimension of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        value_of(&Self::ALL, word)
    }
}

fn word_of<T: Copy + PartialEq>(all: &[(T, &'static str)], value: T) -> &'static str {
    all.iter()
        .find(|(v, _)| *v == value)
        .map_or("", |(_, word)| word)
}

fn value_of<T: Copy>(all: &[(T, &'static str)], word: &str) -> Option<T> {
    let lower = word.trim().to_lowercase();
    all.iter().find(|(_, w)| *w == lower).map(|(v, _)| *v)
}

/// Holds a gland as it was measured or drawn: a kind and any subset of its dimensions.
///
/// Which dimensions a kind needs is checked where its geometry is made.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct GlandSpec {
    /// The kind.
    pub kind: GlandKind,
    /// Dimensions in the order they were given; none appears twice.
    pub dimensions: Vec<(GlandDimension, Typed<Dimension>)>,
    /// How the parts move.
    pub duty: Option<Duty>,
    /// Greatest pressure the ring holds.
    pub pressure: Option<Typed<Pressure>>,
    /// From which side it comes.
    pub from: Option<PressureSide>,
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
        }
    }

    /// Returns a dimension, where it was given.
    pub fn dimension(&self, which: GlandDimension) -> Option<Dimension> {
        self.dimensions
            .iter()
            .find(|(name, _)| *name == which)
            .map(|(_, typed)| typed.value)
    }
}
