//! What rings are made of: polymers, and what to choose for a duty.

mod choice;
mod lubricant;
mod oxygen;
mod polymer;
mod shelf_life;

pub use choice::{ElastomerChoice, SealDuty};
pub use lubricant::{LubricantRule, LubricantVerdict, LubricatedGas, lubricants};
pub use oxygen::{GasService, OxygenThreshold};
pub use polymer::{Polymer, PolymerFacts};
pub use shelf_life::{Quarter, ShelfLife, ShelfLifeSystem};
