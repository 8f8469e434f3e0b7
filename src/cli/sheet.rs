//! `sheet`: what is printed, sticks on a bag or is handed over.

use super::clock::this_quarter;
use super::context::Settings;
use super::error::CliError;
use super::gas_flags::GasFlags;
use super::outcome::{Answer, Outcome};
use super::parts::PartsArgs;
use super::sheet_book::{self, BookSheetArgs};
use super::sheet_gland::{self, GlandSheetArgs};
use super::sheet_labels::{self, LabelsArgs, ReadArgs};
use super::sheet_make::{self, MakeSheetArgs};
use super::sheet_out::{SheetOut, SheetSubject};
use super::sheet_release::{self, ReleaseSheetArgs};
use crate::app::model::find::Found;
use crate::app::model::parts_list::{Reader, parts_list};
use crate::app::sheet::assembly::{AssemblyQuestion, assembly};
use crate::app::sheet::outlines::{outlines_of_codes, outlines_of_family, outlines_of_model};
use crate::app::supply::costs::part_costs;
use crate::core::book::LifeRule;
use crate::core::elastomer::ShelfLifeSystem;
use crate::core::quantity::parse_dimension;
use crate::core::sizes::Standard;
use crate::render::sheets;
use clap::{Args, Subcommand};

/// Print sheets: ring outlines in true size, parts, glands, assembly steps, labels, parts to make, the release of a job, the whole book
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
    Labels(LabelsArgs),
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
    model: String,
    /// The unit whose teardown is reversed (default: the one in work, else the one with most recorded parts)
    #[arg(long, value_name = "NUMBER")]
    serial: Option<String>,
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
    model: Option<String>,
    /// Draw the rings of this family (as in `size table`)
    #[arg(
        long,
        value_name = "FAMILY",
        requires = "section",
        conflicts_with = "ring"
    )]
    family: Option<String>,
    /// Cross-section of the rings of the family
    #[arg(long, value_name = "LENGTH", requires = "family")]
    section: Option<String>,
    /// Draw this ring: a code or dimensions; may be given again
    #[arg(long, value_name = "RING")]
    ring: Vec<String>,
    #[command(flatten)]
    out: SheetOut,
}

pub(super) fn run(args: &SheetArgs, settings: &Settings) -> Result<Outcome, CliError> {
    match &args.sheet {
        SheetCommand::Rings(rings) => run_rings(rings, settings),
        SheetCommand::Gland(gland) => sheet_gland::run(gland, settings),
        SheetCommand::Parts(parts) => run_parts(parts, settings),
        SheetCommand::Assembly(assembly) => run_assembly(assembly, settings),
        SheetCommand::Labels(labels) => sheet_labels::run(labels, settings),
        SheetCommand::Make(make) => sheet_make::run(make, settings),
        SheetCommand::ReadLabel(read) => sheet_labels::read(read, settings),
        SheetCommand::Release(release) => sheet_release::run(release, settings),
        SheetCommand::Book(book) => sheet_book::run(book, settings),
    }
}

fn run_rings(args: &RingsArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let report = if let Some(model) = &args.model {
        match outlines_of_model(&settings.book()?, model)? {
            Found::Yes(report) => report,
            Found::No(missing) => return settings.answer(&missing, Answer::No),
        }
    } else if let (Some(family), Some(section)) = (&args.family, &args.section) {
        let standard = Standard::from_word(family).ok_or_else(|| {
            CliError::input(format!(
                "--family: {family:?} is not known: see ringwright size table"
            ))
        })?;
        let length = parse_dimension(section, settings.unit())
            .map_err(|error| CliError::quantity("--section", section, &error))?;
        outlines_of_family(standard, length.value.nominal)
    } else {
        outlines_of_codes(&args.ring, settings.unit())
            .map_err(|(at, error)| CliError::designation("--ring", &args.ring[at], &error))?
    };
    if report.rings.is_empty() {
        return Err(CliError::input(format!(
            "{}: there is no ring to draw",
            report.title
        )));
    }
    let subject = SheetSubject {
        kind: "Ring sheet",
        title: report.title.clone(),
        from_book: args.model.is_some(),
    };
    let look = args.out.look();
    let pages = sheets::rings(&report, look.frame(subject, settings)?, look.scale()?);
    args.out.write(&pages, settings)
}

fn run_parts(args: &PartsSheetArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let question = args.parts.question(settings)?;
    let report = match parts_list(&settings.book()?, &question)? {
        Found::Yes(report) => report,
        Found::No(missing) => return settings.answer(&missing, Answer::No),
    };
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
    let subject = SheetSubject {
        kind: "Parts sheet",
        title: format!("Parts of {}", report.list.model),
        from_book: true,
    };
    let look = args.out.look();
    let pages = sheets::parts(
        &report,
        &costs,
        look.frame(subject, settings)?,
        look.scale()?,
    );
    args.out.write(&pages, settings)
}

fn run_assembly(args: &AssemblyArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let question = AssemblyQuestion {
        model: args.model.clone(),
        serial: args.serial.clone(),
        gas: args.gas.statement()?,
    };
    let report = match assembly(&settings.book()?, &question)? {
        Found::Yes(report) => report,
        Found::No(missing) => return settings.answer(&missing, Answer::No),
    };
    let subject = SheetSubject {
        kind: "Assembly sheet",
        title: format!("Assembly of {}", report.model),
        from_book: true,
    };
    let look = args.out.look();
    let pages = sheets::assembly(&report, look.frame(subject, settings)?, look.scale()?);
    args.out.write(&pages, settings)
}
