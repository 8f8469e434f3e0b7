//! The printed sheets: each lays one report out on pages.

mod rings;
mod true_size;

pub use rings::rings;
pub use true_size::PrinterScale;
