//! The use cases: each file does one piece of work for the user and returns a plain report.

pub mod note_check;
pub mod size;
