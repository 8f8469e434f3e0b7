//! What a parts list is made with.

use super::gland_judge::GlandJudge;
use crate::core::elastomer::OxygenThreshold;
use crate::core::identification::Candidates;
use crate::core::measurement::Instruments;

/// Holds what a parts list is made with: rings that compete, instruments, the gland check, the oxygen threshold.
pub struct Workshop<'w> {
    /// Listed rings with their prior.
    pub candidates: &'w Candidates,
    /// Instruments.
    pub instruments: &'w Instruments,
    /// The gland check.
    pub judge: &'w dyn GlandJudge,
    /// From which share of oxygen on a gas is enriched.
    pub threshold: OxygenThreshold,
}

impl std::fmt::Debug for Workshop<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Workshop")
            .field("threshold", &self.threshold)
            .finish_non_exhaustive()
    }
}
