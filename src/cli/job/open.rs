//! `job open`.

use super::super::context::Settings;
use super::super::error::CliError;
use super::super::outcome::{Answer, Outcome};
use super::super::parts::threshold_in_range;
use super::super::seal::{oxygen, percent};
use super::super::stage_flags::gear;
use super::hand;
use crate::app::find_model::Found;
use crate::app::job::{JobDesk, OpenQuestion, OpeningChange};
use crate::core::gas::OxygenThreshold;
use crate::core::quantity::parse_pressure;
use clap::Args;

#[derive(Debug, Args)]
pub(super) struct OpenArgs {
    /// The model; its maker may be left out
    model: String,
    /// Serial number of the unit
    #[arg(value_name = "UNIT")]
    serial: String,
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
        model: args.model.clone(),
        serial: args.serial.clone(),
        purpose: used.purpose,
        gear: used.gear,
        gas: used.gas,
        oxygen_pct: used.oxygen_pct,
        supply: used.supply,
        threshold: OxygenThreshold::of_share(threshold(&args.threshold)? / 100.0),
    };
    match desk.open(&asked, &hand(&args.by)?)? {
        Found::Yes(page) => settings.answer(&page, Answer::Yes),
        Found::No(missing) => settings.answer(&missing, Answer::No),
    }
}
