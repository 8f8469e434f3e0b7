//! Measures how well rings are named: simulated worn rings against the true size.
//!
//! `cargo test --test bench -- --nocapture` prints the table; RINGWRIGHT_RINGS sets the rings a cell (default 2000).

mod advice;
mod identification;
mod learning;
mod made;
mod model;
mod oracle;
mod random;
mod scan;
mod score;
mod simulator;
mod stage;
mod trade;
mod unlisted;
