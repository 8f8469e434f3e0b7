//! One file a report: its page and its rows.

mod book;
mod note;
mod ring;
mod gland_check;
mod gland_fit;
mod size;

pub use note::note_csv;
