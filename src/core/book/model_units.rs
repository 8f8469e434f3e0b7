//! The units of a model as a parts list sees them.

use super::gather::Gathered;
use super::unit_record::UnitRecord;
use crate::core::elastomer::{GasService, OxygenThreshold, SealDuty};
use crate::core::gland::Duty;
use crate::core::quantity::{Pressure, PressureUnit};

/// Holds the units of a model with what they are used for.
#[derive(Debug, Clone, Copy)]
pub(super) struct ModelUnits<'u> {
    pub(super) units: &'u [UnitRecord],
    pub(super) threshold: &'u OxygenThreshold,
}

impl ModelUnits<'_> {
    /// Returns serial numbers by the places of units.
    pub(super) fn serials(&self, units: &[usize]) -> Vec<String> {
        units
            .iter()
            .map(|unit| self.units[*unit].serial.clone())
            .collect()
    }

    /// Returns the other shops whose units have a part.
    pub(super) fn shops_of(&self, part: &Gathered<'_>) -> Vec<String> {
        let members = part.members.iter();
        let shops = members.flat_map(|member| self.units[member.unit].whose.shops());
        let mut shops: Vec<String> = shops.cloned().collect();
        shops.sort();
        shops.dedup();
        shops
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

    /// Judges the gas of one unit.
    pub(super) fn service(&self, unit: usize) -> GasService {
        let header = &self.units[unit].header;
        let oxygen = header.oxygen.as_ref().map(|share| share.value);
        GasService::judge(header.gas.as_deref(), oxygen, self.threshold)
    }

    /// Returns the duty that the most demanding unit gives, without what the gland of a ring adds.
    pub(super) fn hardest_duty(&self) -> SealDuty {
        let hardest = (0..self.units.len())
            .min_by_key(|unit| (rank(&self.service(*unit)), *unit))
            .map(|unit| &self.units[unit].header);
        let supply = self
            .units
            .iter()
            .filter_map(|unit| unit.header.supply.as_ref().map(|p| p.value))
            .max_by(|a, b| bar(*a).total_cmp(&bar(*b)));
        SealDuty {
            gas: hardest.and_then(|header| header.gas.clone()),
            oxygen: hardest.and_then(|h| h.oxygen.as_ref().map(|share| share.value)),
            supply,
            pressure: None,
            motion: None,
        }
    }

    /// Tells whether the units are used with gases that ask for different parts.
    pub(super) fn gases_differ(&self) -> bool {
        let mut ranks = (0..self.units.len()).map(|unit| rank(&self.service(unit)));
        let first = ranks.next();
        ranks.any(|other| Some(other) != first)
    }
}

/// Orders gases by what they ask of parts, the most demanding first.
fn rank(service: &GasService) -> u8 {
    match service {
        GasService::Enriched { .. } => 0,
        GasService::Other { .. } => 1,
        GasService::Unknown => 2,
        GasService::Air => 3,
    }
}

/// Returns a pressure above the surroundings in bar.
pub(super) fn bar(pressure: Pressure) -> f64 {
    pressure.gauge_in(PressureUnit::Bar)
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
