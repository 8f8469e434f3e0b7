//! `job correct`.

use super::super::read_by::read_by;
use super::super::setting::ReadArgs;
use super::super::{CliError, Outcome, Result, Settings};
use super::open::UseFlags;
use super::step::{Beside, WorkFlags};
use super::{add, hand, words};
use crate::app::job::{Hand, JobDesk, NewEntry, Right};
use crate::core::job::Words;
use clap::Args;

/// Correct an entry: withdraw it, or put the right one in its place; the wrong one stays in the record
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright job correct 1 6 \"was never fitted\" --by \"M. Okafor\"\n  \
    ringwright job correct 1 6 \"the lot was K-115\" --part 9 --spec \"AS568-119 NBR 70\" --lot K-115 --by \"M. Okafor\"\n  \
    ringwright job correct 1 1 \"used with air\" --gas air --by \"M. Okafor\"\n\n\
    Words alone take the entry back: it counts as not said. With the flags of `job step`, `job reading` or `job open` the right entry\n\
    stands in its place, if it is of the same kind."
)]
pub(super) struct CorrectArgs {
    /// The job
    job: i64,
    /// The entry that was wrong
    entry: u32,
    /// What is right, or why the entry does not hold
    #[arg(value_parser = read_by(|_, text| words("the correction", text)))]
    words: Words,
    /// Who corrects it
    #[arg(long, value_name = "NAME", env = "RINGWRIGHT_BY", value_parser = read_by(hand))]
    by: Hand,
    #[command(flatten)]
    work: WorkFlags,
    #[command(flatten)]
    read: ReadArgs,
    #[command(flatten)]
    used: UseFlags,
}

pub(super) fn run(args: &CorrectArgs, desk: JobDesk<'_>, settings: &Settings) -> Result<Outcome> {
    let work = args.work.entry(Beside::of(settings))?;
    let read = args.read.question(settings)?;
    let used = args.used.change();
    let right = match (work, read, used) {
        (None, None, None) => Right::Nothing,
        (Some(entry), None, None) => Right::Step {
            entry: Box::new(entry),
            as_listed: args.work.as_listed,
        },
        (None, Some(question), None) => Right::Reading(Box::new(question)),
        (None, None, Some(change)) => Right::Opening(Box::new(change)),
        _ => {
            return Err(CliError::input(
                "one entry says one thing: give what belongs to it alone, a step, readings, or what the unit is used with",
            ));
        }
    };
    let new = NewEntry::Correction {
        of: args.entry,
        words: args.words.words.clone(),
        right,
    };
    add(desk, Some(args.job), &args.by, &[new], settings)
}
