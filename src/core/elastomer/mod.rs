//! What rings are made of: polymers, and what to choose for a duty.

mod choice;
mod lubricant;
mod lubricant_words;
mod polymer;
mod polymer_fitness;
mod shelf_life;

pub use crate::core::gas::{GasService, OxygenThreshold};
pub use choice::{ElastomerChoice, SealDuty};
pub use lubricant::{
    LubricantClass, LubricantJudgement, LubricantRule, LubricantVerdict, LubricatedGas,
    judge_lubricant, lubricants,
};
pub use polymer::{Polymer, PolymerFacts};
pub use polymer_fitness::{PolymerFitness, Rating};
pub use shelf_life::{Quarter, ShelfLife, ShelfLifeSystem};
