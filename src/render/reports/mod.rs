//! One file a report: its page and its rows.

mod book;
mod ring;
mod note;
mod size;

pub use note::note_csv;
