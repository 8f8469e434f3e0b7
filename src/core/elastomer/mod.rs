//! What rings are made of: polymers, and what to choose for a duty.

mod polymer;

pub use polymer::{Polymer, PolymerFacts};
