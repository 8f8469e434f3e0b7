//! Whether a polymer suits a gas: the one rule that every command asks.

use super::polymer::Polymer;
use crate::core::confidence::Confidence;
use crate::core::gas::GasService;
use crate::core::word::words;
use serde::{Deserialize, Serialize};

/// Says how standard compounds of a polymer do in a gas.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Rating {
    /// The usual choice.
    Suits,
    /// It works, and another one does better.
    #[serde(alias = "second choice")]
    SecondChoice,
    /// Not to be used.
    Unsuitable,
}

words!(Rating {
    Suits => "suits",
    SecondChoice => "second choice",
    Unsuitable => "unsuitable",
});

/// What a polymer is to a gas.
#[derive(Debug, Clone, PartialEq)]
pub struct PolymerFitness {
    pub polymer: Polymer,
    /// Its rating; `None` where none is known, which is no praise.
    pub rating: Option<Rating>,
    pub reason: String,
    pub source: &'static str,
    pub confidence: Confidence,
}

impl Polymer {
    /// Judges the polymer in a gas; a gas that is not settled counts as enriched.
    pub fn in_gas(self, service: &GasService) -> PolymerFitness {
        let facts = self.facts();
        let rating = match service {
            GasService::Air => facts.breathing_air,
            GasService::Enriched { .. } | GasService::Unsettled { .. } => facts.enriched_gas,
            GasService::Other { .. } => None,
        };
        let reason = match rating {
            Some(Rating::Suits) => format!("{self} suits {service}"),
            Some(Rating::SecondChoice) => format!("{self} is second choice in {service}"),
            Some(Rating::Unsuitable) => format!("{self} is unsuitable in {service}"),
            None => format!("no rating of {self} in {service} is known"),
        };
        PolymerFitness {
            polymer: self,
            rating,
            reason,
            source: &facts.source,
            confidence: facts.confidence,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::gas::OxygenThreshold;

    #[test]
    fn a_polymer_is_judged_by_the_gas_and_never_praised_for_one_without_a_rating() {
        let threshold = OxygenThreshold::default();
        let rating = |polymer: Polymer, gas: &str| {
            let service = GasService::judge(Some(gas), None, &threshold);
            polymer.in_gas(&service).rating
        };
        assert_eq!(rating(Polymer::Nbr, "air"), Some(Rating::Suits));
        assert_eq!(rating(Polymer::Nbr, "EAN32"), Some(Rating::Unsuitable));
        assert_eq!(rating(Polymer::Nbr, "oxigen"), Some(Rating::Unsuitable));
        assert_eq!(rating(Polymer::Fkm, "oxygen"), Some(Rating::Suits));
        assert_eq!(rating(Polymer::Fkm, "acetylene"), None);
        assert_eq!(rating(Polymer::Iir, "air"), None);
    }
}
