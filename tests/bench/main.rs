//! Measures how well rings are named: simulated worn rings against the true size.
//!
//! `scripts/bench quality` prints the tables; RINGWRIGHT_RINGS sets the rings a cell.

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

/// Returns how many rings a cell of a printed table is made of.
fn rings_a_cell() -> usize {
    const USUAL: usize = 2000;
    let asked = std::env::var("RINGWRIGHT_RINGS").ok();
    asked.and_then(|n| n.parse().ok()).unwrap_or(USUAL)
}
