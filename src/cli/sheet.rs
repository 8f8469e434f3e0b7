//! `sheet`: what is printed, sticks on a bag or is handed over.

use super::clock::this_quarter;
use super::gas_flags::GasFlags;
use super::gland::checked;
use super::gland_flags::GlandFlags;
use super::listed::LineArgs;
use super::noun::{Line, Model, RingText, Serial};
use super::parts::PartsArgs;
use super::read_by::InUnit;
use super::setting::limits_of;
use super::sheet_labels::{self, LabelsArgs, ReadArgs};
use super::sheet_out::{SheetLook, SheetOut, SheetWritten, put};
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::job::JobDesk;
use crate::app::model::parts_list::{Reader, parts_list};
use crate::app::sheet::assembly::{AssemblyQuestion, assembly};
use crate::app::sheet::make_part::{MakeError, part_to_make};
use crate::app::sheet::outlines::{outlines_of_codes, outlines_of_family, outlines_of_model};
use crate::app::sheet::whole_book::whole_book;
use crate::app::supply::costs::part_costs;
use crate::core::book::LifeRule;
use crate::core::elastomer::ShelfLifeSystem;
use crate::core::sizes::Standard;
use crate::render::sheets;
use clap::{Args, Subcommand};
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(super) struct SheetArgs {
    #[command(subcommand)]
    sheet: SheetCommand,
}

#[derive(Debug, Subcommand)]
enum SheetCommand {
    Rings(RingsArgs),
    Gland(Box<GlandSheetArgs>),
    Parts(PartsSheetArgs),
    Assembly(AssemblyArgs),
    Labels(Box<LabelsArgs>),
    Make(MakeSheetArgs),
    ReadLabel(ReadArgs),
    Release(ReleaseSheetArgs),
    Book(BookSheetArgs),
}

/// The parts list of a model, with the section of each ring in true size; the shop copy with costs from the price lists
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  ringwright sheet parts \"Tarn 2\" --for owner --out parts.pdf")]
struct PartsSheetArgs {
    #[command(flatten)]
    parts: PartsArgs,
    #[command(flatten)]
    out: SheetOut,
}

/// The teardown of a unit in reverse, as a checklist
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  ringwright sheet assembly \"Tarn 2\" --serial FT2-004417 --out assembly.pdf"
)]
struct AssemblyArgs {
    /// The model; its maker may be left out
    #[arg(value_name = "MODEL")]
    model: Model,
    /// The unit whose teardown is reversed (default: the one in work, else the one with most recorded parts)
    #[arg(long, value_name = "NUMBER")]
    serial: Option<Serial>,
    #[command(flatten)]
    gas: GasFlags,
    #[command(flatten)]
    out: SheetOut,
}

/// Outlines of rings in true size, with bars to check the printer by
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright sheet rings \"Tarn 2\" --out rings.pdf\n  \
    ringwright sheet rings --family as568 --section 1.78mm --out as568-178.pdf --paper letter\n  \
    ringwright sheet rings --ring AS568-012 --ring \"10x2 mm\" --out two.svg --bar \"99.2 mm\""
)]
struct RingsArgs {
    /// The model whose rings are drawn; its maker may be left out
    #[arg(value_name = "MODEL", required_unless_present_any = ["family", "ring"], conflicts_with_all = ["family", "ring"])]
    model: Option<Model>,
    /// Draw the rings of this family (as in `size table`)
    #[arg(
        long,
        value_name = "FAMILY",
        requires = "section",
        conflicts_with = "ring",
        value_parser = super::one_of::one_of::<Standard>()
    )]
    family: Option<Standard>,
    /// Cross-section of the rings of the family
    #[arg(long, value_name = "LENGTH", requires = "family")]
    section: Option<InUnit>,
    /// Draw this ring: a code or dimensions; may be given again
    #[arg(long, value_name = "RING")]
    ring: Vec<InUnit>,
    #[command(flatten)]
    out: SheetOut,
}

pub(super) fn run(args: &SheetArgs, settings: &Settings) -> Result<Outcome> {
    match &args.sheet {
        SheetCommand::Rings(rings) => run_rings(rings, settings),
        SheetCommand::Gland(gland) => run_gland(gland, settings),
        SheetCommand::Parts(parts) => run_parts(parts, settings),
        SheetCommand::Assembly(assembly) => run_assembly(assembly, settings),
        SheetCommand::Labels(labels) => sheet_labels::run(labels, settings),
        SheetCommand::Make(make) => run_make(make, settings),
        SheetCommand::ReadLabel(read) => sheet_labels::read(read, settings),
        SheetCommand::Release(release) => run_release(release, settings),
        SheetCommand::Book(book) => run_book(book, settings),
    }
}

fn run_rings(args: &RingsArgs, settings: &Settings) -> Result<Outcome> {
    let unit = settings.unit();
    let report = if let Some(model) = &args.model {
        outlines_of_model(&settings.book()?, model)?
    } else if let (Some(family), Some(section)) = (args.family, &args.section) {
        outlines_of_family(family, section.length(unit)?)
    } else {
        let rings: Vec<String> = args.ring.iter().map(|ring| ring.text.clone()).collect();
        outlines_of_codes(&rings, unit).map_err(|(at, error)| args.ring[at].refused(&error))?
    };
    if report.rings.is_empty() {
        return Err(CliError::input(format!(
            "{}: there is no ring to draw",
            report.title
        )));
    }
    let (look, title) = (&args.out.look, report.title.clone());
    let frame = if args.model.is_some() {
        look.frame("Ring sheet", title, settings)?
    } else {
        look.frame_beside_book("Ring sheet", title, settings)
    };
    args.out.write(&sheets::rings(&report, frame), settings)
}

fn run_parts(args: &PartsSheetArgs, settings: &Settings) -> Result<Outcome> {
    let question = args.parts.question(settings)?;
    let report = parts_list(&settings.book()?, &question)?;
    let costs = match question.reader {
        Reader::Owner => None,
        Reader::Shop => {
            let shelf_life = LifeRule {
                system: ShelfLifeSystem::Sae,
                now: this_quarter(),
            };
            Some(part_costs(&settings.book()?, &question, shelf_life))
        }
    };
    let title = format!("Parts of {}", report.list.model);
    let frame = args.out.look.frame("Parts sheet", title, settings)?;
    args.out
        .write(&sheets::parts(&report, &costs, frame), settings)
}

fn run_assembly(args: &AssemblyArgs, settings: &Settings) -> Result<Outcome> {
    let question = AssemblyQuestion {
        model: args.model.clone().into(),
        serial: args.serial.clone().map(Into::into),
        gas: args.gas.statement(),
    };
    let report = assembly(&settings.book()?, &question)?;
    let title = format!("Assembly of {}", report.model);
    let frame = args.out.look.frame("Assembly sheet", title, settings)?;
    args.out.write(&sheets::assembly(&report, frame), settings)
}

/// A ring in its gland: section to scale, figures against limits, checks with sources
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  ringwright sheet gland --kind piston --bore \"25.40+0.05/-0 mm\" --groove \"22.40±0.02 mm\" --width 2.4mm \\\n      \
    --piston 25.35mm --ring \"21.95x1.78 mm NBR 90\" --out gland.pdf\n  \
    ringwright sheet gland \"Tarn 2\" 3 --out gland.pdf"
)]
struct GlandSheetArgs {
    #[command(flatten)]
    line: LineArgs,
    #[command(flatten)]
    gland: GlandFlags,
    /// The ring: a code or dimensions, tolerances allowed
    #[arg(long, value_name = "RING", allow_hyphen_values = true)]
    ring: Option<RingText>,
    #[command(flatten)]
    out: SheetOut,
}

fn run_gland(args: &GlandSheetArgs, settings: &Settings) -> Result<Outcome> {
    let (listed, groove) = args.line.ring_and_groove(settings)?;
    let question = args.gland.question(groove, settings)?;
    let (ring, report) = checked(&question, args.ring.as_ref(), listed, settings)?;
    let named = report
        .ring
        .codes
        .first()
        .cloned()
        .unwrap_or_else(|| ring.trim().to_owned());
    let title = format!("{named} in a {} gland", report.kind.word());
    let out = &args.out;
    let frame = out.look.frame_beside_book("Gland sheet", title, settings);
    out.write(&sheets::gland(&report, &question.spec, frame), settings)
}

/// A part that cannot be bought, drawn in true size to be made: a seat, gasket, shim, filter, diaphragm, washer or flap
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright sheet make \"Tarn 2\" \"seat in piston stem\" --out seat.pdf\n  \
    ringwright sheet make Tarn 4 --out filter.svg --bar \"99.2 mm\""
)]
struct MakeSheetArgs {
    /// The model; its maker may be left out
    #[arg(value_name = "MODEL")]
    model: Model,
    /// The part: its line in the parts list, by number or by its words
    #[arg(value_name = "LINE")]
    line: Line,
    #[command(flatten)]
    out: SheetOut,
}

fn run_make(args: &MakeSheetArgs, settings: &Settings) -> Result<Outcome> {
    let found = part_to_make(&settings.book()?, &args.model, &args.line);
    let report = found.map_err(|error| match error {
        MakeError::NoLine(error) => error.into(),
        other @ MakeError::OtherForm { .. } => CliError::input(other),
    })?;
    let line = &report.line;
    let title = format!("{} {} of {}", line.part, line.position, report.model);
    let frame = args.out.look.frame("Make-it sheet", title, settings)?;
    args.out.write(&sheets::make(&report, frame), settings)
}

/// The release of a job: as found, parts and lots, as left, tested and not tested, who answers for it
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  ringwright sheet release 1 --out release.pdf\n\nA job that is open, misses something, \
        was closed without release, or was changed in the file gives a sheet that says so,\nand the exit code 1."
)]
struct ReleaseSheetArgs {
    /// The job
    #[arg(value_name = "JOB")]
    job: i64,
    #[command(flatten)]
    out: SheetOut,
}

fn run_release(args: &ReleaseSheetArgs, settings: &Settings) -> Result<Outcome> {
    let desk = JobDesk {
        book: &settings.book()?,
        limits: &limits_of(None)?,
    };
    let job = desk.show(args.job)?;
    let state = &job.state;
    let (kind, answer) = if job.is_released() {
        ("Release sheet", Answer::Yes)
    } else {
        ("NOT RELEASED", Answer::No)
    };
    let title = format!("Job {}: {}, {}", state.job, state.model, state.serial);
    let pages = sheets::release(&job, args.out.look.frame(kind, title, settings)?);
    args.out.write_with(&pages, settings, answer)
}

/// Everything recorded for a model or the whole book, as one HTML file with contents and search
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  ringwright sheet book --out shop.html\n  ringwright sheet book \"Tarn 2\" --out tarn-2.html"
)]
struct BookSheetArgs {
    /// The model (default: every model of the book)
    #[arg(value_name = "MODEL")]
    model: Option<Model>,
    /// The file to write; its ending is .html
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// The folder in which the photographs lie that notes name; they are put into the file
    #[arg(long, value_name = "FOLDER")]
    photos: Option<PathBuf>,
    #[command(flatten)]
    look: SheetLook,
}

fn run_book(args: &BookSheetArgs, settings: &Settings) -> Result<Outcome> {
    let end = args.out.extension().and_then(|e| e.to_str()).unwrap_or("");
    if !matches!(end.to_ascii_lowercase().as_str(), "html" | "htm") {
        return Err(CliError::input(
            "the book is an HTML file: give --out a name that ends in .html",
        ));
    }
    let book = whole_book(
        &settings.book()?,
        args.model.as_deref(),
        args.photos.as_deref(),
    )?;
    let look = &args.look;
    let frame = look.frame("Model book", book.title.clone(), settings)?;
    let title = format!("{}: {}", frame.kind, frame.title);
    let file = put(&args.out, sheets::book(&book, &frame).as_bytes())?;
    let written = SheetWritten {
        title,
        pages: None,
        paper: None,
        files: vec![file],
    };
    settings.answer(&written, Answer::Yes)
}
