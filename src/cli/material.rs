//! `material`: what to order a ring in, from its duty.

use super::context::Settings;
use super::error::CliError;
use super::gas_flags::GasFlags;
use super::gland_flags::read;
use super::one_of::one_of;
use super::outcome::{Answer, Outcome};
use super::parts::enriched_above;
use crate::app::seal_material::{MaterialQuestion, seal_material};
use crate::core::elastomer::SealDuty;
use crate::core::gas::OxygenThreshold;
use crate::core::gland::Duty;
use crate::core::quantity::{parse_pressure, parse_temperature_range};
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
    #[arg(long, value_name = "PRESSURE")]
    pressure: Option<String>,
    /// How the parts move
    #[arg(long, value_name = "DUTY", value_parser = one_of::<Duty>())]
    duty: Option<Duty>,
    /// Coldest and hottest temperature, as "-2..40 C"
    #[arg(long, value_name = "RANGE", allow_hyphen_values = true)]
    temperature: Option<String>,
}

pub(super) fn run(args: &MaterialArgs, settings: &Settings) -> Result<Outcome, CliError> {
    const PERCENT: f64 = 100.0;
    let gas = args.gas.statement()?.unwrap_or_default();
    let pressure = read("--pressure", args.pressure.as_deref(), parse_pressure)?;
    let range = read(
        "--temperature",
        args.temperature.as_deref(),
        parse_temperature_range,
    )?;
    let question = MaterialQuestion {
        duty: SealDuty {
            gas: gas.words,
            oxygen: gas.oxygen,
            pressure: pressure.map(|p| p.value),
            supply: None,
            motion: args.duty,
        },
        temperature: range.map(|t| t.value),
        threshold: OxygenThreshold::of_share(args.enriched_above / PERCENT),
    };
    settings.answer(&seal_material(&question), Answer::Yes)
}
