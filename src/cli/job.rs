//! `job`: the record of one piece of work, from as found to release.

use super::care::{oxygen, percent};
use super::clock::{now, today};
use super::context::Settings;
use super::error::CliError;
use super::outcome::{Answer, Outcome};
use super::parts::threshold_in_range;
use super::setting::{JudgeArgs, date, question};
use crate::app::find_model::Found;
use crate::app::job::{
    CloseQuestion, Closed, Hand, JobError, OpenQuestion, add_entry, add_reading, close_job,
    list_jobs, open_job, show_job,
};
use crate::core::elastomer::OxygenThreshold;
use crate::core::gland::Verdict;
use crate::core::job::{JobEntry, ReadState};
use crate::core::quantity::Date;
use crate::core::stage::{Step, parse_rating, parse_shims};
use clap::{Args, Subcommand};

/// Keep the record of a job: as found, parts and lots, cleaning, shims, as left, second person, release
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright job open \"Tarn 2\" FT2-004417 --by \"M. Okafor\"\n  \
    ringwright job reading 1 --as-found --reading \"142 psi at 195 bar\" --reading \"126 psi at 35 bar\" --gauge 2 --by \"M. Okafor\"\n  \
    ringwright job step 1 --part \"o-ring on piston head\" --spec \"AS568-119 N70\" --lot K-114 --by \"M. Okafor\"\n  \
    ringwright job close 1 --checked-by \"J. Lind\" --due \"12 months\" --limits \"air, 200 bar, 10 m\" --by \"M. Okafor\"\n  \
    ringwright job show 1\n\n\
    A record only grows. A closed one takes corrections alone; `ringwright book check` finds any later change."
)]
pub(super) struct JobArgs {
    #[command(subcommand)]
    task: JobTask,
}

#[derive(Debug, Subcommand)]
enum JobTask {
    /// Open a job on a unit of the book
    Open(OpenArgs),
    /// Add readings, as found, between, or as left; exit code 1 where they stop the work, or are rejected and not as found
    Reading(ReadingArgs),
    /// Add a step: a part fitted or kept, cleaning, lubricant, torque, shims, a rating, a test
    Step(Box<StepArgs>),
    /// Close the record: released with a second person's check, or without release
    Close(CloseArgs),
    /// Correct an entry; the wrong one stays
    Correct {
        /// The job
        job: i64,
        /// The entry that was wrong
        entry: u32,
        /// What is right
        words: String,
        /// Who corrects it
        #[arg(long, value_name = "NAME")]
        by: String,
    },
    /// Show the record, and what it lacks or says for release
    Show {
        /// The job
        job: i64,
    },
    /// List the jobs
    List,
}

#[derive(Debug, Args)]
struct OpenArgs {
    /// The model; its maker may be left out
    model: String,
    /// Serial number of the unit
    #[arg(value_name = "UNIT")]
    serial: String,
    /// Who works on it
    #[arg(long, value_name = "NAME")]
    by: String,
    /// What it is for; else from its note
    #[arg(long, value_name = "WORDS")]
    purpose: Option<String>,
    /// The gas; else from its note
    #[arg(long, value_name = "WORDS")]
    gas: Option<String>,
    /// Share of oxygen, as "32 %"; else from its note
    #[arg(long, value_name = "PERCENT")]
    oxygen: Option<String>,
    /// Share above which gas counts as enriched; bodies differ, from 22 to 40 %
    #[arg(long, value_name = "PERCENT", default_value = "23.5 %")]
    threshold: String,
}

#[derive(Debug, Args)]
struct ReadingArgs {
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
    #[arg(long, value_name = "NAME")]
    by: String,
    #[command(flatten)]
    judge: JudgeArgs,
}

#[derive(Debug, Args)]
#[command(group(clap::ArgGroup::new("what").required(true).args([
    "part", "kept", "clean", "lubricant", "torque", "shims", "rated", "tested", "not_tested", "remark",
])))]
struct StepArgs {
    /// The job
    job: i64,
    /// A part fitted, with its place
    #[arg(long, value_name = "PART", requires_all = ["spec", "lot"])]
    part: Option<String>,
    /// What was fitted
    #[arg(long, value_name = "WORDS", requires = "part")]
    spec: Option<String>,
    /// Its lot, or that none is known
    #[arg(long, value_name = "LOT")]
    lot: Option<String>,
    /// A part that the list replaces and that stays, with its place
    #[arg(long, value_name = "PART", requires = "why")]
    kept: Option<String>,
    /// Why it stays
    #[arg(long, value_name = "WORDS", requires = "kept")]
    why: Option<String>,
    /// How it was cleaned
    #[arg(long, value_name = "WORDS")]
    clean: Option<String>,
    /// It was cleaned and verified for enriched gas
    #[arg(long, requires = "clean")]
    for_oxygen: bool,
    /// The lubricant
    #[arg(long, value_name = "NAME", requires = "lot")]
    lubricant: Option<String>,
    /// A fastener and its torque, as "cap 25 N m"
    #[arg(long, value_name = "WORDS")]
    torque: Option<String>,
    /// The stack fitted, as "0.25x2 0.10 mm"
    #[arg(long, value_name = "SHIMS")]
    shims: Option<String>,
    /// Recorded rating of a part, as "hose 250 psi" or "body 3000 psi on supply"
    #[arg(long, value_name = "PART PRESSURE")]
    rated: Option<String>,
    /// A test done: what, how long, what came of it
    #[arg(long, value_name = "WORDS")]
    tested: Option<String>,
    /// A test not done, and why
    #[arg(long, value_name = "WORDS")]
    not_tested: Option<String>,
    /// A remark
    #[arg(long, value_name = "WORDS")]
    remark: Option<String>,
    /// Who did it
    #[arg(long, value_name = "NAME")]
    by: String,
}

#[derive(Debug, Args)]
struct CloseArgs {
    /// The job
    job: i64,
    /// Who closes it
    #[arg(long, value_name = "NAME")]
    by: String,
    /// The second person, who did not do the work
    #[arg(long, value_name = "NAME")]
    checked_by: Option<String>,
    /// When it is due again: a rule as "12 months", or a day
    #[arg(long, value_name = "RULE", required_unless_present = "not_released")]
    due: Option<String>,
    /// Limits of use: gas, pressure, depth, temperature
    #[arg(long, value_name = "WORDS", required_unless_present = "not_released")]
    limits: Option<String>,
    /// Close it without release
    #[arg(long)]
    not_released: bool,
}

impl From<JobError> for CliError {
    fn from(error: JobError) -> Self {
        match error {
            JobError::Store(error) => error.into(),
            other => Self::input(other.to_string()),
        }
    }
}

fn hand(by: &str) -> Result<Hand, CliError> {
    Ok(Hand {
        person: words("--by", by)?,
        at: now(),
    })
}

/// Refuses an empty text.
fn words(flag: &str, text: &str) -> Result<String, CliError> {
    let plain = text.trim();
    if plain.is_empty() {
        return Err(CliError::input(format!(
            "{flag} is empty: a record needs its words"
        )));
    }
    Ok(plain.to_owned())
}

pub(super) fn run(args: &JobArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let place = settings.book()?;
    match &args.task {
        JobTask::Open(args) => open(args, settings),
        JobTask::Reading(args) => reading(args, settings),
        JobTask::Step(args) => {
            let (entry, step) = step_entry(args, settings)?;
            let page = add_entry(&place, args.job, &hand(&args.by)?, (&entry, step))?;
            settings.answer(&page, Answer::Yes)
        }
        JobTask::Close(args) => close(args, settings),
        JobTask::Correct {
            job,
            entry,
            words: right,
            by,
        } => {
            let correction = JobEntry::Correction {
                of: *entry,
                words: words("the correction", right)?,
            };
            let page = add_entry(&place, *job, &hand(by)?, (&correction, None))?;
            settings.answer(&page, Answer::Yes)
        }
        JobTask::Show { job } => settings.answer(&show_job(&place, *job)?, Answer::Yes),
        JobTask::List => {
            let list = list_jobs(&place)?;
            let answer = if list.jobs.is_empty() {
                Answer::No
            } else {
                Answer::Yes
            };
            settings.answer(&list, answer)
        }
    }
}

fn threshold(text: &str) -> Result<f64, CliError> {
    threshold_in_range(percent("--threshold", text)?)
        .map_err(|remedy| CliError::input(format!("--threshold does not take {text:?}: {remedy}")))
}

fn open(args: &OpenArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let asked = OpenQuestion {
        model: args.model.clone(),
        serial: args.serial.clone(),
        purpose: args.purpose.clone(),
        gas: args.gas.clone(),
        oxygen_pct: oxygen(args.oxygen.as_deref())?,
        threshold: OxygenThreshold::of_share(threshold(&args.threshold)? / 100.0),
    };
    match open_job(&settings.book()?, &asked, &hand(&args.by)?)? {
        Found::Yes(page) => settings.answer(&page, Answer::Yes),
        Found::No(missing) => settings.answer(&missing, Answer::No),
    }
}

fn reading(args: &ReadingArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let state = match (args.as_found, args.as_left) {
        (true, _) => ReadState::AsFound,
        (_, true) => ReadState::AsLeft,
        _ => ReadState::Between,
    };
    let place = settings.book()?;
    let by = hand(&args.by)?;
    if let Some(why) = &args.not_tested {
        let entry = JobEntry::Reading {
            state,
            readings: Vec::new(),
            creep: Vec::new(),
            lock_up_s: None,
            gauge: String::new(),
            gauge_known: false,
            creep_call: None,
            verdict: None,
            said: Vec::new(),
            stops: Vec::new(),
            not_tested: Some(words("--not-tested", why)?),
            standing: None,
        };
        let page = add_entry(&place, args.job, &by, (&entry, None))?;
        return settings.answer(&page, Answer::Yes);
    }
    let asked = question(&args.judge, settings)?;
    let page = add_reading(&place, args.job, &by, (state, asked))?;
    // As found a unit may be as bad as it is; nothing is refused by that.
    let refused = page.judged.as_ref().is_some_and(|judged| {
        let rejected = judged.verdict == Some(Verdict::Reject) && state != ReadState::AsFound;
        rejected || !judged.stops.is_empty()
    });
    let answer = if refused { Answer::No } else { Answer::Yes };
    settings.answer(&page, answer)
}

fn step_entry(args: &StepArgs, settings: &Settings) -> Result<(JobEntry, Option<Step>), CliError> {
    let lot = || words("--lot", args.lot.as_deref().unwrap_or(""));
    if let Some(part) = &args.part {
        let entry = JobEntry::Part {
            part: words("--part", part)?,
            spec: words("--spec", args.spec.as_deref().unwrap_or(""))?,
            lot: lot()?,
            unlike: None,
        };
        return Ok((entry, None));
    }
    if let Some(part) = &args.kept {
        let entry = JobEntry::Kept {
            part: words("--kept", part)?,
            why: words("--why", args.why.as_deref().unwrap_or(""))?,
        };
        return Ok((entry, None));
    }
    if let Some(how) = &args.clean {
        let entry = JobEntry::Clean {
            how: words("--clean", how)?,
            for_oxygen: args.for_oxygen,
        };
        let step = if args.for_oxygen {
            Step::Oxygen
        } else {
            Step::Clean
        };
        return Ok((entry, Some(step)));
    }
    if let Some(name) = &args.lubricant {
        let entry = JobEntry::Lubricant {
            name: words("--lubricant", name)?,
            lot: lot()?,
        };
        return Ok((entry, Some(Step::Lubricate)));
    }
    if let Some(text) = &args.shims {
        let shims = parse_shims(text, settings.unit())
            .map_err(|fault| CliError::input(format!("--shims: {fault}")))?;
        let total_mm = shims
            .iter()
            .map(|shim| shim.thickness.mm() * f64::from(shim.count))
            .sum::<f64>();
        let entry = JobEntry::Shims {
            words: text.trim().to_owned(),
            total_mm: (total_mm * 1e4).round() / 1e4,
        };
        return Ok((entry, Some(Step::Adjust)));
    }
    if let Some(text) = &args.rated {
        let rating = parse_rating(text).map_err(|f| CliError::input(format!("--rated: {f}")))?;
        return Ok((JobEntry::Rating { rating }, None));
    }
    said_step(args)
}

fn said_step(args: &StepArgs) -> Result<(JobEntry, Option<Step>), CliError> {
    if let Some(text) = &args.torque {
        return Ok((
            JobEntry::Torque {
                words: words("--torque", text)?,
            },
            None,
        ));
    }
    if let Some(text) = &args.tested {
        return Ok((
            JobEntry::Tested {
                words: words("--tested", text)?,
            },
            None,
        ));
    }
    if let Some(text) = &args.not_tested {
        return Ok((
            JobEntry::NotTested {
                words: words("--not-tested", text)?,
            },
            None,
        ));
    }
    let text = args.remark.as_deref().unwrap_or("");
    Ok((
        JobEntry::Remark {
            words: words("--remark", text)?,
        },
        None,
    ))
}

fn close(args: &CloseArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let due = args.due.as_deref().map(due_day).transpose()?;
    let asked = CloseQuestion {
        checked_by: args.checked_by.clone(),
        release: !args.not_released,
        limits: args.limits.clone().unwrap_or_default(),
        due,
        due_rule: args.due.clone().unwrap_or_default(),
    };
    match close_job(&settings.book()?, args.job, &hand(&args.by)?, &asked)? {
        Closed::Yes(page) => settings.answer(&*page, Answer::Yes),
        Closed::Lacking(page) => Ok(settings
            .answer(&*page, Answer::No)?
            .warn("not closed, and nothing was written: the record lacks what the page names")),
    }
}

/// Reads the rule: so many months or years from today, or a day.
fn due_day(text: &str) -> Result<Date, CliError> {
    let mut parts = text.split_whitespace();
    let count: Option<u16> = parts.next().and_then(|n| n.parse().ok());
    let months = match (count, parts.next(), parts.next()) {
        (Some(count), Some("month" | "months"), None) => Some(count),
        (Some(count), Some("year" | "years"), None) => count.checked_mul(12),
        _ => None,
    };
    let Some(months) = months.filter(|m| (1..=240).contains(m)) else {
        let day = date("--due", text)?;
        if day <= today() {
            return Err(CliError::input(format!(
                "--due {text:?} is not in the future: write a rule as \"12 months\", or a day to come"
            )));
        }
        return Ok(day);
    };
    today()
        .plus_months(months)
        .ok_or_else(|| CliError::input(format!("--due does not take {text:?}")))
}
