//! `sheet make`: the drawing of a part that cannot be bought.

use super::context::Settings;
use super::error::CliError;
use super::outcome::{Answer, Outcome};
use super::sheet_out::{SheetOut, SheetSubject};
use crate::app::model::find::Found;
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
    model: String,
    /// The part: its line in the parts list, by number or by its words
    #[arg(value_name = "LINE")]
    line: String,
    #[command(flatten)]
    out: SheetOut,
}

pub(super) fn run(args: &MakeSheetArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let report = match part_to_make(&settings.book()?, &args.model, &args.line) {
        Ok(Found::Yes(report)) => report,
        Ok(Found::No(missing)) => return settings.answer(&missing, Answer::No),
        Err(MakeError::NoLine(error)) => return Err(error.into()),
        Err(error) => return Err(CliError::input(visible(&error.to_string()))),
    };
    let subject = SheetSubject {
        kind: "Make-it sheet",
        title: format!(
            "{} {} of {}",
            report.line.part, report.line.position, report.model
        ),
        from_book: true,
    };
    let look = args.out.look();
    let pages = sheets::make(&report, look.frame(subject, settings)?, look.scale()?);
    args.out.write(&pages, settings)
}
