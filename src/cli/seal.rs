//! `material` and `care`: what to order a ring in, how it is stored and lubricated.

use super::clock::this_quarter;
use super::gas_flags::GasFlags;
use super::gland_flags;
use super::one_of::one_of;
use super::parts::enriched_above;
use super::read_by::{Refusal, read_by, reads};
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::gland::seal::{CareQuestion, MaterialQuestion, seal_care, seal_material};
use crate::core::elastomer::{Polymer, Quarter, SealDuty};
use crate::core::gas::OxygenThreshold;
use crate::core::gland::Duty;
use crate::core::quantity::{
    Pressure, TemperatureRange, Typed, parse_pressure, parse_temperature_range,
};
use clap::Args;

#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  ringwright material --gas \"nitrox 32\" --pressure \"200 bar\" --duty moving --temperature \"-2..40 C\""
)]
pub(super) struct MaterialArgs {
    #[command(flatten)]
    gas: GasFlags,
    /// Treat a gas with more oxygen than this as enriched, in per cent
    #[arg(long, value_name = "PERCENT", default_value = "23.5", value_parser = enriched_above)]
    enriched_above: OxygenThreshold,
    /// Greatest pressure on the ring, as "200 bar"
    #[arg(long, value_name = "PRESSURE", value_parser = reads(parse_pressure))]
    pressure: Option<Typed<Pressure>>,
    /// How the parts move
    #[arg(long, value_name = "DUTY", value_parser = one_of::<Duty>())]
    duty: Option<Duty>,
    /// Coldest and hottest temperature, as "-2..40 C"
    #[arg(long, value_name = "RANGE", allow_hyphen_values = true, value_parser = reads(parse_temperature_range))]
    temperature: Option<Typed<TemperatureRange>>,
}

pub(super) fn material(args: &MaterialArgs, settings: &Settings) -> Result<Outcome> {
    let gas = args.gas.statement().unwrap_or_default();
    let question = MaterialQuestion {
        duty: SealDuty {
            gas: gas.words,
            oxygen: gas.oxygen,
            pressure: args.pressure.as_ref().map(|typed| typed.value),
            supply: None,
            motion: args.duty,
        },
        temperature: args.temperature.as_ref().map(|typed| typed.value),
        threshold: args.enriched_above.clone(),
    };
    settings.answer(&seal_material(&question), Answer::Yes)
}

#[derive(Debug, Args)]
#[command(after_help = "Example:\n  ringwright care NBR --gas \"nitrox 32\" --cured 4Q20")]
pub(super) struct CareArgs {
    /// The polymer
    #[arg(value_parser = one_of::<Polymer>())]
    polymer: Polymer,
    #[command(flatten)]
    gas: GasFlags,
    /// Treat a gas with more oxygen than this as enriched, in per cent
    #[arg(long, value_name = "PERCENT", default_value = "23.5", value_parser = enriched_above)]
    enriched_above: OxygenThreshold,
    /// Date code of the cure: 2Q82, or 3/94 for the third quarter of 1994
    #[arg(long, value_name = "CODE", value_parser = read_by(cured))]
    cured: Option<Quarter>,
}

pub(super) fn care(args: &CareArgs, settings: &Settings) -> Result<Outcome> {
    let question = CareQuestion {
        polymer: args.polymer,
        gas: args.gas.statement(),
        threshold: args.enriched_above.clone(),
        cured: args.cured,
        now: this_quarter(),
    };
    settings.answer(&seal_care(&question), Answer::Yes)
}

/// Reads the date code of a cure.
pub(super) fn cured(flag: &str, code: &str) -> Result<Quarter> {
    let now = this_quarter();
    let quarter = Quarter::from_code(code, now.year).ok_or_else(|| {
        "write the quarter and the year, as 2Q82 or 3/94 (third quarter, not March)".of(flag, code)
    })?;
    if quarter > now {
        return Err(CliError::input(format!(
            "{flag} {code:?} is {quarter}, which lies ahead of {now}: read the code again"
        )));
    }
    Ok(quarter)
}

/// Reads a share in per cent, with its sign.
pub(super) fn percent(text: &str) -> Result<f64, &'static str> {
    const REMEDY: &str = "write per cent between 0 % and 100 %, as \"32 %\"";
    gland_flags::percent(text, 0.0..=100.0).ok_or(REMEDY)
}
