//! `setting`: pressure readings judged, the gauges they were read on, the limits, and what a stage should do.

use super::clock::today;
use super::noun::GaugeName;
use super::read_by::{InUnit, Refusal, read_by, reads};
use super::stage_flags::{StageFlags, pressure_difference};
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::job::settings::complete_from_job;
use crate::app::stage::expected::{ExpectedQuestion, stage_expected};
use crate::app::stage::setting::judged;
use crate::app::stage::setting::{add_gauge, gauge_standing, list_gauges};
use crate::app::stage::setting::{own_limits, show_limits};
use crate::core::gear::GearKind;
use crate::core::gland::Verdict;
use crate::core::quantity::Spoken;
use crate::core::quantity::{
    Date, Force, Pressure, Typed, parse_date, parse_force, parse_pressure,
};
use crate::core::stage::{
    Gauge, ReadingFault, SettingLimits, SettingQuestion, SettingReading, StageDesign, SupplyRating,
    parse_creep, parse_depth, parse_rating, parse_settings,
};
use clap::{Args, Subcommand};
use std::path::PathBuf;
use std::sync::Arc;

#[derive(Debug, Args)]
#[command(
    args_conflicts_with_subcommands = true,
    after_help = "Examples:\n  ringwright setting --reading \"142 psi at 195 bar\" --reading \"126 psi at 35 bar\" --gauge 2\n  \
    ringwright setting --reading \"145 psi at 200 bar\" --creep \"0 s 145 psi, 60 s 145 psi, 5 min 145.5 psi\" --lock-up \"1 s\"\n  \
    ringwright setting --job 1\n  \
    ringwright setting --gear welding --rated \"gauge 10 bar\" --reading \"1 bar at 150 bar\"\n  \
    ringwright setting gauge add 2 --offset \"+1.5 psi\" --checked 2026-01-10 --against \"dead weight\"\n  \
    ringwright setting expect --design unbalanced-piston --head \"25.4 mm\" --stem \"8 mm\" --seat \"2.4 mm\" --spring \"361.27 N\""
)]
pub(super) struct SettingArgs {
    #[command(subcommand)]
    task: Option<SettingTask>,
    /// Judge the last readings of this job's record, or these by the ratings in it
    #[arg(long, value_name = "JOB")]
    job: Option<i64>,
    /// Judge the readings of this entry of the record
    #[arg(long, value_name = "ENTRY", requires = "job")]
    entry: Option<u32>,
    /// What kind of gear it is, as "breathing first stage", welding, pneumatic or other; else from the job
    #[arg(long, value_name = "KIND", value_parser = reads(GearKind::from_words))]
    gear: Option<GearKind>,
    #[command(flatten)]
    judge: JudgeArgs,
}

#[derive(Debug, Subcommand)]
enum SettingTask {
    /// The register of pressure gauges
    Gauge {
        #[command(subcommand)]
        task: GaugeTask,
    },
    /// The limits that readings are judged by; --format csv prints a table to edit
    Limits {
        /// Your own limits (else setting_limits.csv in the data folder)
        #[arg(long, value_name = "FILE")]
        limits: Option<PathBuf>,
    },
    /// What a stage of known geometry should do, and which seat or spring explains readings
    Expect(Box<ExpectArgs>),
}

#[derive(Debug, Subcommand)]
enum GaugeTask {
    /// Enter a gauge, or what a new check of it found
    Add {
        /// Its name or number
        name: GaugeName,
        /// How much it reads high, as "+1.5 psi", or low, as "-0.1 bar"
        #[arg(
            long,
            value_name = "PRESSURE",
            allow_hyphen_values = true,
            default_value = "0 bar",
            value_parser = read_by(pressure_difference)
        )]
        offset: f64,
        /// Standard uncertainty that remains
        #[arg(long, value_name = "PRESSURE", default_value = "0.05 bar", value_parser = read_by(pressure_difference))]
        error: f64,
        /// Day of the check
        #[arg(long, value_name = "DATE", value_parser = reads(parse_date))]
        checked: Typed<Date>,
        /// What it was checked against
        #[arg(long, value_name = "WORDS")]
        against: String,
    },
    /// List the gauges
    List,
}

/// Readings at one or more supplies, with their words.
pub(super) type ReadSettings = Typed<Vec<SettingReading>>;
/// The watched needle: seconds and bar.
type Creep = Arc<[(f64, f64)]>;

/// Reads readings at one or more supplies.
pub(super) fn read_settings(_: &str, text: &str) -> Result<ReadSettings> {
    // The line of `job do` has them behind other words.
    let read = parse_settings(text).map_err(|fault| fault.of("--reading", text))?;
    Ok(Typed::new(read, text))
}

fn creep(text: &str) -> Result<Creep, ReadingFault> {
    parse_creep(text).map(Arc::from)
}

// Holds what was read, as typed.
#[derive(Debug, Clone, Default, Args)]
pub(super) struct ReadArgs {
    /// Intermediate pressure at a supply, as "142 psi at 195 bar, 126 at 35"; give two or more, at a high and a low supply
    #[arg(long = "reading", value_name = "PRESSURE at SUPPLY", value_parser = read_by(read_settings))]
    pub(super) readings: Vec<ReadSettings>,
    /// The watched needle after lock-up, as "0 s 142 psi, 60 s 142.5 psi, 5 min 143 psi"
    #[arg(long, value_name = "SERIES", value_parser = reads(creep))]
    pub(super) creep: Option<Creep>,
    /// Time after a purge until the needle stood still, as "1.5 s"
    #[arg(long, value_name = "TIME", value_parser = reads(seconds))]
    pub(super) lock_up: Option<f64>,
    /// The gauge of the register
    #[arg(long, value_name = "NAME")]
    pub(super) gauge: Option<GaugeName>,
    /// Your own limits (else setting_limits.csv in the data folder)
    #[arg(long, value_name = "FILE")]
    pub(super) limits: Option<PathBuf>,
    /// The design, where it is known
    #[arg(long, value_name = "DESIGN", value_parser = super::one_of::one_of::<StageDesign>())]
    pub(super) design: Option<StageDesign>,
}

// Holds the readings as typed, with ratings that bound them.
#[derive(Debug, Clone, Default, Args)]
pub(super) struct JudgeArgs {
    #[command(flatten)]
    pub(super) read: ReadArgs,
    /// Recorded rating of a part, as "hose 250 psi" or "body 3000 psi on supply"
    #[arg(long = "rated", value_name = "PART PRESSURE", value_parser = reads(parse_rating))]
    pub(super) rated: Vec<SupplyRating>,
}

impl ReadArgs {
    /// Reads what was read, with the gauge from the book; `None` where nothing was.
    pub(super) fn question(&self, settings: &Settings) -> Result<Option<SettingQuestion>> {
        if self.readings.is_empty() && self.creep.is_none() {
            return Ok(None);
        }
        open_question(self, &[], settings).map(Some)
    }
}

#[derive(Debug, Args)]
struct ExpectArgs {
    /// Force of the main spring as it is set; else it is worked out from the readings
    #[arg(long, value_name = "FORCE", value_parser = reads(parse_force))]
    spring: Option<Typed<Force>>,
    /// Rate of the spring in N/mm
    #[arg(long, value_name = "N/mm")]
    rate: Option<f64>,
    /// Lift under flow, for droop
    #[arg(long, value_name = "LENGTH", requires = "rate")]
    lift: Option<InUnit>,
    /// Force that indents the seat at lock-up
    #[arg(long, value_name = "FORCE", value_parser = reads(parse_force))]
    bite: Option<Typed<Force>>,
    /// Friction of the moving ring
    #[arg(long, value_name = "FORCE", default_value = "5 N", value_parser = reads(parse_force))]
    friction: Typed<Force>,
    /// A supply to work out; without it 200, 150, 100, 50 and 35 bar
    #[arg(long = "supply", value_name = "PRESSURE", value_parser = reads(parse_pressure))]
    supplies: Vec<Typed<Pressure>>,
    /// A reading to explain
    #[arg(long = "reading", value_name = "PRESSURE at SUPPLY", value_parser = read_by(read_settings))]
    readings: Vec<ReadSettings>,
    /// A depth, as "30 msw", "99 fsw" or "30 m" of sea water
    #[arg(long, value_name = "DEPTH", value_parser = reads(depth))]
    depth: Option<Pressure>,
    #[command(flatten)]
    stage: StageFlags,
}

pub(super) fn run(args: &SettingArgs, settings: &Settings) -> Result<Outcome> {
    match &args.task {
        None => judge(args, settings),
        Some(SettingTask::Gauge { task }) => gauge(task, settings),
        Some(SettingTask::Limits { limits }) => {
            settings.answer(&show_limits(&limits_of(limits.as_ref())?), Answer::Yes)
        }
        Some(SettingTask::Expect(args)) => expect(args, settings),
    }
}

fn judge(args: &SettingArgs, settings: &Settings) -> Result<Outcome> {
    let mut asked = open_question(&args.judge.read, &args.judge.rated, settings)?;
    asked.gear = args.gear;
    let from_record = match args.job {
        Some(job) => complete_from_job(&settings.book()?, job, args.entry, &mut asked)?,
        None => None,
    };
    something_read(&asked)?;
    let report = judged(&asked, from_record);
    let rejected = report.setting.verdict == Some(Verdict::Reject);
    settings.answer(&report, Answer::of(!rejected))
}

/// Reads the question of a setting, with the gauge from the book; something must have been read.
pub(super) fn question(args: &JudgeArgs, settings: &Settings) -> Result<SettingQuestion> {
    let found = open_question(&args.read, &args.rated, settings)?;
    something_read(&found)?;
    Ok(found)
}

fn something_read(question: &SettingQuestion) -> Result<()> {
    if question.readings.is_empty() && question.creep.is_empty() {
        return Err(CliError::input(
            "nothing was read: give --reading \"142 psi at 195 bar\" (two or more), or --creep",
        ));
    }
    Ok(())
}

fn open_question(
    args: &ReadArgs,
    rated: &[SupplyRating],
    settings: &Settings,
) -> Result<SettingQuestion> {
    let limits = limits_of(args.limits.as_ref())?;
    let months = limits.gauge_months();
    let gauge = match &args.gauge {
        Some(name) => gauge_standing(&settings.book()?, Some(name), today(), months)?,
        None => crate::core::stage::GaugeStanding::Unnamed,
    };
    Ok(SettingQuestion {
        readings: together(&args.readings),
        lock_up_s: args.lock_up,
        creep: args.creep.as_deref().unwrap_or_default().to_vec(),
        gauge,
        gear: None,
        design: args.design,
        ratings: rated.to_vec(),
        limits,
    })
}

fn together(readings: &[ReadSettings]) -> Vec<SettingReading> {
    let each = readings.iter().map(|typed| typed.value.as_slice());
    each.collect::<Vec<_>>().concat()
}

fn seconds(text: &str) -> Result<f64, &'static str> {
    const LONGEST: f64 = 3600.0;
    let number = text
        .trim()
        .trim_end_matches("sec")
        .trim_end_matches('s')
        .trim();
    let read = number.replace(',', ".").parse().ok();
    read.filter(|s| text.trim().ends_with(['s', 'c']) && (0.0..=LONGEST).contains(s))
        .ok_or("write seconds, as \"1.5 s\"")
}

fn gauge(task: &GaugeTask, settings: &Settings) -> Result<Outcome> {
    let place = settings.book()?;
    let months = limits_of(None)?.gauge_months();
    let report = match task {
        GaugeTask::List => list_gauges(&place, today(), months)?,
        GaugeTask::Add {
            name,
            offset,
            error,
            checked,
            against,
        } => {
            let gauge = Gauge {
                name: name.trim().to_owned(),
                offset_bar: *offset,
                sd_bar: error.abs(),
                checked: checked.value,
                against: against.trim().to_owned(),
            };
            if let Some(fault) = gauge.fault(today()) {
                return Err(CliError::input(fault));
            }
            add_gauge(&place, &gauge, today(), months)?
        }
    };
    settings.answer(&report, Answer::of(!report.gauges.is_empty()))
}

fn depth(text: &str) -> Result<Pressure, &'static str> {
    parse_depth(text).ok_or("write \"30 msw\", \"99 fsw\" or \"30 m\", to 1000 m")
}

fn expect(args: &ExpectArgs, settings: &Settings) -> Result<Outcome> {
    let Some(stage) = args.stage.stage(settings)? else {
        return Err(CliError::input(
            "which stage? give --design and its sizes: --head --stem --seat, --head --shaft --edge, --diaphragm --seat, or --diaphragm --seat --tail",
        ));
    };
    let supplies: Vec<Pressure> = if args.supplies.is_empty() {
        [200.0, 150.0, 100.0, 50.0, 35.0]
            .iter()
            .filter_map(|bar| Pressure::gauge(*bar, crate::core::quantity::PressureUnit::Bar))
            .collect()
    } else {
        args.supplies.iter().map(|typed| typed.value).collect()
    };
    let lift = args.lift.as_ref();
    let texts = || args.readings.iter().map(|typed| typed.text.as_str());
    let question = ExpectedQuestion {
        stage,
        spring: args.spring.as_ref().map(|typed| typed.value),
        rate: args.rate,
        lift: lift
            .map(|typed| typed.length(settings.unit()))
            .transpose()?,
        bite: args.bite.as_ref().map(|typed| typed.value),
        friction: Some(args.friction.value),
        supplies,
        spoken: Spoken::of(texts().chain(args.supplies.iter().map(|typed| typed.text.as_str()))),
        supply_spoken: match args.supplies.first() {
            Some(typed) => Spoken::of([typed.text.as_str()]),
            None => Spoken::of_supply(texts()),
        },
        readings: together(&args.readings),
        ambient: args.depth,
    };
    let report = stage_expected(&question).map_err(CliError::input)?;
    settings.answer(&report, Answer::Yes)
}

/// Reads the limits: those named, those in the data folder, or the shipped ones.
pub(super) fn limits_of(named: Option<&PathBuf>) -> Result<SettingLimits> {
    let usual = Settings::data_file("setting_limits.csv");
    own_limits(named.cloned(), usual).map_err(CliError::input)
}
