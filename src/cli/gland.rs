//! `gland`: checks a ring in a gland, finds the listed rings that suit one, and gives the groove to cut.

use super::dialogue::{ask, can_ask};
use super::gland_flags::GlandFlags;
use super::listed::LineArgs;
use super::noun::RingText;
use super::read_by::InUnit;
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::gland::check::{GlandCheckReport, check_gland};
use crate::app::gland::cut::{CutRefusal, cut_gland};
use crate::app::gland::fit::fit_gland;
use crate::app::gland::question::{GlandQuestion, QuestionError};
use crate::app::gland::used::{UsedRing, used_ring};
use crate::core::gland::{
    CutOrder, Duty, GlandDimension, GlandError, GlandKind, PortThread, PressureSide, PrintedEnd,
    Verdict,
};
use clap::{Args, Subcommand};

#[derive(Debug, Args)]
pub(super) struct GlandArgs {
    #[command(subcommand)]
    question: GlandCommand,
}

#[derive(Debug, Subcommand)]
enum GlandCommand {
    Check(Box<CheckArgs>),
    Fit(Box<FitArgs>),
    Cut(Box<CutArgs>),
}

/// Check one ring in one gland: squeeze, stretch, fill, gap and force against published limits
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright gland check --kind piston --bore \"25.40+0.05/-0 mm\" --groove \"22.40±0.02 mm\" --width 2.4mm \\\n      \
    --piston 25.35mm --pressure \"200 bar\" --ring \"21.95x1.78 mm NBR 90\"\n  \
    ringwright gland check --kind face --outer 16.2mm --depth 1.35mm --width 2.4mm --pressure \"200 bar\" --from inside --ring AS568-013\n  \
    ringwright gland check \"Tarn 2\" 3\n\n\
    A verdict is good (the worst case lies inside every limit), marginal (the nominal does, or a limit that only cautions is missed) or reject."
)]
struct CheckArgs {
    #[command(flatten)]
    line: LineArgs,
    #[command(flatten)]
    gland: GlandFlags,
    /// The ring: a code or dimensions, tolerances allowed, with polymer and hardness beside it if known
    ///
    /// May be left out for a port with its thread, and with --used.
    #[arg(long, value_name = "RING", allow_hyphen_values = true)]
    ring: Option<RingText>,
    /// Height of the used ring found in this gland, in the direction of the squeeze: shows what it tells of the new
    /// ring
    #[arg(long, value_name = "HEIGHT", conflicts_with = "ring")]
    used: Option<InUnit>,
    /// Its width, across the height
    #[arg(long, value_name = "WIDTH", requires = "used")]
    used_width: Option<InUnit>,
}

/// Get the groove to cut for a ring, with tolerances, radii, chamfer and finish, and the check of that groove
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  ringwright gland cut --kind piston --bore 25.40mm --ring AS568-020 --duty moving\n\n\
    Give the bore (piston), the rod (rod) or one wall (face: --outer or --inner) that is there already; without it the ring decides."
)]
struct CutArgs {
    #[command(flatten)]
    gland: GlandFlags,
    /// The ring: a code or dimensions
    #[arg(long, value_name = "RING", allow_hyphen_values = true)]
    ring: RingText,
    /// Face: the narrower groove given for vacuum and gases
    #[arg(long)]
    narrow: bool,
}

/// Find the listed rings that suit a gland, best first
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  ringwright gland fit --kind piston --bore \"25.40±0.03 mm\" --groove \"22.60±0.02 mm\" --width 2.4mm"
)]
struct FitArgs {
    #[command(flatten)]
    gland: GlandFlags,
    /// How many rings to show
    #[arg(long, value_name = "N", default_value_t = 10, value_parser = clap::value_parser!(u16).range(1..=1000))]
    top: u16,
}

pub(super) fn run(args: &GlandArgs, settings: &Settings) -> Result<Outcome> {
    match &args.question {
        GlandCommand::Check(check) => run_check(check, settings),
        GlandCommand::Fit(fit) => run_fit(fit, settings),
        GlandCommand::Cut(cut) => run_cut(cut, settings),
    }
}

fn run_check(args: &CheckArgs, settings: &Settings) -> Result<Outcome> {
    let (listed, groove) = args.line.ring_and_groove(settings)?;
    let question = args.gland.question(groove, settings)?;
    if let Some(height) = &args.used {
        let unit = settings.unit();
        let length = |length: &InUnit| Ok::<_, CliError>(length.dimension(unit)?.value);
        let used = UsedRing {
            height: length(height)?,
            width: args.used_width.as_ref().map(length).transpose()?,
        };
        let report = used_ring(&question, used).map_err(|error| question_error(&error, ""))?;
        return settings.answer(&report, Answer::Yes);
    }
    let (_, report) = checked(&question, args.ring.as_ref(), listed, settings)?;
    settings.answer(&report, Answer::of(report.verdict != Verdict::Reject))
}

/// Checks a ring in its gland: the one that was named, else the listed one, else as [`ring_words`]. Returns its words too.
pub(super) fn checked(
    question: &GlandQuestion,
    named: Option<&RingText>,
    listed: Option<String>,
    settings: &Settings,
) -> Result<(String, GlandCheckReport)> {
    let named = named.cloned().map(Into::into);
    let ring = ring_words(named.or(listed), question, settings)?;
    let report = check_gland(question, &ring, settings.unit());
    let report = report.map_err(|error| question_error(&error, &ring))?;
    Ok((ring, report))
}

/// Returns the ring that was named, else that of a port's thread, else that which is answered on a terminal.
fn ring_words(
    named: Option<String>,
    question: &GlandQuestion,
    settings: &Settings,
) -> Result<String> {
    if let Some(ring) = named.or_else(|| question.conditions.thread.map(PortThread::ring_words)) {
        return Ok(ring);
    }
    let asked = if can_ask(settings) {
        ask("Which ring? (a code, or dimensions)", |text| {
            Ok(text.to_owned())
        })?
    } else {
        None
    };
    asked.ok_or_else(|| {
        CliError::input(
            "which ring? give --ring CODE or dimensions (or --used HEIGHT of the ring that was found)",
        )
    })
}

fn run_fit(args: &FitArgs, settings: &Settings) -> Result<Outcome> {
    let question = args.gland.question(None, settings)?;
    let report =
        fit_gland(&question, usize::from(args.top)).map_err(|error| question_error(&error, ""))?;
    settings.answer(&report, Answer::of(report.fitting > 0))
}

fn run_cut(args: &CutArgs, settings: &Settings) -> Result<Outcome> {
    let question = args.gland.question(None, settings)?;
    let ring = question
        .ring(&args.ring, settings.unit())
        .map_err(|error| question_error(&error, &args.ring))?;
    let spec = &question.spec;
    let allowed: &[GlandDimension] = match spec.kind {
        GlandKind::Piston => &[GlandDimension::Bore],
        GlandKind::Rod => &[GlandDimension::Rod],
        _ => &[GlandDimension::Outer, GlandDimension::Inner],
    };
    if let Some((other, _)) = spec.dimensions.iter().find(|(d, _)| !allowed.contains(d)) {
        return Err(CliError::input(format!(
            "gland cut of a {} groove takes {} and works the rest out itself: leave {} out",
            spec.kind.word(),
            allowed
                .iter()
                .map(|d| d.word())
                .collect::<Vec<_>>()
                .join(" or "),
            other.word()
        )));
    }
    let from = spec
        .from
        .unwrap_or(match spec.dimension(GlandDimension::Inner) {
            Some(_) => PressureSide::Outside,
            None => PressureSide::Inside,
        });
    let order = CutOrder {
        kind: spec.kind,
        duty: spec.duty.unwrap_or(Duty::Static),
        fixed: spec.dimensions.first().map(|(_, typed)| typed.value),
        from,
        back_ups: spec.back_ups,
        narrow: args.narrow,
        stretch_pct: 0.0,
        share: 1.0,
        end: PrintedEnd::Roomy,
    };
    let report = cut_gland(&question, &order, &ring).map_err(|error| match error {
        CutRefusal::Question(error) => question_error(&error, &args.ring),
        other => CliError::input(other),
    })?;
    settings.answer(&report, Answer::of(report.check.verdict != Verdict::Reject))
}

fn question_error(error: &QuestionError, ring: &str) -> CliError {
    match error {
        QuestionError::Ring(error) => CliError::designation("--ring", ring, error),
        QuestionError::Gland(GlandError::Missing { kind, dimension }) => CliError::input(format!(
            "a {} gland needs its {word}: give --{word} ({})",
            kind.word(),
            dimension.meaning(),
            word = dimension.word()
        )),
        other => CliError::input(other),
    }
}
