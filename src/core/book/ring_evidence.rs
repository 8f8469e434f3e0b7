//! What stands behind the ring of a line: what its place was made for, what came out, and what told it.

use super::model_units::ModelUnits;
use super::ring_places::RingVariant;
use crate::core::identification::{
    Identification, NextFact, NextReading, PlaceOdds, RingChance, SoldRing, Told,
};
use serde::{Deserialize, Serialize};

/// What stands behind the ring of a line; nothing where the part is no ring.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct RingEvidence {
    /// The ring to fit, with the chance that it does the job.
    pub fit: Option<RingChance>,
    /// What the place was most likely made for.
    pub made_for: Option<RingChance>,
    /// Every ring that it may have been made for, likeliest first.
    pub made_for_odds: Vec<RingChance>,
    /// That it was made for a ring of no listed size, those counted that are sold here.
    pub made_for_unlisted: f64,
    /// What came out of each unit that was measured.
    pub came_out: Vec<UnitRing>,
    /// Other rings that do the job as well, with the chance that they do.
    pub serves_as_well: Vec<RingChance>,
    /// What each fact told, in the order in which they were counted.
    pub told: Vec<Told>,
    /// The reading that would tell most, where the line is not decided.
    pub measure_next: Option<RingNext>,
    /// Facts that would tell more and take no tool, where the line is not decided.
    pub ask_first: Vec<NextFact>,
}

/// What came out of one unit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct UnitRing {
    /// The unit, by serial number.
    pub unit: String,
    /// The ring that it most likely is.
    #[serde(flatten)]
    pub leader: Option<RingChance>,
    /// Every ring that it may be, likeliest first.
    pub odds: Vec<RingChance>,
    /// That it is of no listed size, nor of one that is sold here.
    pub unlisted_probability: f64,
    /// Sizes that are sold here and in no list, likeliest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sold: Vec<SoldRing>,
    /// That it is not the ring which the place was made for.
    pub foreign_probability: f64,
    /// That it is not, and does not do its job either.
    pub misfit_probability: f64,
}

/// A reading that would tell more.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RingNext {
    /// What to measure.
    pub reading: String,
    /// How, in words.
    pub label: String,
    /// By how much it is expected to change the odds.
    pub bits: f64,
    /// What it reads (mm or g) for each ring that is likely.
    pub would_read: Vec<(String, f64)>,
}

impl RingEvidence {
    pub(super) fn of(
        variants: &[RingVariant<'_>],
        leading: Option<&PlaceOdds>,
        units: &ModelUnits<'_>,
    ) -> Self {
        let found = variants.iter().flat_map(RingVariant::found);
        let mut found: Vec<(usize, UnitRing)> = found
            .map(|(unit, found)| (unit, UnitRing::of(units.serials(&[unit]).remove(0), found)))
            .collect();
        found.sort_by_key(|(unit, _)| *unit);
        let made_for = leading
            .map(|odds| RingChance::worth_showing(&odds.made_for.ranked))
            .unwrap_or_default();
        Self {
            made_for: made_for.first().cloned(),
            made_for_odds: made_for,
            made_for_unlisted: leading.map_or(0.0, |odds| odds.made_for.unlisted_probability),
            came_out: found.into_iter().map(|(_, ring)| ring).collect(),
            told: leading.map(|odds| odds.told.clone()).unwrap_or_default(),
            ..Self::default()
        }
    }

    /// Returns the size, sold here and in no list, that most likely came out of a unit, where one is worth a word.
    pub(super) fn sold(&self) -> Option<&SoldRing> {
        const WORTH: f64 = 0.05;
        let sold = self.came_out.iter().filter_map(|unit| unit.sold.first());
        sold.filter(|ring| ring.probability >= WORTH)
            .max_by(|a, b| a.probability.total_cmp(&b.probability))
    }
}

impl RingNext {
    pub(super) fn of(next: &NextReading) -> Self {
        Self {
            reading: next.measurand.name().to_owned(),
            label: next.label.to_owned(),
            bits: next.gain_bits,
            would_read: next
                .would_read
                .iter()
                .map(|would| (would.code(), would.value))
                .collect(),
        }
    }
}

impl UnitRing {
    /// Says what came out of a unit.
    pub fn of(unit: String, found: &Identification) -> Self {
        let odds = RingChance::worth_showing(&found.ranked);
        Self {
            unit,
            leader: odds.first().cloned(),
            odds,
            unlisted_probability: found.unlisted_probability,
            sold: found.sold.clone(),
            foreign_probability: found.foreign_probability,
            misfit_probability: found.misfit_probability,
        }
    }
}
