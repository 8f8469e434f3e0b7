//! What the parts list asks of a gland check.

use crate::core::elastomer::Polymer;
use crate::core::gland::GlandSpec;
use crate::core::quantity::Hardness;
use crate::core::sizes::ListedRing;
use serde::Serialize;

/// Says whether a ring seals in a gland; the later the worse.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum SealVerdict {
    /// Inside every limit.
    Good,
    /// Near a limit, or past one at the edge of the tolerances.
    Marginal,
    /// Outside a limit.
    Reject,
}

impl SealVerdict {
    /// Returns the word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::Marginal => "marginal",
            Self::Reject => "reject",
        }
    }
}

/// Holds what a gland check says of a ring in one gland.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SealOpinion {
    /// The verdict.
    pub verdict: SealVerdict,
    /// What decided it, in a few words; empty where nothing is to be said.
    pub words: String,
}

/// Holds a ring with what it is made of, as it is put into a gland.
#[derive(Debug, Clone, Copy)]
pub struct RingInGland<'r> {
    /// The ring.
    pub ring: &'r ListedRing,
    /// Its polymer, where one is chosen.
    pub polymer: Option<Polymer>,
    /// Its hardness, where one is chosen.
    pub hardness: Option<Hardness>,
}

/// Judges rings in glands.
pub trait GlandJudge {
    /// Judges a ring in a gland.
    ///
    /// # Errors
    /// Says in words what the gland lacks to be checked.
    fn judge(&self, ring: RingInGland<'_>, gland: &GlandSpec) -> Result<SealOpinion, String>;
}
