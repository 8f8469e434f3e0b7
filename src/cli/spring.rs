//! `spring`: rate, coil bind and preload of a spring.

use super::one_of::one_of;
use super::read_by::{InUnit, read_by, reads};
use super::stage_flags::{StageFlags, pressure_difference};
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::stage::spring::{RateBy, SpringQuestion, spring};
use crate::core::quantity::{Force, LengthUnit, Pressure, Typed, parse_force, parse_pressure};
use crate::core::stage::{CoilEnds, ForcePoint, Magnet, PreloadVerdict, SpringShape};
use clap::Args;

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright spring --point \"100 N at 32.0 mm\" --point \"300 N at 22.0 mm\"\n  \
    ringwright spring --wire \"3.4 mm\" --od \"25.6 mm\" --coils 4.5 --magnet strong --free \"37.2 mm\" \\\n    \
    --holds \"142 psi\" --supply \"195 bar\" --design unbalanced-piston --head \"28.58 mm\" --stem \"7.94 mm\" --seat \"5.8 mm\"\n  \
    ringwright spring --shim \"0.25 mm\" --rise \"4.4 psi\" --design unbalanced-piston --head \"28.58 mm\" --stem \"7.94 mm\" --seat \"2.6 mm\""
)]
pub(super) struct SpringArgs {
    /// A force at a length, as "100 N at 32.0 mm"; give two, between 20 and 80 % of the travel
    #[arg(long = "point", value_name = "FORCE at LENGTH")]
    points: Vec<InUnit>,
    /// Uncertainty of a force
    #[arg(long, value_name = "FORCE", default_value = "1 N", value_parser = reads(parse_force))]
    force_error: Typed<Force>,
    /// Uncertainty of a length
    #[arg(long, value_name = "LENGTH", default_value = "0.05 mm")]
    length_error: InUnit,
    /// Wire, by micrometer
    #[arg(long, value_name = "LENGTH")]
    wire: Option<InUnit>,
    /// Uncertainty of the wire
    #[arg(long, value_name = "LENGTH", default_value = "0.005 mm")]
    wire_error: InUnit,
    /// Outside diameter of the coil
    #[arg(long, value_name = "LENGTH")]
    od: Option<InUnit>,
    /// Coils in all, as 6.5
    #[arg(long, value_name = "NUMBER")]
    coils: Option<f64>,
    /// How the ends are made
    #[arg(long, default_value = "closed-ground", value_name = "ENDS", value_parser = one_of::<CoilEnds>())]
    ends: CoilEnds,
    /// The material; without it every one that fits is worked out
    #[arg(long, value_name = "MATERIAL")]
    material: Option<String>,
    /// How it takes a magnet
    #[arg(long, value_name = "PULL", value_parser = one_of::<Magnet>())]
    magnet: Option<Magnet>,
    /// A shim that was added to this unit
    #[arg(long, value_name = "LENGTH", requires = "rise")]
    shim: Option<InUnit>,
    /// What it raised the pressure by
    #[arg(long, value_name = "PRESSURE", requires = "shim", value_parser = read_by(pressure_difference))]
    rise: Option<f64>,
    /// Free length
    #[arg(long, value_name = "LENGTH")]
    free: Option<InUnit>,
    /// Pressure that it holds in the stage
    #[arg(long, value_name = "PRESSURE", value_parser = reads(parse_pressure))]
    holds: Option<Typed<Pressure>>,
    /// Supply at which it holds it
    #[arg(long, value_name = "PRESSURE", default_value = "0 bar", value_parser = reads(parse_pressure))]
    supply: Typed<Pressure>,
    #[command(flatten)]
    stage: StageFlags,
}

pub(super) fn run(args: &SpringArgs, settings: &Settings) -> Result<Outcome> {
    let unit = settings.unit();
    let free = args.free.as_ref().map(|length| length.length(unit));
    let balance = args
        .stage
        .stage(settings)?
        .map(|stage| stage.balance())
        .transpose()
        .map_err(CliError::input)?;
    let question = SpringQuestion {
        by: rate_by(args, unit)?,
        free: free.transpose()?,
        holds: args
            .holds
            .as_ref()
            .map(|held| (held.value, args.supply.value)),
        balance,
    };
    let report = spring(&question).map_err(CliError::input)?;
    let impossible = |line: &crate::app::stage::spring::RateLine| {
        line.preload
            .is_some_and(|p| p.verdict == PreloadVerdict::Impossible)
    };
    settings.answer(&report, Answer::of(!report.rates.iter().all(impossible)))
}

fn rate_by(args: &SpringArgs, unit: Option<LengthUnit>) -> Result<RateBy> {
    if let [first, second] = args.points.as_slice() {
        return Ok(RateBy::Points(
            [point(first, unit)?, point(second, unit)?],
            args.force_error.value,
            args.length_error.length(unit)?,
        ));
    }
    if !args.points.is_empty() {
        return Err(CliError::input(format!(
            "two --point are needed, {} given: read a second one with the spring pressed further",
            args.points.len()
        )));
    }
    if let (Some(shim), Some(rise)) = (&args.shim, args.rise) {
        return Ok(RateBy::Unit(
            shim.length(unit)?,
            (rise, READING_PAIR_SD_BAR),
        ));
    }
    let (Some(wire), Some(od), Some(coils)) = (&args.wire, &args.od, args.coils) else {
        return Err(CliError::input(
            "nothing gives the rate: give two --point, or --wire, --od and --coils, or --shim and --rise",
        ));
    };
    if !(0.0..=MOST_COILS).contains(&coils) {
        return Err(CliError::input(format!(
            "--coils does not take {coils}: count them, from 2 to {MOST_COILS}"
        )));
    }
    Ok(RateBy::Shape {
        shape: SpringShape {
            wire: wire.length(unit)?,
            wire_sd: args.wire_error.length(unit)?,
            od: od.length(unit)?,
            total_coils: coils,
            ends: args.ends,
        },
        material: args.material.clone(),
        magnet: args.magnet,
    })
}

const MOST_COILS: f64 = 200.0;
/// Two readings, each of the doubt of a single one.
const READING_PAIR_SD_BAR: f64 = crate::core::stage::READING_SD_BAR * std::f64::consts::SQRT_2;

fn point(typed: &InUnit, unit: Option<LengthUnit>) -> Result<ForcePoint> {
    let (pushed, long) = typed
        .text
        .split_once(" at ")
        .ok_or_else(|| typed.refused("write a force at a length, as \"100 N at 32.0 mm\""))?;
    Ok(ForcePoint {
        force: typed
            .piece(pushed)
            .read(unit, |text, _| parse_force(text))?
            .value,
        length: typed.piece(long).length(unit)?,
    })
}
