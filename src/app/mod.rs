//! The use cases: each file does one piece of work for the user and returns a plain report.

pub mod gland_check;
pub mod gland_cut;
pub mod gland_fit;
pub mod gland_question;
pub mod gland_used;
pub mod identify;
pub mod ring_batch;
pub mod seal_care;
pub mod size;
