//! `job close`.

use super::super::clock::today;
use super::super::noun::Person;
use super::super::read_by::read_by;
use super::super::{Answer, CliError, Outcome, Result, Settings};
use super::hand;
use crate::app::job::{Closed, Hand, JobDesk};
use crate::core::job::Closing;
use crate::core::quantity::{Date, Typed, parse_date};
use clap::Args;

#[derive(Debug, Args)]
pub(super) struct CloseArgs {
    /// The job: what is released is named
    job: i64,
    /// Who closes it
    #[arg(long, value_name = "NAME", value_parser = read_by(hand))]
    by: Hand,
    /// The second person, who did not do the work
    #[arg(long, value_name = "NAME")]
    checked_by: Option<Person>,
    /// When it is due again: a rule as "12 months", or a day
    #[arg(long, value_name = "RULE", required_unless_present = "not_released", value_parser = read_by(due))]
    due: Option<Typed<Date>>,
    /// Limits of use, between commas: gas, greatest supply, depth, temperature, as "air, 200 bar, 10 m"
    #[arg(long, value_name = "WORDS", required_unless_present = "not_released")]
    limits: Option<String>,
    /// Close it without release
    #[arg(long)]
    not_released: bool,
}

pub(super) fn run(args: &CloseArgs, desk: JobDesk<'_>, settings: &Settings) -> Result<Outcome> {
    let asked = Closing {
        checked_by: args.checked_by.clone().map(Into::into),
        released: !args.not_released,
        limits: args.limits.clone().unwrap_or_default(),
        due: args.due.as_ref().map(|due| due.value),
        due_rule: args.due.clone().map_or_else(String::new, |due| due.text),
        lacking: Vec::new(),
    };
    match desk.close(args.job, &args.by, &asked)? {
        Closed::Yes(page) => settings.answer(&*page, Answer::Yes),
        Closed::Lacking(page) => Ok(settings
            .answer(&*page, Answer::No)?
            .warn("not closed, and nothing was written: the record misses what the page names")),
    }
}

/// Reads the rule: so many months or years from today, or a day.
fn due(flag: &str, text: &str) -> Result<Typed<Date>> {
    let mut parts = text.split_whitespace();
    let count: Option<u16> = parts.next().and_then(|n| n.parse().ok());
    let months = match (count, parts.next(), parts.next()) {
        (Some(count), Some("month" | "months"), None) => Some(count),
        (Some(count), Some("year" | "years"), None) => count.checked_mul(12),
        _ => None,
    };
    if let Some(months) = months.filter(|m| (1..=240).contains(m)) {
        return match today().plus_months(months) {
            Some(day) => Ok(Typed::new(day, text)),
            None => Err(CliError::input(format!("{flag} does not take {text:?}"))),
        };
    }
    let day = parse_date(text).map_err(|error| CliError::quantity(flag, text, &error))?;
    if day.value <= today() {
        return Err(CliError::input(format!(
            "{flag} {text:?} is not in the future: write a rule as \"12 months\", or a day to come"
        )));
    }
    Ok(day)
}
