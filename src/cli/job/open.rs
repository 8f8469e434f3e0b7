//! `job open`.

use super::super::clock::this_quarter;
use super::super::noun::{Gas, Model, Serial};
use super::super::parts::threshold_in_range;
use super::super::read_by::{Refusal, read_by, reads};
use super::super::seal::percent;
use super::super::{Answer, CliError, Outcome, Result, Settings};
use super::work::Bench;
use super::{add, hand};
use crate::app::job::{Hand, JobDesk, OpenQuestion, OpeningChange};
use crate::core::gas::OxygenThreshold;
use crate::core::gear::GearKind;
use crate::core::quantity::{Pressure, Typed, parse_pressure};
use clap::Args;

#[derive(Debug, Args)]
pub(super) struct OpenArgs {
    /// The model; its maker may be left out, and all of it where one unit alone has the serial number
    #[arg(value_name = "MODEL")]
    model: Model,
    /// Serial number of the unit
    #[arg(value_name = "UNIT")]
    serial: Option<Serial>,
    /// Take into the bag of the unit what the shelf has for it
    #[arg(long)]
    take: bool,
    /// What is entered at once, in the words of `job do`
    #[arg(long = "do", value_name = "LINE")]
    lines: Vec<String>,
    /// Who works on it
    #[arg(long, value_name = "NAME", env = "RINGWRIGHT_BY", value_parser = read_by(hand))]
    by: Hand,
    #[command(flatten)]
    used: UseFlags,
    /// Share above which gas counts as enriched; bodies differ, from 22 to 40 %
    #[arg(long, value_name = "PERCENT", default_value = "23.5 %", value_parser = read_by(threshold))]
    threshold: OxygenThreshold,
}

// Holds what a unit is used with, as typed.
#[derive(Debug, Args)]
pub(super) struct UseFlags {
    /// What it is for; else from its note
    #[arg(long, value_name = "WORDS")]
    purpose: Option<String>,
    /// What kind of gear it is, as "breathing first stage", welding, pneumatic or other; else from its note
    #[arg(long, value_name = "KIND", value_parser = reads(GearKind::from_words))]
    gear: Option<GearKind>,
    /// The gas; else from its note
    #[arg(long, value_name = "WORDS")]
    gas: Option<Gas>,
    /// Share of oxygen, as "32 %"; else from its note
    #[arg(long, value_name = "PERCENT", value_parser = reads(percent))]
    oxygen: Option<f64>,
    /// Greatest supply that it is used with; else from its note
    #[arg(long, value_name = "PRESSURE", value_parser = read_by(supply))]
    supply: Option<Typed<Pressure>>,
}

impl UseFlags {
    /// Reads what was typed; `None` where nothing was.
    pub(super) fn change(&self) -> Option<OpeningChange> {
        let change = OpeningChange {
            purpose: self.purpose.clone(),
            gear: self.gear,
            gas: self.gas.clone().map(Into::into),
            oxygen_pct: self.oxygen,
            supply: self.supply.clone(),
        };
        (change != OpeningChange::default()).then_some(change)
    }
}

fn supply(flag: &str, text: &str) -> Result<Typed<Pressure>> {
    parse_pressure(text).map_err(|error| CliError::input(format!("{flag}: {error}")))
}

fn threshold(flag: &str, text: &str) -> Result<OxygenThreshold> {
    let share = percent(text).map_err(|remedy| remedy.of(flag, text))?;
    threshold_in_range(share).map_err(|remedy| remedy.of(flag, text))
}

pub(super) fn run(args: &OpenArgs, desk: JobDesk<'_>, settings: &Settings) -> Result<Outcome> {
    let asked = OpenQuestion {
        model: args.serial.is_some().then(|| args.model.clone().into()),
        serial: args
            .serial
            .clone()
            .map_or_else(|| args.model.clone().into(), Into::into),
        used: args.used.change().unwrap_or_default(),
        threshold: args.threshold.clone(),
    };
    // A line that cannot be read opens no job.
    Bench::of(desk, 0, settings).check(&args.lines)?;
    let page = desk.open(&asked, &args.by)?;
    let job = page.state.job;
    let lacks = if args.take {
        desk.pack(job, this_quarter(), &args.by.at)?
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
