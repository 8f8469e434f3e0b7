//! What rings are made of: polymers, and what to choose for a duty.

mod lubricant;
mod polymer;
mod shelf_life;

pub use lubricant::{LubricantRule, LubricantVerdict, LubricatedGas, lubricants};
pub use polymer::{Polymer, PolymerFacts};
pub use shelf_life::{Quarter, ShelfLife, ShelfLifeSystem};
