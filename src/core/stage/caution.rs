//! Cautions at the step where the work can hurt someone.

use crate::core::caution::Caution;
use crate::core::gear::GearKind;
use serde::Serialize;

/// Names the steps that have cautions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Step {
    /// Taking apart.
    Strip,
    /// Cleaning.
    Clean,
    /// Dressing or turning a seat.
    Seat,
    /// Greasing.
    Lubricate,
    /// Loading a spring.
    Spring,
    /// Putting pressure on.
    Pressurise,
    /// Changing the setting.
    Adjust,
    /// Gas with more oxygen.
    Oxygen,
    /// Giving breathing gear back.
    Release,
    /// Giving other gear back.
    ReleaseOther,
}

/// Ends the cautions of every step of the bench.
const PRACTICE: &str = Caution::Step.words();

impl Step {
    /// Returns the step of giving a kind of gear back.
    pub fn release(gear: GearKind) -> Self {
        if gear.is_life_support() {
            Self::Release
        } else {
            Self::ReleaseOther
        }
    }
}

/// Returns the cautions of a step; those of the bench end with [`Caution::Step`].
///
/// Written for this program; the facts behind them are common practice, and figures say where they come from. None of them
/// replaces local codes or licensed practice.
pub const fn cautions(step: Step) -> &'static [&'static str] {
    match step {
        Step::Strip => &[
            "Shut the supply, vent, and disconnect before a cap is loosened. A cap that turns harder than it should may still hold pressure behind a swollen seal: stop and vent again.",
            "Springs leave with force: wear glasses, hold a cloth over the opening, keep hold of the clip.",
            PRACTICE,
        ],
        Step::Clean => &[
            "Ventilate and wear gloves; keep acid off aluminium and plated parts (recalled); rinse until nothing is left.",
            PRACTICE,
        ],
        Step::Seat => &[
            "Dressing a seat or an edge moves its sealing circle, and with it the level and the supply effect (the force balance of `setting expect`): read again at two supplies afterwards.",
            PRACTICE,
        ],
        Step::Lubricate => &[
            "Grease sparingly. Silicone grease is for air alone, and swells silicone rubber (recalled); above the oxygen threshold take a halogenated grease rated for oxygen; never mineral oil, never spray.",
            PRACTICE,
        ],
        Step::Spring => &[
            "A preloaded spring holds about 2 J (worked out for a common one: half of rate by travel squared), enough to blind an eye (recalled): wear glasses, and release it with the tool that holds it.",
            PRACTICE,
        ],
        Step::Pressurise => &[
            "Point it away, open the valve over several seconds (recalled) with a hand on it, have a relief valve or a second stage fitted, and protect the ears. Fast opening heats the gas.",
            PRACTICE,
        ],
        Step::Adjust => &[
            "Close the supply and vent before you change a shim or open the cap. After each change read at a high and a low supply, and after some twenty cycles (recalled) once more: new seats bed in.",
            PRACTICE,
        ],
        Step::Oxygen => &[
            "Clean and compatible, and kept so: one use on a dirty cylinder undoes it. Filling by partial pressure puts pure oxygen on the parts whatever the final mix.",
            PRACTICE,
        ],
        Step::Release => &[
            "Breathing gas is life support. A rebuilt obsolete unit has no maker's support and no present conformity; a competent person decides and signs, and local codes and licensed practice come first.",
            "First use is shallow, with somebody at hand, and by nobody but the person who answers for it.",
        ],
        Step::ReleaseOther => &[
            "A rebuilt obsolete unit has no maker's support and no present conformity; a competent person decides and signs, and local codes and licensed practice come first.",
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_step_of_the_bench_ends_by_deferring_to_codes_and_licensed_practice() {
        for step in [
            Step::Strip,
            Step::Clean,
            Step::Seat,
            Step::Lubricate,
            Step::Spring,
            Step::Pressurise,
            Step::Adjust,
            Step::Oxygen,
        ] {
            let said = cautions(step);
            assert_eq!(said.last(), Some(&PRACTICE), "{step:?}");
            assert!(said.len() > 1, "{step:?} says nothing of its own");
        }
    }
}
