//! `job close`.

use super::super::clock::today;
use super::super::context::Settings;
use super::super::error::CliError;
use super::super::outcome::{Answer, Outcome};
use super::super::setting::date;
use super::hand;
use crate::app::job::{CloseQuestion, Closed, JobDesk};
use crate::core::quantity::Date;
use clap::Args;

#[derive(Debug, Args)]
pub(super) struct CloseArgs {
    /// The job: what is released is named
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
    /// Limits of use, between commas: gas, greatest supply, depth, temperature, as "air, 200 bar, 10 m"
    #[arg(long, value_name = "WORDS", required_unless_present = "not_released")]
    limits: Option<String>,
    /// Close it without release
    #[arg(long)]
    not_released: bool,
}

pub(super) fn run(
    args: &CloseArgs,
    desk: JobDesk<'_>,
    settings: &Settings,
) -> Result<Outcome, CliError> {
    let due = args.due.as_deref().map(due_day).transpose()?;
    let asked = CloseQuestion {
        checked_by: args.checked_by.clone(),
        release: !args.not_released,
        limits: args.limits.clone().unwrap_or_default(),
        due,
        due_rule: args.due.clone().unwrap_or_default(),
    };
    match desk.close(args.job, &hand(&args.by)?, &asked)? {
        Closed::Yes(page) => settings.answer(&*page, Answer::Yes),
        Closed::Lacking(page) => Ok(settings
            .answer(&*page, Answer::No)?
            .warn("not closed, and nothing was written: the record misses what the page names")),
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
