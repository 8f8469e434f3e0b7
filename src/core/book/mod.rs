//! The parts book's logic: what the units of a model agree on, and the parts list that follows.

mod gather;
mod kept_identification;
mod model_name;
mod name_key;
mod pooling;
mod ring_sizing;
mod unit_record;

pub use gather::{Gathered, Member, gather, plain_position};
pub use kept_identification::{KeptCandidate, KeptIdentification};
pub use model_name::ModelName;
pub use name_key::{name_key, near_names};
pub use pooling::{APART_SIGMAS, Apart, Pooled, UnitValue, pool};
pub use ring_sizing::{RingSizing, SizeGroup};
pub use unit_record::{RecordedPart, UnitRecord};
