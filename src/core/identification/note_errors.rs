//! What the rings of one unit tell of the hand and the tool that read them.
//!
//! The error that a hand makes with a tool is the same for all rings of its note. Each ring says what it may be, by the sizes that it
//! is likely to have; what the others of its unit say shifts its readings, and leaves them less doubt. A ring never hears itself.

use super::candidates::Candidates;
use super::evidence::{Evidence, Observation};
use super::families::sorted_sum;
use super::found_ring::CameOut;
use super::likelihood::LinearModel;
use crate::core::measurement::Measurand;
use std::collections::BTreeMap;

/// Names what was read how in which unit.
type Way = (usize, Measurand, &'static str);

/// What one ring says of an error: how much, weighted by how surely, and how surely (one over a variance).
#[derive(Debug, Clone, Copy)]
struct Said {
    place: usize,
    weighted: f64,
    precision: f64,
}

/// Gathers what the rings of all units say of the errors of their hands.
#[derive(Debug)]
pub(super) struct NoteErrors<'c> {
    candidates: &'c Candidates,
    said: BTreeMap<Way, Vec<Said>>,
}

/// Rings that came out with less than this do not change what is said of an error.
const COUNTS: f64 = 1e-3;
/// A reading so many standard deviations from what the others leave it is a slip.
const SLIP: f64 = 4.0;
/// What is left of a variance is taken in these steps, always the larger one, so that rings read in one way stay alike and are worked
/// out once.
const LEFT: [f64; 4] = [0.25, 0.4, 0.6, 0.8];

impl<'c> NoteErrors<'c> {
    pub(super) fn new(candidates: &'c Candidates) -> Self {
        Self {
            candidates,
            said: BTreeMap::new(),
        }
    }

    /// Hears the ring of one place and unit, by what came out.
    pub(super) fn hear(&mut self, place: usize, unit: usize, evidence: &Evidence, out: &CameOut) {
        let likely: Vec<(f64, LinearModel)> = out
            .listed
            .iter()
            .filter(|(_, odds)| *odds >= COUNTS)
            .filter_map(|(at, odds)| {
                let (ring, mode) = (&self.candidates.listed[*at], evidence.wear.usual());
                Some((*odds, LinearModel::new(ring, evidence, mode)?))
            })
            .collect();
        for (at, observation) in evidence.observations.iter().enumerate() {
            let common = observation.common;
            let Some((mean, variance)) = error_of(at, common, &likely) else {
                continue;
            };
            let precision = 1.0 / variance - 1.0 / common;
            if precision > 0.0 {
                let said = Said {
                    place,
                    weighted: mean / variance,
                    precision,
                };
                self.said
                    .entry(way(unit, observation))
                    .or_default()
                    .push(said);
            }
        }
    }

    /// Returns the readings of a ring with what the other rings of its unit say of them; `None` where they say nothing that counts.
    pub(super) fn corrected(
        &self,
        place: usize,
        unit: usize,
        evidence: &Evidence,
    ) -> Option<Evidence> {
        let mut changed = false;
        let corrected = evidence.observations.iter().map(|observation| {
            let said = self.said.get(&way(unit, observation)).into_iter().flatten();
            let others: Vec<&Said> = said.filter(|one| one.place != place).collect();
            let told = sorted_sum(others.iter().map(|one| one.precision));
            let weighted = sorted_sum(others.iter().map(|one| one.weighted));
            let share = 1.0 / (1.0 + told * observation.common);
            let Some(step) = LEFT.iter().find(|step| share <= **step) else {
                return *observation;
            };
            changed = true;
            let error = weighted * share * observation.common;
            observation.knowing_the_hand(error, step * observation.common)
        });
        let corrected: Vec<Observation> = corrected.collect();
        changed.then(|| evidence.clone().with_observations(corrected))
    }
}

fn way(unit: usize, observation: &Observation) -> Way {
    (unit, observation.measurand, observation.method)
}

/// Returns mean and variance of the common error of one reading, over the rings that may have come out.
fn error_of(at: usize, common: f64, likely: &[(f64, LinearModel)]) -> Option<(f64, f64)> {
    let said = likely.iter().filter(|(_, model)| model.misfit(at) < SLIP);
    let said: Vec<(f64, (f64, f64))> = said
        .map(|(odds, model)| (*odds, model.common_error(at, common)))
        .collect();
    let known: f64 = said.iter().map(|(odds, _)| odds).sum();
    if common <= 0.0 || known <= 0.0 {
        return None;
    }
    let mean = said.iter().map(|(odds, law)| odds * law.0).sum::<f64>();
    let spread = |law: (f64, f64)| law.1 + (law.0 - mean) * (law.0 - mean);
    let variance: f64 = said.iter().map(|(odds, law)| odds * spread(*law)).sum();
    // A slip, and a ring of no listed size, say nothing of the error.
    let rest = (1.0 - known).max(0.0);
    Some((mean, variance + rest * (common + mean * mean)))
}

#[cfg(test)]
mod tests {
    use super::super::identifier::Identifier;
    use super::super::model_odds::{ModelEvidence, corrected};
    use super::super::place_odds::PlaceEvidence;
    use super::super::prior::Prior;
    use super::*;
    use crate::core::measurement::{Condition, Instruments, Reading};
    use crate::core::sizes::SizeTable;

    /// A place of one unit with a new ring of which this was read.
    fn place(readings: [(Measurand, String); 2]) -> PlaceEvidence {
        let readings = readings
            .map(|(measurand, text)| Reading::parse(measurand, &text, None).expect("reads"));
        let read = Evidence::new(&readings, Condition::New, None, Instruments::shipped());
        PlaceEvidence {
            rings: vec![Some(read.expect("counts"))],
            units: vec![0],
            ..PlaceEvidence::default()
        }
    }

    /// A model of rings of the inch list as a caliper reads them whose zero is off.
    fn model(zero: f64) -> ModelEvidence {
        let by_caliper = |mm: f64| format!("{mm:.2} {mm:.2} mm by caliper");
        let places = [9.25, 10.82, 12.42, 14.0, 17.17].map(|d1| {
            place([
                (Measurand::Od, by_caliper(d1 + 2.0 * 1.78 - 0.10 + zero)),
                (Measurand::Cs, by_caliper(1.78 - 0.03 + zero)),
            ])
        });
        ModelEvidence {
            places: places.into(),
            ..ModelEvidence::default()
        }
    }

    #[test]
    fn a_zero_that_is_off_is_known_by_the_other_rings_of_the_unit() {
        let candidates = Candidates::new(SizeTable::shipped(), &Prior::default());
        for zero in [0.06, -0.06] {
            let model = model(zero);
            let known = corrected(&model, &mut Identifier::new(&candidates)).expect("they tell");
            let section = |place: &PlaceEvidence| {
                let section = place.rings[0].as_ref().expect("read").observations[1];
                (section.value - 1.78, section.variance)
            };
            let ((before, wide), (after, narrow)) = (section(&model.places[0]), section(&known[0]));
            assert!(after.abs() < 0.7 * before.abs(), "{before} {after}");
            assert!(narrow < wide);
        }
    }

    #[test]
    fn readings_that_state_their_own_uncertainty_are_not_put_right_by_each_other() {
        let candidates = Candidates::new(SizeTable::shipped(), &Prior::default());
        let scanned = |d1: f64, d2: f64| {
            let by_scan = |mm: f64| format!("{mm:.3} mm u 0.012 mm by scan");
            place([
                (Measurand::Od, by_scan(d1 + 2.0 * d2)),
                (Measurand::Id, by_scan(d1)),
            ])
        };
        let model = ModelEvidence {
            places: vec![scanned(9.30, 1.78), scanned(18.82, 3.53)],
            ..ModelEvidence::default()
        };
        assert!(corrected(&model, &mut Identifier::new(&candidates)).is_none());
    }
}
