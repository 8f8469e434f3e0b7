//! `thread`: which listed thread is this.

use super::context::Settings;
use super::error::CliError;
use super::outcome::{Answer, Outcome};
use super::stage_flags::gear;
use crate::app::thread_named::name_thread;
use crate::core::gear::GearKind;
use crate::core::quantity::{Angle, Dimension, Typed, parse_angle, parse_dimension};
use crate::core::thread::{PitchFault, ThreadPitch, ThreadReadings, ThreadSide};
use clap::Args;

/// Name a thread from its pitch and a diameter: odds, threads easily mistaken for it, and its port
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright thread --od \"9.43 mm\" --pitch \"24 tpi\" --gear \"first stage\"\n  \
    ringwright thread --od \"9.85 mm\" --crests \"10 over 10.0±0.1 mm\"\n  \
    ringwright thread --id \"11.6±0.05 mm\" --pitch \"19 tpi\" --angle \"55 deg\""
)]
pub(super) struct ThreadArgs {
    /// Outside diameter of a male thread, over the crests; a ± is its doubt
    #[arg(long, value_name = "LENGTH", conflicts_with = "id")]
    od: Option<String>,
    /// Inside diameter of a female thread, between the crests; a ± is its doubt
    #[arg(long, value_name = "LENGTH")]
    id: Option<String>,
    /// Pitch by gauge, as "1.5 mm" or "24 tpi"
    #[arg(long, value_name = "PITCH", conflicts_with = "crests", required_unless_present_any = ["crests", "od", "id"])]
    pitch: Option<String>,
    /// Pitches counted over a length, from crest to crest, as "10 over 25.4 mm"
    #[arg(long, value_name = "N over LENGTH")]
    crests: Option<String>,
    /// The diameter grows over the length
    #[arg(long, conflicts_with = "parallel")]
    taper: bool,
    /// The diameter is the same at both ends
    #[arg(long)]
    parallel: bool,
    /// Angle between the flanks by gauge, as "55 deg"
    #[arg(long, value_name = "ANGLE", value_parser = super::read_by::quantity(parse_angle))]
    angle: Option<Typed<Angle>>,
    /// What the unit is: first stage, second stage, welding, pneumatic, other
    #[arg(long, value_name = "KIND", value_parser = super::read_by::read_by(|_, text| gear(text)))]
    gear: Option<GearKind>,
}

pub(super) fn run(args: &ThreadArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let readings = ThreadReadings {
        diameter: diameter(args, settings)?,
        pitch: pitch(args, settings)?,
        taper: (args.taper || args.parallel).then_some(args.taper),
        angle_deg: args.angle.as_ref().map(|typed| typed.value.degrees()),
        gear: args.gear,
    };
    let report = name_thread(&readings);
    let answer = if report.is_found() {
        Answer::Yes
    } else {
        Answer::No
    };
    settings.answer(&report, answer)
}

fn diameter(
    args: &ThreadArgs,
    settings: &Settings,
) -> Result<Option<(ThreadSide, Dimension)>, CliError> {
    let (flag, text, side) = match (&args.od, &args.id) {
        (Some(text), _) => ("--od", text, ThreadSide::Male),
        (None, Some(text)) => ("--id", text, ThreadSide::Female),
        (None, None) => return Ok(None),
    };
    let read = parse_dimension(text, settings.unit())
        .map_err(|error| CliError::quantity(flag, text, &error))?
        .value;
    if read.least().mm() <= 0.0 {
        return Err(CliError::input(format!(
            "{flag} {text:?}: no thread has such a diameter: measure over the crests"
        )));
    }
    Ok(Some((side, read)))
}

fn pitch(args: &ThreadArgs, settings: &Settings) -> Result<Option<ThreadPitch>, CliError> {
    let unit = settings.unit();
    let (flag, text, read) = match (&args.pitch, &args.crests) {
        (Some(text), _) => ("--pitch", text, ThreadPitch::read(text, unit)),
        (None, Some(text)) => ("--crests", text, ThreadPitch::of_crests(text, unit)),
        (None, None) => return Ok(None),
    };
    read.map(Some).map_err(|fault| match fault {
        PitchFault::Length(error) => CliError::quantity(flag, text, &error),
        fault => CliError::input(format!("{flag}: {fault}")),
    })
}
