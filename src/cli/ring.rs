//! `ring`: which listed ring is this?

use super::clock::now;
use super::noun::{Model, Person, Place, RingText};
use super::one_of::{condition, one_of};
use super::read_by::{InUnit, reads};
use super::ring_facts::FactArgs;
use super::ring_of::OfModel;
use super::sheet_out::{SheetLook, write_form};
use super::{Answer, CliError, Outcome, Result, Settings};
use super::{ring_batch, ring_bench, ring_known, ring_scan};
use crate::app::ring::identify::{RingAnswer, RingNamer};
use crate::app::ring::instruments::{
    InstrumentsError, learned_instruments, own_instruments, with_learned,
};
use crate::app::ring::known::KnownQuestion;
use crate::app::ring::question::RingQuestion;
use crate::app::ring::session::RingSession;
use crate::app::ring::sold_here::sold_here;
use crate::app::ring::stream::BatchSettings;
use crate::core::elastomer::Polymer;
use crate::core::identification::{Prior, SoldSize};
use crate::core::measurement::{Condition, Instruments, Measurand, Reading};
use crate::core::quantity::{Hardness, Typed, parse_hardness};
use crate::render::{marked_lines, sheets, visible};
use clap::{Args, Subcommand};
use std::io::IsTerminal;
use std::path::{Path, PathBuf};
use std::sync::Arc;

#[derive(Debug, Args)]
#[command(
    args_conflicts_with_subcommands = true,
    after_help = "A reading is one or more numbers with their unit, and how they were taken:\n  \
    --od \"12.80 12.85 mm by caliper\"   --cs \".069 in by flat\"   --id 9.2mm\n\
    Methods: caliper, flat (whole ring between two flat faces), gauge (drop gauge), micrometer, scan, loupe, cone,\n\
    pin, tape, rule, eye, scale. Without a method a reading counts for less.\n\n\
    Without a reading, on a terminal, it asks for one reading at a time and shows what each tells.\n\n\
    Own instruments: a table instruments.csv in the data folder, or --instruments FILE, with the columns method,measurand,\n\
    bias,sd_between,sd_repeat (mm; a bias below 0 reads small). Or let the program learn them: measure rings of known size\n\
    with --known; from then on what they taught is used.\n\n\
    Examples:\n  ringwright ring\n  \
    ringwright ring --od \"12.80 12.85 mm by caliper\" --cs \"1.72 mm by caliper\" --condition used\n  \
    ringwright ring --known AS568-012 --od \"12.70 12.72 mm by caliper\" --person Ada\n  \
    ringwright ring --batch rings.csv --format csv --top 3"
)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a switch of the command line"
)]
pub(super) struct RingArgs {
    #[command(subcommand)]
    command: Option<RingCommand>,
    /// Outside diameter
    #[arg(long, value_name = "READINGS", help_heading = "Readings")]
    od: Vec<InUnit>,
    /// Inside diameter
    #[arg(long, value_name = "READINGS", help_heading = "Readings")]
    id: Vec<InUnit>,
    /// Cross-section; on a used ring the height, in the direction in which it was squeezed
    #[arg(long, value_name = "READINGS", help_heading = "Readings")]
    cs: Vec<InUnit>,
    /// Width of the section, across the height
    #[arg(long, value_name = "READINGS", help_heading = "Readings")]
    width: Vec<InUnit>,
    /// Length of the ring, cut and laid straight
    #[arg(long, value_name = "READINGS", help_heading = "Readings")]
    cut: Vec<InUnit>,
    /// Mass, with its unit
    #[arg(long, value_name = "MASS", help_heading = "Readings")]
    mass: Vec<InUnit>,
    /// The state of the ring; rough: flattened, hard, swollen
    #[arg(long, value_name = "WORD", default_value = "used", value_parser = condition(), help_heading = "What is known")]
    condition: Condition,
    /// The polymer, if you know it for sure (never from colour); it matters for a mass
    #[arg(long, value_name = "LETTERS", value_parser = one_of::<Polymer>(), help_heading = "What is known")]
    polymer: Option<Polymer>,
    /// How common each family is taken to be, as as568=3,jis-v=0,unlisted=0.05 (families as in `size table`; unlisted: the share of no listed size; between: the share of these that lie between listed ones)
    #[arg(long, value_name = "WEIGHTS", help_heading = "What is known")]
    prior: Option<String>,
    /// Name every ring of a CSV file (- for standard input); the columns are listed in the guide (ringwright manual)
    #[arg(long, value_name = "FILE", conflicts_with_all = ["od", "id", "cs", "width", "cut", "mass", "polymer"])]
    batch: Option<PathBuf>,
    /// Ask for one reading at a time, on a pipe too
    #[arg(long, conflicts_with_all = ["od", "id", "cs", "width", "cut", "mass", "batch"])]
    ask: bool,
    /// A ring of known size: its readings teach how this person reads with this instrument
    #[arg(long, value_name = "CODE", conflicts_with_all = ["batch", "ask", "prior"], help_heading = "Known rings and own instruments")]
    known: Option<RingText>,
    /// Who measures; known rings are learned for each person apart
    #[arg(
        long,
        value_name = "NAME",
        help_heading = "Known rings and own instruments"
    )]
    person: Option<Person>,
    /// Show what the known rings taught
    #[arg(long, conflicts_with_all = ["known", "batch", "ask", "od", "id", "cs", "width", "cut", "mass"], help_heading = "Known rings and own instruments")]
    learned: bool,
    /// Remove the known ring that was added last
    #[arg(long, conflicts_with_all = ["known", "learned", "batch", "ask", "od", "id", "cs", "width", "cut", "mass"], help_heading = "Known rings and own instruments")]
    forget_last: bool,
    /// A table of your own instruments (else instruments.csv in the data folder, where it exists)
    #[arg(
        long,
        value_name = "FILE",
        help_heading = "Known rings and own instruments"
    )]
    instruments: Option<PathBuf>,
    /// Hardness of the rubber, where it was measured or is sold so, as 90A; squeezing instruments then read accordingly
    #[arg(long, value_name = "HARDNESS", value_parser = reads(parse_hardness), help_heading = "What is known")]
    hardness: Option<Typed<Hardness>>,
    /// How many rings to give
    #[arg(long, value_name = "N", default_value_t = 5, value_parser = clap::value_parser!(u16).range(1..))]
    top: u16,
    #[command(flatten)]
    facts: FactArgs,
    /// The model that it came out of: what the book knows of its other rings, and of this place in its other units, counts
    #[arg(long, value_name = "MODEL", conflicts_with_all = ["batch", "ask", "known", "learned", "stack", "goes_over", "not_over"], help_heading = "What is known")]
    of: Option<Model>,
    /// Where in that model it sat, as "body, at piston stem"
    #[arg(
        long,
        value_name = "SECTION, PLACE",
        requires = "of",
        help_heading = "What is known"
    )]
    at: Option<Place>,
    /// Threads that a batch may use (default: as many as the machine runs at once); the answer is the same with any number
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256), requires = "batch")]
    threads: Option<u16>,
    /// Write the answer as a printed sheet too (.pdf, .svg, .html), with the rivals' outlines in true size
    #[arg(long, value_name = "FILE", conflicts_with_all = ["batch", "ask", "known", "learned", "forget_last"])]
    sheet: Option<PathBuf>,
    #[command(flatten)]
    look: SheetLook,
}

#[derive(Debug, Subcommand)]
enum RingCommand {
    Scan(ring_scan::ScanArgs),
}

fn threads(args: &RingArgs) -> usize {
    let all = || std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    args.threads.map_or_else(all, usize::from)
}

pub(super) fn run(args: &RingArgs, settings: &Settings) -> Result<Outcome> {
    if let Some(RingCommand::Scan(scan)) = &args.command {
        return ring_scan::run(scan, settings);
    }
    let instruments = own_table(args.instruments.clone())?;
    let hardness = args.hardness.as_ref().map(|typed| typed.value);
    let person = args.person.as_deref().unwrap_or("").trim();
    if args.learned {
        return ring_known::show(&instruments, person, settings);
    }
    if args.forget_last {
        return ring_known::forget_last(&instruments, person, settings);
    }
    if let Some(ring) = &args.known {
        let known = KnownQuestion {
            ring: ring.clone().into(),
            declared: settings.unit(),
            readings: readings(args, settings)?,
            person: person.to_owned(),
            hardness,
            added_at: now(),
        };
        return ring_known::add(&known, &instruments, settings);
    }
    let (prior, told) = args.facts.prior();
    let prior = match &args.prior {
        None => prior,
        Some(words) => prior
            .with_words(words)
            .map_err(|error| CliError::input(format!("--prior: {error}")))?,
    };
    let (instruments, warning) = with_what_is_learned(instruments, person, settings)?;
    let prior = prior.with_sold(sold_sizes(settings));
    let mut namer = RingNamer::new(&prior).with_instruments(instruments);
    if let Some(hardness) = hardness {
        namer = namer
            .with_hardness(hardness)
            .map_err(|error| CliError::input(format!("--hardness: {error}")))?;
    }
    let outcome = answer(args, settings, namer, told)?;
    Ok(match warning {
        Some(warning) => outcome.warn(warning),
        None => outcome,
    })
}

fn answer(
    args: &RingArgs,
    settings: &Settings,
    namer: RingNamer,
    told: Option<String>,
) -> Result<Outcome> {
    if let Some(path) = &args.batch {
        let batch = BatchSettings {
            top: usize::from(args.top),
            threads: threads(args),
        };
        return ring_batch::run(path, &namer, batch, settings);
    }
    let question = question(args, settings)?;
    let on_terminal = std::io::stdin().is_terminal() && std::io::stdout().is_terminal();
    if args.ask || (question.readings.is_empty() && !question.speaks() && on_terminal) {
        let unread = RingQuestion {
            condition: question.condition,
            polymer: question.polymer,
            ..RingQuestion::default()
        };
        return ring_bench::run(RingSession::new(namer, unread, settings.unit()), settings);
    }
    let mut answer = match &args.of {
        Some(model) => OfModel {
            model,
            at: args.at.as_deref(),
            stated: args.facts.stated_text(),
        }
        .name(&namer, &question, settings)?,
        None => namer.name(&question).map_err(CliError::input)?,
    };
    answer.warnings.points.extend(told);
    let first = answer.candidates.first();
    let named = first.is_some_and(|first| first.probability >= answer.unlisted_probability);
    answer.candidates.truncate(usize::from(args.top).max(8));
    let written = args
        .sheet
        .as_ref()
        .map(|out| sheet(&answer, out, &args.look, settings));
    let written = written.transpose()?;
    let outcome = settings.answer_named(&answer, Answer::of(named))?;
    Ok(match written {
        Some(files) => outcome.show(format!("sheet written: {}", files.join(", "))),
        None => outcome,
    })
}

/// Writes the identification sheet and returns its files.
fn sheet(
    answer: &RingAnswer,
    out: &Path,
    look: &SheetLook,
    settings: &Settings,
) -> Result<Vec<String>> {
    let title = answer
        .candidates
        .first()
        .filter(|first| first.probability >= answer.unlisted_probability)
        .and_then(|first| first.codes.first())
        .map_or_else(
            || "No listed ring is likely".to_owned(),
            |code| format!("Most likely {code}"),
        );
    let frame = look.frame_beside_book("Identification sheet", title, settings);
    write_form(out, &sheets::identification(answer, frame))
}

/// Makes the namer of a bench: the usual prior, the own instruments and what known rings taught.
pub(super) fn bench_namer(settings: &Settings) -> Result<(RingNamer, Option<String>)> {
    let (instruments, warning) = with_what_is_learned(own_table(None)?, "", settings)?;
    let prior = Prior::default().with_sold(sold_sizes(settings));
    let namer = RingNamer::new(&prior).with_instruments(instruments);
    Ok((namer, warning))
}

/// Takes the shipped instruments with the user's own rows.
fn own_table(named: Option<PathBuf>) -> Result<Instruments> {
    let usual = Settings::data_file("instruments.csv");
    own_instruments(named, usual).map_err(|error| match error {
        InstrumentsError::Faulty {
            path,
            text,
            diagnostics,
        } => {
            let place = visible(&path.display().to_string());
            CliError::Input(marked_lines(&place, &text, &diagnostics))
        }
        other => CliError::input(other),
    })
}

/// Takes what the known rings in the book taught. A ring can be named without the book, so that a book that cannot be
/// read is a warning; but where a person was named, what is learned of this person was asked for.
fn with_what_is_learned(
    instruments: Instruments,
    person: &str,
    settings: &Settings,
) -> Result<(Instruments, Option<String>)> {
    let Ok(place) = settings.book() else {
        return Ok((instruments, None));
    };
    match learned_instruments(&place, person, &instruments) {
        Ok(learned) if learned.is_empty() && !person.is_empty() => {
            let warning = format!(
                "no known ring was measured by {} yet: the table of instruments is used",
                visible(person)
            );
            Ok((instruments, Some(warning)))
        }
        Ok(learned) => Ok((with_learned(&instruments, &learned), None)),
        Err(error) if person.is_empty() => {
            let warning = format!("what known rings taught is not used: {error}");
            Ok((instruments, Some(visible(&warning))))
        }
        Err(error) => Err(error.into()),
    }
}

/// Returns the sizes that are sold here; a book that cannot be read was told already, with what known rings taught.
fn sold_sizes(settings: &Settings) -> Arc<[SoldSize]> {
    let sizes = settings.book().ok().map(|place| sold_here(&place));
    sizes.and_then(Result::ok).unwrap_or_default()
}

fn readings(args: &RingArgs, settings: &Settings) -> Result<Vec<Reading>> {
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
            let parse = |text: &str, unit| Reading::parse(measurand, text, unit);
            readings.push(text.read(settings.unit(), parse)?);
        }
    }
    readings.extend(args.facts.girth(settings)?);
    Ok(readings)
}

fn question(args: &RingArgs, settings: &Settings) -> Result<RingQuestion> {
    let read = RingQuestion {
        readings: readings(args, settings)?,
        condition: args.condition,
        polymer: args.polymer,
        ..RingQuestion::default()
    };
    args.facts.beside(read, settings)
}
