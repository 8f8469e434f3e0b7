//! Teardown notes while they are written at the bench.

pub mod join;
pub mod record;
pub mod save;
