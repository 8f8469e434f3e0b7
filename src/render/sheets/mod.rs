//! The printed sheets: each lays one report out on pages.

mod assembly;
mod blocks;
mod book;
mod exploded;
mod gland;
mod gland_metal;
mod gland_section;
mod identification;
mod labels;
mod limit_chart;
mod made_views;
mod make;
mod part_outline;
mod parts;
mod release;
mod rings;
mod squeezed_ring;
mod true_size;

pub use assembly::assembly;
pub use book::book;
pub use gland::gland;
pub use identification::identification;
pub use labels::{LabelFault, LabelLayout, labels};
pub use make::make;
pub use parts::{CostsKnown, parts};
pub use release::release;
pub use rings::rings;
