//! `job`: the record of one piece of work, from as found to release.

mod close;
mod correct;
mod open;
mod parts;
mod reading;
mod step;
mod work;

use super::clock::now;
use super::read_by::not_empty;
use super::setting::limits_of;
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::job::{Hand, JobDesk, JobShown, NewEntry};
use crate::core::gland::Verdict;
use crate::core::job::{Lack, PersonName, ReadState, Words};
use clap::{Args, Subcommand};

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright job open \"Tarn 2\" FT2-004417 --by \"M. Okafor\"\n  \
    ringwright job reading 1 --as-found --reading \"142 psi at 195 bar\" --reading \"126 psi at 35 bar\" --gauge 2 --by \"M. Okafor\"\n  \
    ringwright job step 1 --part \"o-ring on piston head\" --spec \"AS568-119 NBR 70\" --lot K-114 --by \"M. Okafor\"\n  \
    ringwright job step 1 --part 13 --as-listed --lot K-077 --by \"M. Okafor\"\n  \
    ringwright job parts 1 --by \"M. Okafor\"\n  \
    ringwright job do \"bag; clean detergent, hot rinse; lubricant silicone grease; lot S-07\" --by \"M. Okafor\"\n  \
    ringwright job step 1 --leak-test \"immersion 5 min at 195 bar\" --result passed --by \"M. Okafor\"\n  \
    ringwright job close 1 --checked-by \"J. Lind\" --due \"12 months\" --limits \"air, 200 bar, 10 m\" --by \"M. Okafor\"\n  \
    ringwright job show 1\n\n\
    A record only grows; what counts is the state that its entries leave the unit in. A closed one takes corrections alone.\n\n\
    What `ringwright book check` finds of a change made in the file: an entry changed, put in between or taken out; the last entries or \
    a whole job taken out; a guard taken out. What it does not find: a record changed by somebody who also forms every later seal \
    anew and sets the count and the last seal that are kept apart. Then only figures outside the book tell: the seal on the printed \
    release, and the line \"Job records\" that `book check` prints, written down with its day. Seals are no signature: who \
    wrote an entry is what they typed."
)]
pub(super) struct JobArgs {
    #[command(subcommand)]
    task: JobTask,
}

#[derive(Debug, Subcommand)]
enum JobTask {
    /// Open a job on a unit of the book
    Open(open::OpenArgs),
    /// Add readings, as found, between, or as left; exit code 1 where they stop the work, or are rejected and not as found
    Reading(reading::ReadingArgs),
    /// Add a step: a part fitted or kept, cleaning, lubricant, torque, shims, a rating, a test
    Step(Box<step::StepArgs>),
    /// Enter work in words, several entries in one line; without a line it asks for what is missing
    Do(work::DoArgs),
    /// Go through the parts that the list replaces, line by line, filled from the bag of the unit
    Parts(parts::PartsArgs),
    /// Close the record: released with a second person's check, or without release
    Close(close::CloseArgs),
    /// Correct an entry: withdraw it, or put the right one in its place; the wrong one stays in the record
    Correct(Box<correct::CorrectArgs>),
    /// Show the state of the unit, what it lacks for release, and the record
    Show {
        /// The job; else the only one that is open
        job: Option<i64>,
    },
    /// List the jobs
    List,
}

/// Reads who does it.
fn hand(flag: &str, by: &str) -> Result<Hand> {
    let Words { words: person } = words(flag, by)?;
    if PersonName::read(&person).is_none() {
        return Err(CliError::input(format!(
            "{flag} {person:?} names nobody: write the name of who did it"
        )));
    }
    Ok(Hand { person, at: now() })
}

/// Refuses an empty text.
fn words(flag: &str, text: &str) -> Result<Words> {
    not_empty(flag, text, "a record needs its words")
}

pub(super) fn run(args: &JobArgs, settings: &Settings) -> Result<Outcome> {
    let (place, limits) = (settings.book()?, limits_of(None)?);
    let desk = JobDesk {
        book: &place,
        limits: &limits,
    };
    match &args.task {
        JobTask::Open(args) => open::run(args, desk, settings),
        JobTask::Reading(args) => reading::run(args, desk, settings),
        JobTask::Step(args) => step::run(args, desk, settings),
        JobTask::Do(args) => work::run(args, desk, settings),
        JobTask::Parts(args) => parts::run(args, desk, settings),
        JobTask::Close(args) => close::run(args, desk, settings),
        JobTask::Correct(args) => correct::run(args, desk, settings),
        JobTask::Show { job } => settings.answer(&desk.show(desk.which(*job)?)?, Answer::Yes),
        JobTask::List => {
            let list = desk.list()?;
            settings.answer(&list, Answer::of(!list.jobs.is_empty()))
        }
    }
}

/// Adds to a record; the answer is no where what was added stops the work, or readings are rejected. As found a unit may be as bad
/// as it is: nothing is refused by that.
fn add(
    desk: JobDesk<'_>,
    job: Option<i64>,
    by: &Hand,
    new: &[NewEntry],
    settings: &Settings,
) -> Result<Outcome> {
    let page = desk.add(desk.which(job)?, by, new)?;
    let refused = page.added_readings().any(|read| {
        let rejected = read.verdict == Some(Verdict::Reject) && read.state != ReadState::AsFound;
        rejected || !read.stops.is_empty()
    });
    settings.answer(&page, Answer::of(!refused && !stops(&page)))
}

fn stops(page: &JobShown) -> bool {
    page.points.iter().any(|point| {
        matches!(
            point,
            Lack::ReadingStops { .. }
                | Lack::Leaks { .. }
                | Lack::TestAboveRating { .. }
                | Lack::TestFailed { .. }
        )
    })
}
