//! What is known of a ring beside its readings: the gland it came out of, pins, a stack, a label, and the tools at hand.

use super::identify::{RingNamer, RingQuestion};
use crate::core::gland::GlandSpec;
use crate::core::identification::{
    Evidence, EvidenceError, GlandEvidence, Observation, PinFact, StatedFact,
};
use crate::core::measurement::{Instruments, Reading};

/// Holds what is known of a ring beside its readings; everything may be missing.
#[derive(Debug, Clone, Default)]
pub struct RingFacts {
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

impl RingFacts {
    /// Tells whether anything here speaks of the ring without a reading.
    pub fn speak(&self) -> bool {
        self.gland.is_some() || self.pins.is_some() || self.stated.is_some()
    }

    /// Gathers readings and facts into evidence.
    ///
    /// # Errors
    /// Nothing at all, too many readings, an unknown method, or a reading that is not positive.
    pub fn evidence(
        &self,
        question: &RingQuestion,
        namer: &RingNamer,
        instruments: &Instruments,
    ) -> Result<Evidence, EvidenceError> {
        let candidates = namer.candidates();
        let mut observations = Observation::of_readings(&question.readings, instruments)?;
        if let Some((rings, reading)) = &self.stack {
            let (values, method) = (&reading.values, reading.method.as_str());
            observations.push(Observation::of_stack(values, *rings, method, instruments)?);
        }
        let mut evidence = if observations.is_empty() && self.speak() {
            Evidence::of_no_reading(question.condition)
        } else {
            Evidence::of_observations(observations, question.condition, question.polymer)?
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
