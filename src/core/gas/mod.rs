//! Which gas gear is used with: read by one small grammar, not searched for words.
//!
//! A text is split into words, numbers and marks (`lexeme.rs`); these become terms: gases of a list, shares of oxygen,
//! figures that are plainly something else (a pressure, a temperature, a volume, a date), joining words (`term.rs`); and the
//! terms become what the words say of oxygen (`components.rs`, `reading.rs`), on which a threshold is laid (`judge.rs`). The tables are `data/gas/gases.csv` and
//! `data/gas/words.csv`.
//!
//! The rules, to which the wordings and the property test of `wordings.rs` hold:
//!
//! - A dash joins only without a space beside it; with one it parts as a comma does, and so does a bracket.
//! - A figure is a share only with a per cent sign, or directly behind a name that takes one (EAN, nitrox, heliox, the pair
//!   of trimix), or in a list beside a list of names (`argon/CO2 82/18`). A share belongs to the name that it stands directly
//!   before; where that leaves a share without a name, to the name directly before it.
//! - Oxygen without a share is pure. What is put together (`air/O2`, "topped with") exposes its parts to the richest of its
//!   gases; names that merely follow each other, or with "or", are several readings.
//! - Every reading is formed. Where all are above the threshold, the gas is enriched, with the highest share that was named;
//!   words left over cannot lower that. Where some are, the readings contradict each other: unsettled.
//! - Where none is, words left over, a bare number, a negation or a share that is missing make the gas unsettled all the same.
//! - A negation ("not oxygen") is never trusted: the gas is unsettled.
//!
//! - What is stated beside the words (`--oxygen`, the header `oxygen`) is one more reading.
//!
//! An unsettled gas is treated as oxygen-enriched until somebody settles it, and every answer says so.

mod components;
mod doubt;
mod gas_name;
mod gas_word;
mod judge;
mod lexeme;
mod measured;
mod reading;
mod service;
mod term;
mod threshold;
#[cfg(test)]
mod wordings;

pub use doubt::Doubt;
pub use service::{GasService, GasStatement};
pub use threshold::OxygenThreshold;

/// The share of oxygen in clean dry air.
pub(crate) const AIR_SHARE: f64 = 0.2095;
/// A gas with less oxygen than this is not air: the lower end of the range that the CGA calls air (seen quoted).
pub(crate) const LEAST_AIR_SHARE: f64 = 0.19;
