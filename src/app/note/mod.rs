//! Teardown notes: checked, added, shown, and written at the bench.

pub mod add;
pub mod check;
pub mod join;
pub mod list;
pub mod record;
pub mod save;
pub mod show;
