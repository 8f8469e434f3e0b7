//! One file a report: its page and its rows.

mod book;
mod gland_check;
mod gland_fit;
mod note;
mod ring;
mod size;

pub use note::note_csv;
