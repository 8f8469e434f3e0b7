//! What rings are made of: polymers, and what to choose for a duty.

mod choice;
mod oxygen;
mod polymer;

pub use choice::{ElastomerChoice, SealDuty};
pub use oxygen::{GasService, OxygenThreshold};
pub use polymer::{Polymer, PolymerFacts};
