//! `gland`: checks a ring in a gland, and finds the listed rings that suit one.

use super::context::Settings;
use super::error::CliError;
use super::outcome::{Answer, Outcome};
use crate::app::gland_check::check_gland;
use crate::app::gland_fit::fit_gland;
use crate::app::gland_question::{GlandQuestion, QuestionError};
use crate::core::elastomer::Polymer;
use crate::core::gland::{
    Duty, GlandDimension, GlandKind, GlandSpec, Metal, PressureSide, RuleSet, Verdict,
};
use crate::core::quantity::{
    LengthUnit, Typed, parse_dimension, parse_hardness, parse_pressure, parse_temperature_range,
};
use clap::{Args, Subcommand};

/// Check a ring in a gland, or find the listed rings that suit a gland
#[derive(Debug, Args)]
pub(super) struct GlandArgs {
    #[command(subcommand)]
    question: GlandCommand,
}

#[derive(Debug, Subcommand)]
enum GlandCommand {
    Check(CheckArgs),
    Fit(FitArgs),
}

/// Check one ring in one gland: squeeze, stretch, fill, gap and force against published limits
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright gland check --kind piston --bore \"25.40+0.05/-0 mm\" --groove \"22.40±0.02 mm\" --width 2.4mm \\\n      \
    --piston 25.35mm --pressure \"200 bar\" --ring \"21.95x1.78 mm N90\"\n  \
    ringwright gland check --kind face --outer 16.2mm --depth 1.35mm --width 2.4mm --pressure \"200 bar\" --from inside --ring AS568-013\n\n\
    A verdict is good (the worst case lies inside every limit), marginal (the nominal does, or a limit that only cautions is missed) or reject."
)]
struct CheckArgs {
    #[command(flatten)]
    gland: GlandFlags,
    /// The ring: a code or dimensions, tolerances allowed, with polymer and hardness beside it if known
    #[arg(long, value_name = "RING", allow_hyphen_values = true)]
    ring: String,
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

#[derive(Debug, Args)]
struct GlandFlags {
    /// Kind of gland: piston, rod or face
    #[arg(long, value_name = "KIND")]
    kind: String,
    /// Piston: diameter of the bore; every length may carry its tolerance, as "25.40+0.05/-0 mm"
    #[arg(long, value_name = "LENGTH")]
    bore: Option<String>,
    /// Piston, rod: diameter at the bottom of the groove
    #[arg(long, value_name = "LENGTH")]
    groove: Option<String>,
    /// Width of the groove
    #[arg(long, value_name = "LENGTH")]
    width: Option<String>,
    /// Piston: diameter of the piston beside the groove (for the gap)
    #[arg(long, value_name = "LENGTH")]
    piston: Option<String>,
    /// Rod: diameter of the rod
    #[arg(long, value_name = "LENGTH")]
    rod: Option<String>,
    /// Rod: bore of the housing beside the groove (for the gap)
    #[arg(long, value_name = "LENGTH")]
    housing: Option<String>,
    /// Face: outer diameter of the groove, for pressure from inside
    #[arg(long, value_name = "LENGTH")]
    outer: Option<String>,
    /// Face: inner diameter of the groove, for pressure from outside
    #[arg(long, value_name = "LENGTH")]
    inner: Option<String>,
    /// Face: depth of the groove
    #[arg(long, value_name = "LENGTH")]
    depth: Option<String>,
    /// Greatest pressure, as "200 bar" or "3000 psi"
    #[arg(long, value_name = "PRESSURE")]
    pressure: Option<String>,
    /// Side of the pressure: inside or outside the ring
    #[arg(long, value_name = "SIDE")]
    from: Option<String>,
    /// How the parts move: static, moving or rotary
    #[arg(long, value_name = "DUTY")]
    duty: Option<String>,
    /// Hardness of the ring, as 70A
    #[arg(long, value_name = "HARDNESS")]
    hardness: Option<String>,
    /// Polymer of the ring, as NBR, FKM, EPDM
    #[arg(long, value_name = "POLYMER")]
    polymer: Option<String>,
    /// Coldest and hottest temperature, as "-2..40 C"
    #[arg(long, value_name = "RANGE", allow_hyphen_values = true)]
    temperature: Option<String>,
    /// Swell by volume in the medium, as "5 %"
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    swell: Option<String>,
    /// Metal of the gland: brass, aluminium, bronze, copper, stainless, steel
    #[arg(long, value_name = "METAL", default_value = "brass")]
    metal: String,
    /// Rule set: industrial (tables by section), guides (suppliers' ranges), handbook (maxima)
    #[arg(long, value_name = "SET", default_value = "industrial")]
    rules: String,
}

pub(super) fn run(args: &GlandArgs, settings: &Settings) -> Result<Outcome, CliError> {
    match &args.question {
        GlandCommand::Check(check) => run_check(check, settings),
        GlandCommand::Fit(fit) => run_fit(fit, settings),
    }
}

fn run_check(args: &CheckArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let question = args.gland.question(settings.unit())?;
    let report = check_gland(&question, &args.ring, settings.unit())
        .map_err(|error| question_error(&error, &args.ring))?;
    let answer = if report.verdict == Verdict::Reject {
        Answer::No
    } else {
        Answer::Yes
    };
    settings.answer(&report, answer)
}

fn run_fit(args: &FitArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let question = args.gland.question(settings.unit())?;
    let report =
        fit_gland(&question, usize::from(args.top)).map_err(|error| question_error(&error, ""))?;
    let answer = if report.fitting == 0 {
        Answer::No
    } else {
        Answer::Yes
    };
    settings.answer(&report, answer)
}

fn question_error(error: &QuestionError, ring: &str) -> CliError {
    match error {
        QuestionError::Ring(error) => CliError::designation("--ring", ring, error),
        other => CliError::input(other.to_string()),
    }
}

impl GlandFlags {
    fn question(&self, unit: Option<LengthUnit>) -> Result<GlandQuestion, CliError> {
        let kind = word(
            "--kind",
            &self.kind,
            GlandKind::from_word,
            &names(&GlandKind::ALL),
        )?;
        let mut spec = GlandSpec::new(kind);
        for (dimension, text) in self.lengths() {
            if let Some(text) = text {
                let place = format!("--{}", dimension.word());
                let typed = parse_dimension(text, unit)
                    .map_err(|error| CliError::quantity(&place, text, &error))?;
                spec.dimensions.push((dimension, typed));
            }
        }
        spec.pressure = read("--pressure", self.pressure.as_deref(), parse_pressure)?;
        spec.from = optional_word(
            "--from",
            self.from.as_deref(),
            PressureSide::from_word,
            &names(&PressureSide::ALL),
        )?;
        spec.duty = optional_word(
            "--duty",
            self.duty.as_deref(),
            Duty::from_word,
            &names(&Duty::ALL),
        )?;
        let mut question = GlandQuestion::new(spec);
        question.hardness =
            read("--hardness", self.hardness.as_deref(), parse_hardness)?.map(|h| h.value);
        let known: Vec<&str> = Polymer::all().map(|f| f.polymer.letters()).collect();
        question.polymer = optional_word(
            "--polymer",
            self.polymer.as_deref(),
            Polymer::from_word,
            &known,
        )?;
        question.temperature = read(
            "--temperature",
            self.temperature.as_deref(),
            parse_temperature_range,
        )?
        .map(|t| t.value);
        question.swell_pct = self.swell.as_deref().map(swell).transpose()?;
        question.metal = word("--metal", &self.metal, Metal::from_word, &Metal::words())?;
        question.rules = word(
            "--rules",
            &self.rules,
            RuleSet::from_word,
            &names(&RuleSet::ALL),
        )?;
        Ok(question)
    }

    fn lengths(&self) -> [(GlandDimension, Option<&str>); 9] {
        use GlandDimension as D;
        [
            (D::Bore, self.bore.as_deref()),
            (D::Groove, self.groove.as_deref()),
            (D::Piston, self.piston.as_deref()),
            (D::Rod, self.rod.as_deref()),
            (D::Housing, self.housing.as_deref()),
            (D::Outer, self.outer.as_deref()),
            (D::Inner, self.inner.as_deref()),
            (D::Depth, self.depth.as_deref()),
            (D::Width, self.width.as_deref()),
        ]
    }
}

fn names<T>(all: &[(T, &'static str)]) -> Vec<&'static str> {
    all.iter().map(|(_, word)| *word).collect()
}

fn read<T>(
    place: &str,
    text: Option<&str>,
    parse: fn(&str) -> Result<Typed<T>, crate::core::quantity::QuantityError>,
) -> Result<Option<Typed<T>>, CliError> {
    text.map(|text| parse(text).map_err(|error| CliError::quantity(place, text, &error)))
        .transpose()
}

fn optional_word<T>(
    place: &str,
    text: Option<&str>,
    find: fn(&str) -> Option<T>,
    known: &[&str],
) -> Result<Option<T>, CliError> {
    text.map(|text| word(place, text, find, known)).transpose()
}

fn word<T>(
    place: &str,
    text: &str,
    find: fn(&str) -> Option<T>,
    known: &[&str],
) -> Result<T, CliError> {
    find(text).ok_or_else(|| {
        CliError::input(format!(
            "{place} does not take {text:?}: write one of {}",
            known.join(", ")
        ))
    })
}

/// Reads a swell in per cent by volume; a rubber that shrinks has a negative one.
fn swell(text: &str) -> Result<f64, CliError> {
    const RANGE: std::ops::RangeInclusive<f64> = -40.0..=200.0;
    let refused = || {
        CliError::input(format!(
            "--swell does not take {text:?}: write per cent by volume between -40 % and 200 %, as \"5 %\""
        ))
    };
    let number = text.trim().strip_suffix('%').ok_or_else(refused)?;
    let value: f64 = number
        .trim()
        .replace(',', ".")
        .parse()
        .map_err(|_| refused())?;
    if RANGE.contains(&value) {
        Ok(value)
    } else {
        Err(refused())
    }
}
