//! The pages on which the measuring of scans is judged, each made from a seed.
//!
//! `accuracy` and `one_sided` have one ring a page, `damage` a dozen, `cluttered` a bench's worth; `refusal` has what must not be
//! measured, `calibration` what a scanner's scale is taken from.

#![allow(dead_code, reason = "each test target uses what it needs")]

pub(crate) mod accuracy;
pub(crate) mod calibration;
pub(crate) mod cluttered;
pub(crate) mod damage;
mod layout;
pub(crate) mod one_sided;
pub(crate) mod photograph;
pub(crate) mod refusal;
mod stock;
