//! `job reading`.

use super::super::context::Settings;
use super::super::error::CliError;
use super::super::outcome::{Answer, Outcome};
use super::super::setting::{JudgeArgs, question};
use super::{hand, stops, words};
use crate::app::job::{JobDesk, NewEntry};
use crate::core::gland::Verdict;
use crate::core::job::{JobEntry, JobReading, ReadState};
use clap::Args;

#[derive(Debug, Args)]
pub(super) struct ReadingArgs {
    /// The job
    job: i64,
    /// Before it was opened
    #[arg(long, conflicts_with = "as_left")]
    as_found: bool,
    /// As it is given back
    #[arg(long)]
    as_left: bool,
    /// Why nothing was read
    #[arg(long, value_name = "REASON", conflicts_with_all = ["readings", "creep"])]
    not_tested: Option<String>,
    /// Who read
    #[arg(long, value_name = "NAME", env = "RINGWRIGHT_BY")]
    by: String,
    #[command(flatten)]
    judge: JudgeArgs,
}

pub(super) fn run(
    args: &ReadingArgs,
    desk: JobDesk<'_>,
    settings: &Settings,
) -> Result<Outcome, CliError> {
    let state = match (args.as_found, args.as_left) {
        (true, _) => ReadState::AsFound,
        (_, true) => ReadState::AsLeft,
        _ => ReadState::Between,
    };
    let new = match &args.not_tested {
        Some(why) => {
            let why = words("--not-tested", why)?;
            NewEntry::Step {
                entry: Box::new(JobEntry::Reading(Box::new(JobReading::not_taken(
                    state, why,
                )))),
                as_listed: false,
                step: None,
            }
        }
        None => NewEntry::Reading {
            state,
            question: Box::new(question(&args.judge, settings)?),
        },
    };
    let page = desk.add(args.job, &hand(&args.by)?, &new)?;
    // As found a unit may be as bad as it is; nothing is refused by that.
    let refused = page.judged.as_ref().is_some_and(|judged| {
        let rejected = judged.verdict == Some(Verdict::Reject) && state != ReadState::AsFound;
        rejected || !judged.stops.is_empty()
    });
    let answer = if refused || stops(&page) {
        Answer::No
    } else {
        Answer::Yes
    };
    settings.answer(&page, answer)
}
