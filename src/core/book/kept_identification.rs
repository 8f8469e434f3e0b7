//! What was said of a ring when its note was added.

use crate::core::sizes::NominalSize;
use serde::Serialize;

/// Holds the sizes that a ring may be, with their odds, as they were found on one occasion.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KeptIdentification {
    /// Listed sizes, most probable first.
    pub candidates: Vec<KeptCandidate>,
    /// Probability that it is of no listed size.
    pub unlisted_probability: f64,
}

/// Holds one size that a ring may be.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KeptCandidate {
    /// Every code under which the ring is listed.
    pub codes: Vec<String>,
    #[serde(flatten)]
    pub size: NominalSize,
    pub probability: f64,
    /// Root mean square of the misfits in standard deviations.
    pub misfit_sigma: f64,
}
