//! Rings: named from readings, alone, in tables, in a dialogue or with their model; sizes; what teaches a hand.

pub mod batch;
pub mod identify;
pub mod instruments;
pub mod known;
pub mod meaning;
pub mod model_rings;
pub mod naming;
pub mod question;
pub mod session;
mod session_line;
pub(in crate::app) mod session_note;
pub mod session_said;
pub mod size;
pub mod sold_here;
pub mod stream;
