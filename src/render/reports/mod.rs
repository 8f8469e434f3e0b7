//! One file a report: its page and its rows.

mod gland_check;
mod gland_fit;
mod ring;
mod size;
