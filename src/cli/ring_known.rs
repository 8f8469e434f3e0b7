//! `ring --known`, `--learned` and `--forget-last`: what known rings teach of a person and an instrument.

use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::ring::known::{
    KnownQuestion, KnownRingError, add_known_ring, forget_last_known_ring, show_learned,
};
use crate::core::measurement::Instruments;
use crate::core::sizes::RingTextError;

pub(super) fn add(
    known: &KnownQuestion,
    instruments: &Instruments,
    settings: &Settings,
) -> Result<Outcome> {
    let report =
        add_known_ring(&settings.book()?, instruments, known).map_err(|error| match error {
            KnownRingError::Ring(RingTextError::Unread(error)) => {
                CliError::designation("--known", &known.ring, &error)
            }
            other => other.into(),
        })?;
    settings.answer(&report, Answer::Yes)
}

pub(super) fn show(
    instruments: &Instruments,
    person: &str,
    settings: &Settings,
) -> Result<Outcome> {
    let report = show_learned(&settings.book()?, instruments, person)?;
    settings.answer(&report, Answer::of(report.rings > 0))
}

pub(super) fn forget_last(
    instruments: &Instruments,
    person: &str,
    settings: &Settings,
) -> Result<Outcome> {
    let report = forget_last_known_ring(&settings.book()?, instruments, person)?;
    settings.answer(&report, Answer::of(report.ring.is_some()))
}
