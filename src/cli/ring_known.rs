//! `ring --known`, `--learned` and `--forget-last`: what known rings teach of a person and an instrument.

use super::clock::now;
use super::context::Settings;
use super::error::CliError;
use super::outcome::{Answer, Outcome};
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
) -> Result<Outcome, CliError> {
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
            KnownRingError::Store(error) => error.into(),
            other => CliError::input(other.to_string()),
        })?;
    settings.answer(&report, Answer::Yes)
}

pub(super) fn show(
    instruments: &Instruments,
    person: &str,
    settings: &Settings,
) -> Result<Outcome, CliError> {
    let report = show_learned(&settings.book()?, instruments, person)?;
    let answer = if report.rings > 0 {
        Answer::Yes
    } else {
        Answer::No
    };
    settings.answer(&report, answer)
}

pub(super) fn forget_last(
    instruments: &Instruments,
    person: &str,
    settings: &Settings,
) -> Result<Outcome, CliError> {
    let report = forget_last_known_ring(&settings.book()?, instruments, person)?;
    let answer = if report.ring.is_some() {
        Answer::Yes
    } else {
        Answer::No
    };
    settings.answer(&report, answer)
}
