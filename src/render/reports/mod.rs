//! One file a report: its page and its rows.

mod gland_check;
mod gland_cut;
mod gland_fit;
mod gland_used;
mod ring;
mod seal_care;
mod size;
