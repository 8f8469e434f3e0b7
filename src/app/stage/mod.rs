//! Pressure stages: springs, shims, settings and what a stage should do.

pub mod expected;
pub mod next_shim;
pub mod setting;
pub mod spring;
