//! `job reading`.

use super::super::read_by::read_by;
use super::super::setting::{JudgeArgs, question};
use super::super::{Outcome, Result, Settings};
use super::{add, hand, words};
use crate::app::job::{Hand, JobDesk, NewEntry};
use crate::core::job::{JobEntry, JobReading, ReadState, Words};
use clap::Args;

#[derive(Debug, Args)]
pub(super) struct ReadingArgs {
    /// The job; else the only one that is open
    job: Option<i64>,
    /// Before it was opened
    #[arg(long, conflicts_with = "as_left")]
    as_found: bool,
    /// As it is given back
    #[arg(long)]
    as_left: bool,
    /// Why nothing was read
    #[arg(long, value_name = "REASON", conflicts_with_all = ["readings", "creep"], value_parser = read_by(words))]
    not_tested: Option<Words>,
    /// Who read
    #[arg(long, value_name = "NAME", env = "RINGWRIGHT_BY", value_parser = read_by(hand))]
    by: Hand,
    #[command(flatten)]
    judge: JudgeArgs,
}

pub(super) fn run(args: &ReadingArgs, desk: JobDesk<'_>, settings: &Settings) -> Result<Outcome> {
    let state = match (args.as_found, args.as_left) {
        (true, _) => ReadState::AsFound,
        (_, true) => ReadState::AsLeft,
        _ => ReadState::Between,
    };
    let new = match &args.not_tested {
        Some(why) => not_taken(state, why.clone()),
        None => NewEntry::Reading {
            state,
            question: Box::new(question(&args.judge, settings)?),
        },
    };
    add(desk, args.job, &args.by, &[new], settings)
}

/// Says that nothing was read, and why.
pub(super) fn not_taken(state: ReadState, why: Words) -> NewEntry {
    NewEntry::plain(JobEntry::Reading(Box::new(JobReading::not_taken(
        state, why.words,
    ))))
}
