//! One file a report: its page and its rows.

mod book;
mod ring;
mod size;
