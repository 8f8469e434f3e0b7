//! What lies in the shop already.

use super::described::NamedRing;
use crate::core::elastomer::Polymer;
use crate::core::quantity::Hardness;

/// Holds pieces on hand of one ring in one material.
#[derive(Debug, Clone, PartialEq)]
pub struct RingOnHand {
    /// The ring.
    pub ring: NamedRing,
    /// The polymer.
    pub polymer: Option<Polymer>,
    /// The hardness.
    pub hardness: Option<Hardness>,
    /// Pieces that may be used.
    pub pieces: u32,
}

/// Holds pieces on hand of a part that is no ring, by kind and lengths in words as the parts list writes them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartOnHand {
    /// The kind.
    pub kind: String,
    /// The lengths.
    pub lengths: String,
    /// Pieces that may be used.
    pub pieces: u32,
}

/// Holds the stock on hand as an order sees it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StockOnHand {
    /// Rings.
    pub rings: Vec<RingOnHand>,
    /// Other parts.
    pub parts: Vec<PartOnHand>,
}

impl StockOnHand {
    /// Counts the rings on hand of this code, polymer and hardness; a ring of unknown material serves no need.
    pub fn rings_of(
        &self,
        code: &str,
        polymer: Option<Polymer>,
        hardness: Option<Hardness>,
    ) -> u32 {
        self.rings
            .iter()
            .filter(|one| one.ring.code.as_deref() == Some(code))
            .filter(|one| polymer.is_some() && one.polymer == polymer && one.hardness == hardness)
            .map(|one| one.pieces)
            .sum()
    }

    /// Counts the other parts on hand of this kind with these lengths.
    pub fn parts_of(&self, kind: &str, lengths: &str) -> u32 {
        let same = |one: &&PartOnHand| one.kind == kind && one.lengths == lengths;
        self.parts.iter().filter(same).map(|one| one.pieces).sum()
    }
}
