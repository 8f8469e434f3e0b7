//! `sheet make`: the drawing of a part that cannot be bought.

use super::noun::{Line, Model};
use super::sheet_out::SheetOut;
use super::{CliError, Outcome, Result, Settings};
use crate::app::sheet::make_part::{MakeError, part_to_make};
use crate::render::{sheets, visible};
use clap::Args;

/// A part that cannot be bought, drawn in true size to be made: a seat, gasket, shim, filter, diaphragm, washer or flap
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright sheet make \"Tarn 2\" \"seat in piston stem\" --out seat.pdf\n  \
    ringwright sheet make Tarn 4 --out filter.svg --bar \"99.2 mm\""
)]
pub(super) struct MakeSheetArgs {
    /// The model; its maker may be left out
    #[arg(value_name = "MODEL")]
    model: Model,
    /// The part: its line in the parts list, by number or by its words
    #[arg(value_name = "LINE")]
    line: Line,
    #[command(flatten)]
    out: SheetOut,
}

pub(super) fn run(args: &MakeSheetArgs, settings: &Settings) -> Result<Outcome> {
    let found = part_to_make(&settings.book()?, &args.model, &args.line);
    let report = settings.found(found.map_err(|error| match error {
        MakeError::NoLine(error) => error.into(),
        other @ MakeError::OtherForm { .. } => CliError::input(visible(&other.to_string())),
    })?)?;
    let look = &args.out.look;
    let line = &report.line;
    let title = format!("{} {} of {}", line.part, line.position, report.model);
    let frame = look.frame("Make-it sheet", title, settings)?;
    let pages = sheets::make(&report, frame, look.scale());
    args.out.write(&pages, settings)
}
