//! What a parts list is made with.

use crate::core::gas::{GasStatement, OxygenThreshold};
use crate::core::identification::{Candidates, RegimeOdds};
use crate::core::measurement::Instruments;

/// Holds what a parts list is made with.
#[derive(Debug, Clone)]
pub struct Workshop<'w> {
    /// Listed rings with their prior.
    pub candidates: &'w Candidates,
    /// What the other models of the maker say together of the families that he used.
    pub maker: RegimeOdds,
    /// Instruments.
    pub instruments: &'w Instruments,
    /// From which share of oxygen on a gas is enriched.
    pub threshold: OxygenThreshold,
    /// The gas that the units will be used with; that of their notes where `None`.
    pub gas: Option<GasStatement>,
}
