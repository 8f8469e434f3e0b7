//! The units of a model as a parts list sees them.

use super::gather::Gathered;
use super::part_line::{Conflict, ConflictAbout};
use super::unit_record::UnitRecord;
use crate::core::elastomer::SealDuty;
use crate::core::gas::{GasService, GasStatement, OxygenThreshold};
use crate::core::gland::Duty;

/// The units of a model with what they are used for.
#[derive(Debug, Clone, Copy)]
pub(super) struct ModelUnits<'u> {
    pub(super) units: &'u [UnitRecord],
    pub(super) threshold: &'u OxygenThreshold,
    /// The gas that the units will be used with, where it is not that of their notes.
    pub(super) gas: Option<&'u GasStatement>,
}

impl ModelUnits<'_> {
    /// Returns serial numbers by the places of units.
    pub(super) fn serials(&self, units: &[usize]) -> Vec<String> {
        units
            .iter()
            .map(|unit| self.units[*unit].serial.clone())
            .collect()
    }

    /// Names a contradiction of which these units stand apart.
    pub(super) fn conflict(
        &self,
        about: ConflictAbout,
        units: &[usize],
        words: String,
    ) -> Conflict {
        Conflict {
            about,
            units: self.serials(units),
            words,
        }
    }

    /// Returns the other shops whose units have a part.
    pub(super) fn shops_of(&self, part: &Gathered<'_>) -> Vec<String> {
        let members = part.members.iter();
        UnitRecord::shops_of(members.map(|member| &self.units[member.unit]))
    }

    /// Joins serial numbers for a sentence: "unit A", "units A and B".
    pub(super) fn named(&self, units: &[usize]) -> String {
        let serials = self.serials(units);
        match serials.as_slice() {
            [] => "no unit".to_owned(),
            [one] => format!("unit {one}"),
            [most @ .., last] => format!("units {} and {last}", most.join(", ")),
        }
    }

    /// Returns what is said of the gas of one unit.
    pub(super) fn gas_of(&self, unit: usize) -> GasStatement {
        let noted = || self.units[unit].header.gas_statement();
        self.gas.cloned().unwrap_or_else(noted)
    }

    /// Judges the gas of one unit.
    pub(super) fn service(&self, unit: usize) -> GasService {
        self.gas_of(unit).judge(self.threshold)
    }

    /// Returns the duty that the most demanding unit gives, without what the gland of a ring adds.
    pub(super) fn hardest_duty(&self) -> SealDuty {
        let hardest = (0..self.units.len())
            .min_by_key(|unit| (self.service(*unit).rank(), *unit))
            .map(|unit| self.gas_of(unit))
            .unwrap_or_default();
        let supply = self
            .units
            .iter()
            .filter_map(|unit| unit.header.supply.as_ref().map(|p| p.value))
            .max_by(|a, b| a.bar().total_cmp(&b.bar()));
        SealDuty {
            gas: hardest.words,
            oxygen: hardest.oxygen,
            supply,
            pressure: None,
            motion: None,
        }
    }

    /// Tells whether the units are used with gases that ask for different parts.
    pub(super) fn gases_differ(&self) -> bool {
        let mut ranks = (0..self.units.len()).map(|unit| self.service(unit).rank());
        let first = ranks.next();
        ranks.any(|other| Some(other) != first)
    }
}

/// Returns the more demanding of two motions.
pub(super) fn harder_motion(a: Option<Duty>, b: Option<Duty>) -> Option<Duty> {
    let rank = |motion: Option<Duty>| match motion {
        None => 0,
        Some(Duty::Static) => 1,
        Some(Duty::Rotary) => 2,
        Some(Duty::Moving) => 3,
    };
    if rank(b) > rank(a) { b } else { a }
}
