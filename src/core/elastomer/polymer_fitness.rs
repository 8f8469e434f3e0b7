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

/// Says whether a polymer suits a gas.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Fitness {
    /// Rated for it.
    Suits,
    /// Rated against it.
    Unsuitable,
    /// No rating is known; that is no praise.
    NotKnown,
}

/// Holds what a polymer is to a gas.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PolymerFitness {
    pub polymer: Polymer,
    /// Its rating, where one is known.
    pub rating: Option<Rating>,
    /// What follows from it.
    pub fitness: Fitness,
    /// Why, in words.
    pub reason: String,
    /// Where the rating comes from.
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
        let fitness = match rating {
            Some(Rating::Unsuitable) => Fitness::Unsuitable,
            Some(Rating::Suits | Rating::SecondChoice) => Fitness::Suits,
            None => Fitness::NotKnown,
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
            fitness,
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
        let fitness = |polymer: Polymer, gas: &str| {
            let service = GasService::judge(Some(gas), None, &threshold);
            polymer.in_gas(&service).fitness
        };
        assert_eq!(fitness(Polymer::Nbr, "air"), Fitness::Suits);
        assert_eq!(fitness(Polymer::Nbr, "EAN32"), Fitness::Unsuitable);
        assert_eq!(fitness(Polymer::Nbr, "oxigen"), Fitness::Unsuitable);
        assert_eq!(fitness(Polymer::Fkm, "oxygen"), Fitness::Suits);
        assert_eq!(fitness(Polymer::Fkm, "acetylene"), Fitness::NotKnown);
        assert_eq!(fitness(Polymer::Iir, "air"), Fitness::NotKnown);
    }
}
