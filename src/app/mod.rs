//! The use cases: each file does one piece of work for the user and returns a plain report.

pub mod gland_check;
pub mod gland_fit;
pub mod gland_question;
pub mod identify;
pub mod note_check;
pub mod ring_batch;
pub mod ring_facts;
pub mod ring_meaning;
pub mod ring_stream;
pub mod size;
