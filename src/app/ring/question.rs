//! What is asked of a ring: its readings, and the gland it came out of, pins, a stack, a label, and the tools at hand.

use crate::core::elastomer::Polymer;
use crate::core::gland::GlandSpec;
use crate::core::identification::{
    Candidates, Evidence, EvidenceError, GlandEvidence, Observation, PinFact, StatedFact,
};
use crate::core::measurement::{Condition, Instruments, Reading};
use crate::core::note::Entry;

/// Says all that is known of a ring which is to be named; everything may be missing.
#[derive(Debug, Clone, Default)]
pub struct RingQuestion {
    pub readings: Vec<Reading>,
    pub condition: Condition,
    /// Its polymer, where it is known for sure; it matters for a mass.
    pub polymer: Option<Polymer>,
    /// The gland that it came out of.
    pub gland: Option<GlandSpec>,
    /// Rings of a stack, and the readings of its height.
    pub stack: Option<(u16, Reading)>,
    /// Pins over which it slides or does not.
    pub pins: Option<PinFact>,
    pub stated: Option<StatedFact>,
    /// The methods at hand for a further reading; empty where all are.
    pub have: Vec<String>,
}

impl RingQuestion {
    /// Takes what a note says of a ring by itself.
    pub(in crate::app) fn of(entry: &Entry) -> Self {
        Self {
            readings: entry.readings.clone(),
            condition: entry.condition_or_used(),
            polymer: entry.polymer.as_ref().map(|polymer| polymer.value),
            ..Self::default()
        }
    }

    /// Tells whether anything here speaks of the ring without a reading.
    pub fn speaks(&self) -> bool {
        self.gland.is_some() || self.pins.is_some() || self.stated.is_some()
    }

    /// Gathers readings and facts into evidence.
    ///
    /// # Errors
    /// Nothing at all, too many readings, an unknown method, or a reading that is not positive.
    pub(super) fn evidence(
        &self,
        candidates: &Candidates,
        instruments: &Instruments,
    ) -> Result<Evidence, EvidenceError> {
        let mut observations = Observation::of_readings(&self.readings, instruments)?;
        if let Some((rings, reading)) = &self.stack {
            let (values, method) = (&reading.values, reading.method.as_str());
            observations.push(Observation::of_stack(values, *rings, method, instruments)?);
        }
        let mut evidence = if observations.is_empty() && self.speaks() {
            Evidence::of_no_reading(self.condition)
        } else {
            Evidence::of_observations(observations, self.condition, self.polymer)?
        };
        if let Some(gland) = self.gland.as_ref().and_then(GlandEvidence::new) {
            evidence = evidence.with_gland(&gland, candidates);
        }
        if let Some(pins) = self.pins {
            evidence = evidence.with_pins(pins);
        }
        if let Some(stated) = &self.stated {
            evidence = evidence.with_stated(stated, candidates);
        }
        Ok(evidence)
    }
}
