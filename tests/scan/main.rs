//! Rings measured from simulated scans against the truth: a simulator that shares nothing with what measures.
//!
//! The slow ones are ignored here and run by `scripts/bench`.

mod acceptance;
mod malformed;
mod pages;
mod simulator;
