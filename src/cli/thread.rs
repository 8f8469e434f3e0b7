//! `thread`: which listed thread is this.

use super::read_by::{InUnit, reads};
use super::{Answer, Outcome, Result, Settings};
use crate::app::thread_named::name_thread;
use crate::core::gear::GearKind;
use crate::core::quantity::{Angle, Dimension, LengthUnit, Typed, parse_angle};
use crate::core::thread::{ThreadPitch, ThreadReadings, ThreadSide};
use clap::Args;

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright thread --od \"9.43 mm\" --pitch \"24 tpi\" --gear \"first stage\"\n  \
    ringwright thread --od \"9.85 mm\" --crests \"10 over 10.0±0.1 mm\"\n  \
    ringwright thread --id \"11.6±0.05 mm\" --pitch \"19 tpi\" --angle \"55 deg\""
)]
pub(super) struct ThreadArgs {
    /// Outside diameter of a male thread, over the crests; a ± is its doubt
    #[arg(long, value_name = "LENGTH", conflicts_with = "id")]
    od: Option<InUnit>,
    /// Inside diameter of a female thread, between the crests; a ± is its doubt
    #[arg(long, value_name = "LENGTH")]
    id: Option<InUnit>,
    /// Pitch by gauge, as "1.5 mm" or "24 tpi"
    #[arg(long, value_name = "PITCH", conflicts_with = "crests", required_unless_present_any = ["crests", "od", "id"])]
    pitch: Option<InUnit>,
    /// Pitches counted over a length, from crest to crest, as "10 over 25.4 mm"
    #[arg(long, value_name = "N over LENGTH")]
    crests: Option<InUnit>,
    /// The diameter grows over the length
    #[arg(long, conflicts_with = "parallel")]
    taper: bool,
    /// The diameter is the same at both ends
    #[arg(long)]
    parallel: bool,
    /// Angle between the flanks by gauge, as "55 deg"
    #[arg(long, value_name = "ANGLE", value_parser = reads(parse_angle))]
    angle: Option<Typed<Angle>>,
    /// What the unit is: first stage, second stage, welding, pneumatic, other
    #[arg(long, value_name = "KIND", value_parser = reads(GearKind::from_words))]
    gear: Option<GearKind>,
}

pub(super) fn run(args: &ThreadArgs, settings: &Settings) -> Result<Outcome> {
    let readings = ThreadReadings {
        diameter: diameter(args, settings.unit())?,
        pitch: pitch(args, settings.unit())?,
        taper: (args.taper || args.parallel).then_some(args.taper),
        angle_deg: args.angle.as_ref().map(|typed| typed.value.degrees()),
        gear: args.gear,
    };
    let report = name_thread(&readings);
    settings.answer(&report, Answer::of(report.is_found()))
}

fn diameter(
    args: &ThreadArgs,
    unit: Option<LengthUnit>,
) -> Result<Option<(ThreadSide, Dimension)>> {
    let (typed, side) = match (&args.od, &args.id) {
        (Some(typed), _) => (typed, ThreadSide::Male),
        (None, Some(typed)) => (typed, ThreadSide::Female),
        (None, None) => return Ok(None),
    };
    let read = typed.dimension(unit)?.value;
    if read.least().mm() <= 0.0 {
        return Err(typed.wrong("no thread has such a diameter: measure over the crests"));
    }
    Ok(Some((side, read)))
}

fn pitch(args: &ThreadArgs, unit: Option<LengthUnit>) -> Result<Option<ThreadPitch>> {
    let read = match (&args.pitch, &args.crests) {
        (Some(pitch), _) => pitch.read(unit, ThreadPitch::read),
        (None, Some(crests)) => crests.read(unit, ThreadPitch::of_crests),
        (None, None) => return Ok(None),
    };
    read.map(Some)
}
