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
pub const fn cautions(step: Step) -> &'static [Caution] {
    use Caution as C;
    match step {
        Step::Strip => &[C::Strip, C::Springs, C::Step],
        Step::Clean => &[C::Clean, C::Step],
        Step::Seat => &[C::Seat, C::Step],
        Step::Lubricate => &[C::Lubricate, C::Step],
        Step::Spring => &[C::SpringLoad, C::Step],
        Step::Pressurise => &[C::Pressurise, C::Step],
        Step::Adjust => &[C::Adjust, C::Step],
        Step::Oxygen => &[C::Oxygen, C::Step],
        Step::Release => &[C::Release, C::FirstUse],
        Step::ReleaseOther => &[C::ReleaseOther],
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
            assert_eq!(said.last(), Some(&Caution::Step), "{step:?}");
            assert!(said.len() > 1, "{step:?} says nothing of its own");
        }
    }
}
