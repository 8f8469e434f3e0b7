//! A listed ring with its chance: by its place in the table while odds are worked out, by its codes once it is named.

use crate::core::sizes::{NominalSize, SizeTable};
use serde::{Deserialize, Serialize, Serializer};

/// A listed ring with a probability; written as its first code.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RingOdds {
    /// Place in [`SizeTable::rings`].
    #[serde(rename = "code", serialize_with = "as_code")]
    pub ring: usize,
    pub probability: f64,
}

impl RingOdds {
    /// Returns the first code of the ring.
    pub fn code(&self) -> String {
        SizeTable::shipped().first_code(self.ring)
    }
}

/// A listed ring with its odds and how well it fits the readings.
#[derive(Debug, Clone, PartialEq)]
pub struct RankedRing {
    /// Place in [`SizeTable::rings`].
    pub ring: usize,
    pub probability: f64,
    /// Root mean square of the misfits in standard deviations.
    pub misfit_sigma: f64,
}

/// A named ring with a probability.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RingChance {
    pub codes: Vec<String>,
    #[serde(flatten)]
    pub size: NominalSize,
    pub probability: f64,
}

impl RingChance {
    /// Names a listed ring by its place in the table.
    pub fn of(ring: usize, probability: f64) -> Self {
        let table = SizeTable::shipped();
        let listed = &table.rings()[ring];
        Self {
            codes: table.codes(listed),
            size: listed.nominal(),
            probability,
        }
    }

    /// Lists the rings of odds that are worth showing, likeliest first.
    pub fn worth_showing(ranked: &[RankedRing]) -> Vec<Self> {
        const SHOWN: f64 = 0.001;
        const MOST: usize = 6;
        let likely = ranked.iter().filter(|ring| ring.probability >= SHOWN);
        likely
            .take(MOST)
            .map(|ring| Self::of(ring.ring, ring.probability))
            .collect()
    }

    /// Returns its first code.
    pub fn code(&self) -> &str {
        self.codes.first().map_or("", String::as_str)
    }
}

/// Writes a place in the table as the first code of the ring.
#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde gives a reference")]
pub(super) fn as_code<S: Serializer>(ring: &usize, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(&SizeTable::shipped().first_code(*ring))
}
