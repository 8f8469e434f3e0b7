//! Rings measured from simulated scans against the truth: a simulator that shares nothing with what measures.
//!
//! Each room makes its pages from a seed and holds what is measured on them against what must hold: `accuracy` and `one_sided` have
//! one ring a page, `damage` a dozen, `cluttered` a bench's worth; `refusal` has what must not be measured, `calibration` what a
//! scanner's scale is taken from. The slow ones are ignored here and run by `scripts/bench`.

mod accuracy;
mod calibration;
mod cluttered;
mod damage;
mod end_to_end;
mod layout;
mod malformed;
mod one_sided;
mod page;
mod photograph;
mod refusal;
mod simulator;

#[path = "../it/program.rs"]
#[allow(dead_code, reason = "one room here runs the program")]
mod program;
