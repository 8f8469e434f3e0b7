//! The parts book's logic: what the units of a model agree on, and the parts list that follows.

mod kept_identification;
mod model_name;
mod name_key;

pub use kept_identification::{KeptCandidate, KeptIdentification};
pub use model_name::ModelName;
pub use name_key::{name_key, near_names};
