//! How a unit is to be released: limits of use, and who answers for it.

use super::{ClosingAsked, Review};
use crate::core::gas::GasService;
use crate::core::job::lack::Lack;
use crate::core::job::limits_of_use::LimitsOfUse;
use crate::core::job::person::PersonName;
use crate::core::quantity::{Pressure, Spoken};

/// 3000 psi and 207 bar are one supply.
const ROUND_OFF: f64 = 1.005;

impl Review<'_> {
    pub(super) fn closing(&self, lacks: &mut Vec<Lack>) {
        let Some(ClosingAsked {
            person, closing, ..
        }) = self.question.closing
        else {
            return;
        };
        self.limits_of_use(&closing.limits, lacks);
        let people = self.state.people.iter().map(String::as_str);
        let worked: Vec<&str> = people.chain([person]).collect();
        for name in &worked {
            if PersonName::read(name).is_none() {
                lacks.push(Lack::WorkerUnnamed((*name).to_owned()));
            }
        }
        let second = closing.checked_by.as_deref();
        let Some(second) = second.filter(|name| !name.trim().is_empty()) else {
            return lacks.push(Lack::NoSecondPerson);
        };
        let Some(name) = PersonName::read(second).filter(PersonName::is_full) else {
            return lacks.push(Lack::SecondPersonUnnamed(second.to_owned()));
        };
        let same = |worker: &&&str| PersonName::read(worker).is_some_and(|w| w.may_be(&name));
        if let Some(worker) = worked.iter().find(same) {
            lacks.push(Lack::SecondPersonWorked {
                name: second.to_owned(),
                worker: (*worker).to_owned(),
            });
        }
    }

    fn limits_of_use(&self, words: &str, lacks: &mut Vec<Lack>) {
        let gas = &self.state.gas;
        let limits = LimitsOfUse::read(words, &gas.threshold);
        let wider = limits
            .gases
            .iter()
            .find(|(_, service)| !self.covers(service));
        lacks.extend(wider.map(|(limit, _)| Lack::LimitsGas {
            limit: limit.clone(),
            gas: gas.stated.words(),
        }));
        lacks.extend(limits.unread.into_iter().map(Lack::LimitsUnread));
        let Some(limit) = limits
            .supply
            .map(Pressure::bar)
            .filter(|limit| *limit > 0.0)
        else {
            return lacks.push(Lack::LimitsWithoutSupply);
        };
        let said = Spoken::written(limit).say(limit);
        if let Some(supply) = self.state.supply.as_ref()
            && let used = supply.value.bar()
            && limit > used * ROUND_OFF
        {
            lacks.push(Lack::LimitsAboveSupply {
                limit: said,
                supply: said.spoken.say(used),
            });
        }
        let over = self.on_supply().find(|r| limit > r.rating.bar());
        lacks.extend(over.map(|rating| Lack::LimitsAboveRating {
            limit: said,
            rating: rating.text.clone(),
        }));
    }

    /// Tells whether the unit was worked for a gas that asks for as much care as another one.
    fn covers(&self, other: &GasService) -> bool {
        let worked = &self.state.gas.service;
        let share = |service: &GasService| match service {
            GasService::Air | GasService::Other { .. } => 0.0,
            // A share that nobody names may be the highest.
            GasService::Enriched { share } => share.unwrap_or(1.0),
            GasService::Unsettled { .. } => 1.0,
        };
        // A gas that is no air is covered by itself alone, and covers nothing else.
        let own_rules = match (worked, other) {
            (GasService::Other { words: a }, GasService::Other { words: b }) => a == b,
            (GasService::Other { .. }, _) | (_, GasService::Other { .. }) => false,
            _ => true,
        };
        share(worked) >= share(other) && own_rules
    }
}
