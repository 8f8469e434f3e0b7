//! `spring`: rate, coil bind and preload of a spring.

use super::context::Settings;
use super::error::CliError;
use super::outcome::{Answer, Outcome};
use super::read_by::{quantity, read_by};
use super::stage_flags::{StageFlags, force, length, pressure_difference};
use crate::app::stage::spring::{RateBy, SpringQuestion, spring};
use crate::core::quantity::{Force, Length, Pressure, Typed, parse_force, parse_pressure};
use crate::core::stage::{CoilEnds, ForcePoint, Magnet, PreloadVerdict, SpringShape};
use clap::{Args, ValueEnum};

/// Work out a spring: rate from two points, from wire and coils, or from the unit itself; coil bind; preload
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
    points: Vec<String>,
    /// Uncertainty of a force
    #[arg(long, value_name = "FORCE", default_value = "1 N", value_parser = quantity(parse_force))]
    force_error: Typed<Force>,
    /// Uncertainty of a length
    #[arg(long, value_name = "LENGTH", default_value = "0.05 mm")]
    length_error: String,
    /// Wire, by micrometer
    #[arg(long, value_name = "LENGTH")]
    wire: Option<String>,
    /// Uncertainty of the wire
    #[arg(long, value_name = "LENGTH", default_value = "0.005 mm")]
    wire_error: String,
    /// Outside diameter of the coil
    #[arg(long, value_name = "LENGTH")]
    od: Option<String>,
    /// Coils in all, as 6.5
    #[arg(long, value_name = "NUMBER")]
    coils: Option<f64>,
    /// How the ends are made
    #[arg(long, value_enum, default_value_t = EndsWord::ClosedGround, value_name = "ENDS")]
    ends: EndsWord,
    /// The material; without it every one that fits is worked out
    #[arg(long, value_name = "MATERIAL")]
    material: Option<String>,
    /// How it takes a magnet
    #[arg(long, value_enum, value_name = "PULL")]
    magnet: Option<MagnetWord>,
    /// A shim that was added to this unit
    #[arg(long, value_name = "LENGTH", requires = "rise")]
    shim: Option<String>,
    /// What it raised the pressure by
    #[arg(long, value_name = "PRESSURE", requires = "shim", value_parser = read_by(pressure_difference))]
    rise: Option<f64>,
    /// Free length
    #[arg(long, value_name = "LENGTH")]
    free: Option<String>,
    /// Pressure that it holds in the stage
    #[arg(long, value_name = "PRESSURE", value_parser = quantity(parse_pressure))]
    holds: Option<Typed<Pressure>>,
    /// Supply at which it holds it
    #[arg(long, value_name = "PRESSURE", default_value = "0 bar", value_parser = quantity(parse_pressure))]
    supply: Typed<Pressure>,
    #[command(flatten)]
    stage: StageFlags,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum EndsWord {
    ClosedGround,
    Closed,
    Plain,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum MagnetWord {
    Strong,
    Weak,
    None,
}

pub(super) fn run(args: &SpringArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let unit = settings.unit();
    let optional =
        |flag: &'static str, text: &Option<String>| -> Result<Option<Length>, CliError> {
            text.as_deref().map(|t| length(flag, t, unit)).transpose()
        };
    let balance = args
        .stage
        .stage(settings)?
        .map(|stage| stage.balance())
        .transpose()
        .map_err(|fault| CliError::input(fault.to_string()))?;
    let question = SpringQuestion {
        by: rate_by(args, settings)?,
        free: optional("--free", &args.free)?,
        holds: args
            .holds
            .as_ref()
            .map(|held| (held.value, args.supply.value)),
        balance,
    };
    let report = spring(&question).map_err(|error| CliError::input(error.to_string()))?;
    let impossible = |line: &crate::app::stage::spring::RateLine| {
        line.preload
            .is_some_and(|p| p.verdict == PreloadVerdict::Impossible)
    };
    let answer = if report.rates.iter().all(impossible) {
        Answer::No
    } else {
        Answer::Yes
    };
    settings.answer(&report, answer)
}

fn rate_by(args: &SpringArgs, settings: &Settings) -> Result<RateBy, CliError> {
    let unit = settings.unit();
    if let [first, second] = args.points.as_slice() {
        return Ok(RateBy::Points(
            [point(first, settings)?, point(second, settings)?],
            args.force_error.value,
            length("--length-error", &args.length_error, unit)?,
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
            length("--shim", shim, unit)?,
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
            wire: length("--wire", wire, unit)?,
            wire_sd: length("--wire-error", &args.wire_error, unit)?,
            od: length("--od", od, unit)?,
            total_coils: coils,
            ends: match args.ends {
                EndsWord::ClosedGround => CoilEnds::ClosedGround,
                EndsWord::Closed => CoilEnds::Closed,
                EndsWord::Plain => CoilEnds::Plain,
            },
        },
        material: args.material.clone(),
        magnet: args.magnet.map(|word| match word {
            MagnetWord::Strong => Magnet::Strong,
            MagnetWord::Weak => Magnet::Weak,
            MagnetWord::None => Magnet::None,
        }),
    })
}

const MOST_COILS: f64 = 200.0;
/// Two readings, each of the doubt of a single one.
const READING_PAIR_SD_BAR: f64 = crate::core::stage::READING_SD_BAR * std::f64::consts::SQRT_2;

fn point(text: &str, settings: &Settings) -> Result<ForcePoint, CliError> {
    let Some((pushed, long)) = text.split_once(" at ") else {
        return Err(CliError::input(format!(
            "--point does not take {text:?}: write a force at a length, as \"100 N at 32.0 mm\""
        )));
    };
    let force: Force = force("--point", pushed)?;
    Ok(ForcePoint {
        force,
        length: length("--point", long, settings.unit())?,
    })
}
