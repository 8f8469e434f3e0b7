//! The use cases: each file does one piece of work for the user and returns a plain report.

pub mod book;
mod deadline;
pub mod file;
pub mod gland;
pub mod job;
pub mod model;
pub mod note;
pub mod ring;
pub mod scan;
pub mod sheet;
pub mod stage;
pub mod stock;
pub mod supply;
mod table_guard;
pub mod thread_named;
