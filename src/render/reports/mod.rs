//! One file a report: its page and its rows.

mod ring;
mod size;
