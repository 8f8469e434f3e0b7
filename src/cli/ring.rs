//! `ring`: which listed ring is this?

use super::context::Settings;
use super::error::CliError;
use super::outcome::{Answer, Outcome};
use super::ring_batch;
use super::ring_facts::FactArgs;
use crate::app::identify::{RingNamer, RingQuestion};
use crate::app::ring_stream::BatchSettings;
use crate::core::elastomer::Polymer;
use crate::core::measurement::{Condition, Measurand, Reading};
use clap::Args;
use std::path::PathBuf;

/// Name an unlabelled ring: ranked listed sizes with their odds, and what to measure next
#[derive(Debug, Args)]
#[command(
    after_help = "A reading is one or more numbers with their unit, and how they were taken:\n  \
    --od \"12.80 12.85 mm by caliper\"   --cs \".069 in by flat\"   --id 9.2mm\n\
    Methods: caliper, flat (whole ring between two flat faces), gauge (drop gauge), micrometer, scan, loupe, cone,\n\
    pin, tape, rule, scale. Without a method a reading counts for less.\n\n\
    Examples:\n  ringwright ring --od \"12.80 12.85 mm by caliper\" --cs \"1.72 mm by caliper\" --condition used\n  \
    ringwright ring --batch rings.csv --format csv --top 3"
)]
pub(super) struct RingArgs {
    /// Outside diameter
    #[arg(long, value_name = "READINGS")]
    od: Vec<String>,
    /// Inside diameter
    #[arg(long, value_name = "READINGS")]
    id: Vec<String>,
    /// Cross-section; on a used ring the height, in the direction in which it was squeezed
    #[arg(long, value_name = "READINGS")]
    cs: Vec<String>,
    /// Width of the section, across the height
    #[arg(long, value_name = "READINGS")]
    width: Vec<String>,
    /// Length of the ring, cut and laid straight
    #[arg(long, value_name = "READINGS")]
    cut: Vec<String>,
    /// Mass, with its unit
    #[arg(long, value_name = "MASS")]
    mass: Vec<String>,
    /// The state of the ring: new, used or rough (flattened, hard, swollen)
    #[arg(long, value_name = "WORD", default_value = "used")]
    condition: String,
    /// The polymer, if you know it for sure (never from colour); it matters for a mass
    #[arg(long, value_name = "LETTERS")]
    polymer: Option<String>,
    /// How common each family is taken to be, as as568=3,jis-v=0,unlisted=0.05 (families as in `size table`)
    #[arg(long, value_name = "WEIGHTS")]
    prior: Option<String>,
    /// Name every ring of a CSV file (- for standard input); the columns are listed in the README
    #[arg(long, value_name = "FILE", conflicts_with_all = ["od", "id", "cs", "width", "cut", "mass", "polymer"])]
    batch: Option<PathBuf>,
    /// How many rings to give
    #[arg(long, value_name = "N", default_value_t = 5, value_parser = clap::value_parser!(u16).range(1..))]
    top: u16,
    #[command(flatten)]
    facts: FactArgs,
    /// Threads that a batch may use (default: as many as the machine runs at once); the answer is the same with any number
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256), requires = "batch")]
    threads: Option<u16>,
}

fn threads(args: &RingArgs) -> usize {
    let all = || std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    args.threads.map_or_else(all, usize::from)
}

pub(super) fn run(args: &RingArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let (prior, told) = args.facts.prior()?;
    let prior = match &args.prior {
        None => prior,
        Some(words) => prior
            .with_words(words)
            .map_err(|error| CliError::input(format!("--prior: {error}")))?,
    };
    let namer = RingNamer::new(&prior);
    if let Some(path) = &args.batch {
        let batch = BatchSettings {
            top: usize::from(args.top),
            threads: threads(args),
        };
        return ring_batch::run(path, &namer, batch, settings);
    }
    let question = question(args, settings)?;
    let mut answer = namer
        .name_with(&question, &args.facts.facts(settings)?)
        .map_err(|error| CliError::input(error.to_string()))?;
    answer.warnings.extend(told);
    let answer_word = match answer.candidates.first() {
        Some(first) if first.probability >= answer.unlisted_probability => Answer::Yes,
        _ => Answer::No,
    };
    answer.candidates.truncate(usize::from(args.top).max(8));
    settings.answer(&answer, answer_word)
}

fn question(args: &RingArgs, settings: &Settings) -> Result<RingQuestion, CliError> {
    let given = [
        (Measurand::Od, &args.od),
        (Measurand::Id, &args.id),
        (Measurand::Cs, &args.cs),
        (Measurand::Width, &args.width),
        (Measurand::CutLength, &args.cut),
        (Measurand::Mass, &args.mass),
    ];
    let mut readings = Vec::new();
    for (measurand, texts) in given {
        for text in texts {
            let reading = Reading::parse(measurand, text, settings.unit()).map_err(|error| {
                CliError::quantity(&format!("--{}", measurand.word()), text, &error)
            })?;
            readings.push(reading);
        }
    }
    readings.extend(args.facts.girth(settings)?);
    let condition = Condition::from_word(&args.condition).ok_or_else(|| {
        CliError::input(format!(
            "--condition: {:?} is not known: write new, used or rough",
            args.condition
        ))
    })?;
    let polymer = args.polymer.as_deref().map(polymer_of).transpose()?;
    Ok(RingQuestion {
        readings,
        condition,
        polymer,
    })
}

fn polymer_of(word: &str) -> Result<Polymer, CliError> {
    Polymer::from_word(word).ok_or_else(|| {
        let known: Vec<&str> = Polymer::all().map(|f| f.polymer.letters()).collect();
        CliError::input(format!(
            "--polymer: {word:?} is not known: write one of {}",
            known.join(", ")
        ))
    })
}
