//! `ring --known`, `--learned` and `--forget-last`: what known rings teach of a person and an instrument.

use super::clock::now;
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::ring::known::{
    KnownQuestion, KnownRingError, add_known_ring, forget_last_known_ring, show_learned,
};
use crate::core::measurement::{Instruments, Reading};
use crate::core::quantity::Hardness;
use crate::core::sizes::RingTextError;

/// Holds a ring of known size as it was given.
pub(super) struct Known<'a> {
    pub(super) ring: &'a str,
    pub(super) person: &'a str,
    pub(super) hardness: Option<Hardness>,
    pub(super) readings: Vec<Reading>,
}

pub(super) fn add(
    known: Known<'_>,
    instruments: &Instruments,
    settings: &Settings,
) -> Result<Outcome> {
    let question = KnownQuestion {
        ring: known.ring.to_owned(),
        declared: settings.unit(),
        readings: known.readings,
        person: known.person.to_owned(),
        hardness: known.hardness,
        added_at: now(),
    };
    let report =
        add_known_ring(&settings.book()?, instruments, &question).map_err(|error| match error {
            KnownRingError::Ring(RingTextError::Unread(error)) => {
                CliError::designation("--known", known.ring, &error)
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
