//! `material` and `care`: what to order a ring in, how it is stored and lubricated.

use super::clock::this_quarter;
use super::context::Settings;
use super::error::CliError;
use super::gas_flags::GasFlags;
use super::one_of::one_of;
use super::outcome::{Answer, Outcome};
use super::parts::enriched_above;
use super::read_by::quantity;
use crate::app::gland::seal::{CareQuestion, MaterialQuestion, seal_care, seal_material};
use crate::core::elastomer::{Polymer, Quarter, SealDuty};
use crate::core::gas::OxygenThreshold;
use crate::core::gland::Duty;
use crate::core::quantity::{
    Pressure, TemperatureRange, Typed, parse_pressure, parse_temperature_range,
};
use clap::Args;

/// Choose the material of a ring from gas, pressure, motion and temperature: what to order, what not, and why
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  ringwright material --gas \"nitrox 32\" --pressure \"200 bar\" --duty moving --temperature \"-2..40 C\""
)]
pub(super) struct MaterialArgs {
    #[command(flatten)]
    gas: GasFlags,
    /// Treat a gas with more oxygen than this as enriched, in per cent
    #[arg(long, value_name = "PERCENT", default_value = "23.5", value_parser = enriched_above)]
    enriched_above: f64,
    /// Greatest pressure on the ring, as "200 bar"
    #[arg(long, value_name = "PRESSURE", value_parser = quantity(parse_pressure))]
    pressure: Option<Typed<Pressure>>,
    /// How the parts move
    #[arg(long, value_name = "DUTY", value_parser = one_of::<Duty>())]
    duty: Option<Duty>,
    /// Coldest and hottest temperature, as "-2..40 C"
    #[arg(long, value_name = "RANGE", allow_hyphen_values = true, value_parser = quantity(parse_temperature_range))]
    temperature: Option<Typed<TemperatureRange>>,
}

pub(super) fn material(args: &MaterialArgs, settings: &Settings) -> Result<Outcome, CliError> {
    const PERCENT: f64 = 100.0;
    let gas = args.gas.statement()?.unwrap_or_default();
    let question = MaterialQuestion {
        duty: SealDuty {
            gas: gas.words,
            oxygen: gas.oxygen,
            pressure: args.pressure.as_ref().map(|typed| typed.value),
            supply: None,
            motion: args.duty,
        },
        temperature: args.temperature.as_ref().map(|typed| typed.value),
        threshold: OxygenThreshold::of_share(args.enriched_above / PERCENT),
    };
    settings.answer(&seal_material(&question), Answer::Yes)
}

/// Show how rings of a polymer are lubricated, and how long they keep in store
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  ringwright care NBR --gas \"nitrox 32\" --cured 4Q20")]
pub(super) struct CareArgs {
    /// The polymer
    #[arg(value_parser = super::one_of::polymer())]
    polymer: Polymer,
    #[command(flatten)]
    gas: GasFlags,
    /// Treat a gas with more oxygen than this as enriched, in per cent
    #[arg(long, value_name = "PERCENT", default_value = "23.5", value_parser = enriched_above)]
    enriched_above: f64,
    /// Date code of the cure: 2Q82, or 3/94 for the third quarter of 1994
    #[arg(long, value_name = "CODE")]
    cured: Option<String>,
}

pub(super) fn care(args: &CareArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let now = this_quarter();
    let cured = args
        .cured
        .as_deref()
        .map(|code| quarter_of_cure(code, now))
        .transpose()?;
    let question = CareQuestion {
        polymer: args.polymer,
        gas: args.gas.statement()?,
        threshold: OxygenThreshold::of_share(args.enriched_above / 100.0),
        cured,
        now,
    };
    settings.answer(&seal_care(&question), Answer::Yes)
}

/// Reads the date code of a cure.
pub(super) fn quarter_of_cure(code: &str, now: Quarter) -> Result<Quarter, CliError> {
    let quarter = Quarter::from_code(code, now.year).ok_or_else(|| {
        CliError::input(format!(
            "--cured does not take {code:?}: write the quarter and the year, as 2Q82 or 3/94 (third quarter, not March)"
        ))
    })?;
    if quarter > now {
        return Err(CliError::input(format!(
            "--cured {code:?} is {quarter}, which lies ahead of {now}: read the code again"
        )));
    }
    Ok(quarter)
}

/// Reads the share of oxygen in per cent, where it was given.
pub(super) fn oxygen(text: Option<&str>) -> Result<Option<f64>, CliError> {
    text.map(|text| percent("--oxygen", text)).transpose()
}

/// Reads a share in per cent, with its sign.
pub(super) fn percent(flag: &str, text: &str) -> Result<f64, CliError> {
    let number = text
        .trim()
        .strip_suffix('%')
        .map(|n| n.trim().replace(',', "."));
    number
        .and_then(|n| n.parse().ok())
        .filter(|share| (0.0..=100.0).contains(share))
        .ok_or_else(|| {
            CliError::input(format!(
                "{flag} does not take {text:?}: write per cent between 0 % and 100 %, as \"32 %\""
            ))
        })
}
