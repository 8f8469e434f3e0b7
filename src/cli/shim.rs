//! `shim`: the next shim or turn of the screw.

use super::read_by::{InUnit, read_by, reads};
use super::setting::limits_of;
use super::stage_flags::{StageFlags, pressure_difference};
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::job::settings::settings_of_job;
use crate::app::stage::next_shim::{ShimBounds, next_shim};
use crate::core::gear::GearKind;
use crate::core::job::OwnSettings;
use crate::core::quantity::Spoken;
use crate::core::quantity::{Pressure, Typed, parse_pressure};
use crate::core::stage::{
    Adjuster, AdjusterSetting, READING_SD_BAR, ShimQuestion, ShimStock, SupplyRating, parse_rating,
    parse_shims,
};
use clap::Args;
use std::path::PathBuf;

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright shim --setting \"0.50 mm: 138 psi\" --target \"145 psi\" --fitted \"0.25x2 mm\" --stock \"0.10x4 0.25x2 mm\"\n  \
    ringwright shim --setting \"0.50 mm: 138 psi\" --setting \"0.75 mm: 142.5 psi\" --target \"145 psi\" --stock \"0.10x4 0.25x2 0.50 mm\"\n  \
    ringwright shim --job 1 --target \"147 psi\" --stock \"0.10x4 0.25x2 mm\"\n  \
    ringwright shim --screw \"1.0 mm\" --setting \"0 turns: 128 psi\" --setting \"0.5 turns: 134 psi\" --target \"138 psi\"\n\n\
    All settings at one supply and on one gauge, oldest first; the last is how the unit stands."
)]
pub(super) struct ShimArgs {
    /// A setting of this unit: thickness in all (or turns in) and the pressure read, as "0.50 mm: 138 psi"
    #[arg(
        long = "setting",
        value_name = "PLACE: PRESSURE",
        required_unless_present = "job"
    )]
    settings: Vec<InUnit>,
    /// Take this unit's settings, the shims that are fitted and the ratings from a job's record; --setting adds newer ones
    #[arg(long, value_name = "JOB", conflicts_with = "screw")]
    job: Option<i64>,
    /// The supply at which the settings of the record are compared (default: the highest of its last reading)
    #[arg(long, value_name = "PRESSURE", requires = "job", value_parser = reads(parse_pressure))]
    supply: Option<Typed<Pressure>>,
    /// The pressure to reach, at the same supply
    #[arg(long, value_name = "PRESSURE", value_parser = reads(parse_pressure))]
    target: Typed<Pressure>,
    /// Shims fitted now, which may be used again
    #[arg(long, value_name = "SHIMS")]
    fitted: Option<InUnit>,
    /// Shims in stock, as "0.10x4 0.25x2 0.50 mm"
    #[arg(long, value_name = "SHIMS")]
    stock: Option<InUnit>,
    /// A screw sets the preload: its travel in one turn
    #[arg(long, value_name = "PITCH", conflicts_with_all = ["stock", "fitted"])]
    screw: Option<InUnit>,
    /// Rate of the spring in N/mm, for the first guess (with the stage)
    #[arg(long, value_name = "N/mm", requires = "design")]
    rate: Option<f64>,
    /// Uncertainty of one reading: gauge scatter and friction
    #[arg(long, value_name = "PRESSURE", value_parser = read_by(pressure_difference))]
    reading_error: Option<f64>,
    /// What kind of gear it is, as "breathing first stage", welding, pneumatic or other
    #[arg(long, value_name = "KIND", value_parser = reads(GearKind::from_words))]
    gear: Option<GearKind>,
    /// Recorded rating of a part behind the seat, as "hose 250 psi"
    #[arg(long = "rated", value_name = "PART PRESSURE", value_parser = reads(parse_rating))]
    rated: Vec<SupplyRating>,
    /// Your own limits (else setting_limits.csv in the data folder)
    #[arg(long, value_name = "FILE")]
    limits: Option<PathBuf>,
    #[command(flatten)]
    stage: StageFlags,
}

/// Theory is rarely better: wire, coils and modulus each carry a few per cent.
const THEORY_SHARE: f64 = 0.10;

pub(super) fn run(args: &ShimArgs, settings: &Settings) -> Result<Outcome> {
    let recorded = recorded(args, settings)?;
    let adjuster = adjuster(args, recorded.as_ref(), settings)?;
    let reading_sd_bar = args.reading_error.unwrap_or(READING_SD_BAR);
    if reading_sd_bar <= 0.0 {
        return Err(CliError::input("--reading-error must be above zero"));
    }
    let question = ShimQuestion {
        settings: all_settings(args, recorded.as_ref(), &adjuster, settings)?,
        target_bar: args.target.value.bar(),
        spoken: Spoken::of([args.target.text.as_str()]),
        reading_sd_bar,
        theory: theory(args, settings)?,
        adjuster,
    };
    let bounds = ShimBounds {
        gear: args
            .gear
            .or_else(|| recorded.as_ref().and_then(|job| job.gear)),
        limits: limits_of(args.limits.as_ref())?,
        ratings: args.rated.clone(),
    };
    let report = next_shim(question, bounds, recorded);
    settings.answer(&report, Answer::of(report.next.is_some()))
}

fn recorded(args: &ShimArgs, settings: &Settings) -> Result<Option<OwnSettings>> {
    let Some(job) = args.job else {
        return Ok(None);
    };
    let supply = args.supply.as_ref();
    let supply = supply.map(|typed| typed.value.bar());
    Ok(Some(settings_of_job(&settings.book()?, job, supply)?))
}

/// The settings of the record, and those typed, which are newer.
fn all_settings(
    args: &ShimArgs,
    recorded: Option<&OwnSettings>,
    adjuster: &Adjuster,
    settings: &Settings,
) -> Result<Vec<AdjusterSetting>> {
    let of_record = recorded.iter().flat_map(|job| &job.used);
    let mut all: Vec<AdjusterSetting> = of_record
        .map(|known| AdjusterSetting {
            place_mm: known.place_mm,
            pressure_bar: known.pressure_bar,
        })
        .collect();
    for text in &args.settings {
        all.push(setting(text, adjuster, settings)?);
    }
    if all.is_empty() {
        let why = recorded.map_or_else(String::new, |job| job.left_out.join("; "));
        return Err(CliError::input(format!(
            "the record of job {} tells no setting of this unit (shims, and a pressure at a supply after them): add them to it, or give --setting. {why}",
            args.job.unwrap_or_default()
        )));
    }
    Ok(all)
}

fn adjuster(
    args: &ShimArgs,
    recorded: Option<&OwnSettings>,
    settings: &Settings,
) -> Result<Adjuster> {
    if let Some(text) = &args.screw {
        let pitch = text.length(settings.unit())?;
        if pitch.nm() <= 0 {
            return Err(CliError::input(
                "--screw: the travel of one turn must be above zero",
            ));
        }
        return Ok(Adjuster::Screw { pitch });
    }
    let mut at_hand: Vec<ShimStock> = Vec::new();
    let of_record = recorded.and_then(|job| job.fitted.as_deref());
    let fitted = args.fitted.clone();
    let fitted = fitted.or_else(|| of_record.map(|text| InUnit::behind("--fitted", text)));
    for typed in fitted.iter().chain(&args.stock) {
        for shim in typed.read(settings.unit(), parse_shims)? {
            match at_hand.iter_mut().find(|s| s.thickness == shim.thickness) {
                Some(known) => known.count += shim.count,
                None => at_hand.push(shim),
            }
        }
    }
    if at_hand.is_empty() {
        return Err(CliError::input(
            "no shims are at hand: give --stock (and --fitted), or --screw PITCH where a screw sets the preload",
        ));
    }
    at_hand.sort_by_key(|shim| std::cmp::Reverse(shim.thickness));
    Ok(Adjuster::Shims { at_hand })
}

fn setting(typed: &InUnit, adjuster: &Adjuster, settings: &Settings) -> Result<AdjusterSetting> {
    let (place, read) = typed.text.split_once(':').ok_or_else(|| {
        typed.refused(
            "write the place and the pressure, as \"0.50 mm: 138 psi\" or \"0.5 turns: 134 psi\"",
        )
    })?;
    let place_mm = match (adjuster, turns(place)) {
        (Adjuster::Screw { pitch }, Some(turns)) => turns * pitch.mm(),
        (Adjuster::Shims { .. }, Some(_)) => {
            return Err(CliError::input(format!(
                "--setting {:?} counts turns: give --screw PITCH for a screw, or the thickness of the shims",
                typed.text
            )));
        }
        (_, None) => typed.piece(place).length(settings.unit())?.mm(),
    };
    if matches!(adjuster, Adjuster::Shims { .. }) && !(0.0..=MOST_PACK_MM).contains(&place_mm) {
        return Err(typed.wrong(format_args!(
            "no pack of shims is {place_mm} mm thick (at most {MOST_PACK_MM} mm): look at the unit"
        )));
    }
    let read = typed
        .piece(read)
        .read(None, |text, _| parse_pressure(text))?;
    Ok(AdjusterSetting {
        place_mm,
        pressure_bar: read.value.bar(),
    })
}

fn turns(place: &str) -> Option<f64> {
    let number = place
        .trim()
        .strip_suffix("turns")
        .or_else(|| place.trim().strip_suffix("turn"))?;
    number
        .trim()
        .replace(',', ".")
        .parse()
        .ok()
        .filter(|n: &f64| n.abs() <= MOST_TURNS)
}

/// The thickest pack of shims that is believed.
const MOST_PACK_MM: f64 = 50.0;
const MOST_TURNS: f64 = 100.0;

fn theory(args: &ShimArgs, settings: &Settings) -> Result<Option<(f64, f64)>> {
    let Some(rate) = args.rate else {
        return Ok(None);
    };
    if !(0.01..=10_000.0).contains(&rate) {
        return Err(CliError::input(format!(
            "--rate does not take {rate}: write newtons a millimetre, between 0.01 and 10000"
        )));
    }
    let Some(stage) = args.stage.stage(settings)? else {
        return Err(CliError::input(
            "--rate needs the stage: --design with --head, --stem and --seat (or those of its design)",
        ));
    };
    let balance = stage.balance().map_err(CliError::input)?;
    let one = crate::core::quantity::Length::from_mm(1.0);
    Ok(one.map(|one| {
        let rise = balance.bar_of_travel(rate, one);
        (rise, rise * THEORY_SHARE)
    }))
}
