//! `job open`.

use super::super::clock::this_quarter;
use super::super::context::Settings;
use super::super::error::CliError;
use super::super::outcome::{Answer, Outcome};
use super::super::parts::threshold_in_range;
use super::super::seal::{oxygen, percent};
use super::super::stage_flags::gear;
use super::work::Bench;
use super::{add, hand};
use crate::app::job::{JobDesk, OpenQuestion, OpeningChange};
use crate::app::model::find::Found;
use crate::core::gas::OxygenThreshold;
use crate::core::quantity::parse_pressure;
use clap::Args;

#[derive(Debug, Args)]
pub(super) struct OpenArgs {
    /// The model; its maker may be left out, and all of it where one unit alone has the serial number
    #[arg(value_name = "MODEL")]
    model: String,
    /// Serial number of the unit
    #[arg(value_name = "UNIT")]
    serial: Option<String>,
    /// Take into the bag of the unit what the shelf has for it
    #[arg(long)]
    take: bool,
    /// What is entered at once, in the words of `job do`
    #[arg(long = "do", value_name = "LINE")]
    lines: Vec<String>,
    /// Who works on it
    #[arg(long, value_name = "NAME", env = "RINGWRIGHT_BY")]
    by: String,
    #[command(flatten)]
    used: UseFlags,
    /// Share above which gas counts as enriched; bodies differ, from 22 to 40 %
    #[arg(long, value_name = "PERCENT", default_value = "23.5 %")]
    threshold: String,
}

/// Holds what a unit is used with, as typed.
#[derive(Debug, Args)]
pub(super) struct UseFlags {
    /// What it is for; else from its note
    #[arg(long, value_name = "WORDS")]
    purpose: Option<String>,
    /// What kind of gear it is, as "breathing first stage", welding, pneumatic or other; else from its note
    #[arg(long, value_name = "KIND")]
    gear: Option<String>,
    /// The gas; else from its note
    #[arg(long, value_name = "WORDS")]
    gas: Option<String>,
    /// Share of oxygen, as "32 %"; else from its note
    #[arg(long, value_name = "PERCENT")]
    oxygen: Option<String>,
    /// Greatest supply that it is used with; else from its note
    #[arg(long, value_name = "PRESSURE")]
    supply: Option<String>,
}

impl UseFlags {
    /// Reads what was typed; `None` where nothing was.
    pub(super) fn change(&self) -> Result<Option<OpeningChange>, CliError> {
        let supply = self.supply.as_deref().map(|text| {
            parse_pressure(text).map_err(|error| CliError::input(format!("--supply: {error}")))
        });
        let change = OpeningChange {
            purpose: self.purpose.clone(),
            gear: self.gear.as_deref().map(gear).transpose()?,
            gas: self.gas.clone(),
            oxygen_pct: oxygen(self.oxygen.as_deref())?,
            supply: supply.transpose()?,
        };
        let said = change.purpose.is_some()
            || change.gear.is_some()
            || change.gas.is_some()
            || change.oxygen_pct.is_some()
            || change.supply.is_some();
        Ok(said.then_some(change))
    }
}

fn threshold(text: &str) -> Result<f64, CliError> {
    threshold_in_range(percent("--threshold", text)?)
        .map_err(|remedy| CliError::input(format!("--threshold does not take {text:?}: {remedy}")))
}

pub(super) fn run(
    args: &OpenArgs,
    desk: JobDesk<'_>,
    settings: &Settings,
) -> Result<Outcome, CliError> {
    let used = args.used.change()?.unwrap_or_default();
    let asked = OpenQuestion {
        model: args.serial.is_some().then(|| args.model.clone()),
        serial: args.serial.clone().unwrap_or_else(|| args.model.clone()),
        purpose: used.purpose,
        gear: used.gear,
        gas: used.gas,
        oxygen_pct: used.oxygen_pct,
        supply: used.supply,
        threshold: OxygenThreshold::of_share(threshold(&args.threshold)? / 100.0),
    };
    let hand = hand(&args.by)?;
    // A line that cannot be read opens no job.
    Bench::of(desk, 0, settings).check(&args.lines)?;
    let page = match desk.open(&asked, &hand)? {
        Found::Yes(page) => page,
        Found::No(missing) => return settings.answer(&missing, Answer::No),
    };
    let job = page.state.job;
    let lacks = if args.take {
        desk.pack(job, this_quarter(), &hand.at)?
    } else {
        Vec::new()
    };
    let outcome = if args.lines.is_empty() {
        settings.answer(&page, Answer::Yes)?
    } else {
        let new = Bench::of(desk, job, settings).entries(&args.lines)?;
        add(desk, Some(job), &args.by, &new, settings)?
    };
    let short = (!lacks.is_empty()).then(|| format!("the bag lacks {}", lacks.join("; ")));
    Ok(short.into_iter().fold(outcome, Outcome::warn))
}
