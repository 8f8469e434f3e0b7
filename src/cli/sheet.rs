//! `sheet`: what is printed, sticks on a bag or is handed over.

use super::clock::this_quarter;
use super::gas_flags::GasFlags;
use super::noun::{Model, Serial};
use super::parts::PartsArgs;
use super::read_by::InUnit;
use super::sheet_book::{self, BookSheetArgs};
use super::sheet_gland::{self, GlandSheetArgs};
use super::sheet_labels::{self, LabelsArgs, ReadArgs};
use super::sheet_make::{self, MakeSheetArgs};
use super::sheet_out::SheetOut;
use super::sheet_release::{self, ReleaseSheetArgs};
use super::{CliError, Outcome, Result, Settings};
use crate::app::model::parts_list::{Reader, parts_list};
use crate::app::sheet::assembly::{AssemblyQuestion, assembly};
use crate::app::sheet::outlines::{outlines_of_codes, outlines_of_family, outlines_of_model};
use crate::app::supply::costs::part_costs;
use crate::core::book::LifeRule;
use crate::core::elastomer::ShelfLifeSystem;
use crate::core::sizes::Standard;
use crate::render::sheets;
use clap::{Args, Subcommand};

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

fn run_rings(args: &RingsArgs, settings: &Settings) -> Result<Outcome> {
    let unit = settings.unit();
    let report = if let Some(model) = &args.model {
        settings.found(outlines_of_model(&settings.book()?, model)?)?
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
    let pages = sheets::rings(&report, frame, look.scale());
    args.out.write(&pages, settings)
}

fn run_parts(args: &PartsSheetArgs, settings: &Settings) -> Result<Outcome> {
    let question = args.parts.question(settings)?;
    let report = settings.found(parts_list(&settings.book()?, &question)?)?;
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
    let look = &args.out.look;
    let title = format!("Parts of {}", report.list.model);
    let frame = look.frame("Parts sheet", title, settings)?;
    let pages = sheets::parts(&report, &costs, frame, look.scale());
    args.out.write(&pages, settings)
}

fn run_assembly(args: &AssemblyArgs, settings: &Settings) -> Result<Outcome> {
    let question = AssemblyQuestion {
        model: args.model.clone().into(),
        serial: args.serial.clone().map(Into::into),
        gas: args.gas.statement(),
    };
    let report = settings.found(assembly(&settings.book()?, &question)?)?;
    let look = &args.out.look;
    let title = format!("Assembly of {}", report.model);
    let frame = look.frame("Assembly sheet", title, settings)?;
    let pages = sheets::assembly(&report, frame, look.scale());
    args.out.write(&pages, settings)
}
