//! `sheet gland`: a ring in its gland, drawn and checked.

use super::context::Settings;
use super::error::CliError;
use super::gland::question_error;
use super::gland_flags::GlandFlags;
use super::outcome::Outcome;
use super::sheet_out::{SheetOut, SheetSubject};
use crate::app::gland_check::check_gland;
use crate::core::gland::PortThread;
use crate::render::sheets;
use clap::Args;

/// A ring in its gland: section to scale, figures against limits, checks with sources
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  ringwright sheet gland --kind piston --bore \"25.40+0.05/-0 mm\" --groove \"22.40±0.02 mm\" --width 2.4mm \\\n      \
    --piston 25.35mm --ring \"21.95x1.78 mm NBR 90\" --out gland.pdf"
)]
pub(super) struct GlandSheetArgs {
    #[command(flatten)]
    gland: GlandFlags,
    /// The ring: a code or dimensions, tolerances allowed
    #[arg(long, value_name = "RING", allow_hyphen_values = true)]
    ring: Option<String>,
    #[command(flatten)]
    out: SheetOut,
}

pub(super) fn run(args: &GlandSheetArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let question = args.gland.question(settings.unit())?;
    let ring = args
        .ring
        .clone()
        .or_else(|| question.thread.map(PortThread::ring_words))
        .ok_or_else(|| CliError::input("which ring? give --ring CODE or dimensions".to_owned()))?;
    let report = check_gland(&question, &ring, settings.unit())
        .map_err(|error| question_error(&error, &ring))?;
    let named = report
        .ring
        .codes
        .first()
        .cloned()
        .unwrap_or_else(|| ring.trim().to_owned());
    let subject = SheetSubject {
        kind: "Gland sheet",
        title: format!("{named} in a {} gland", report.kind.word()),
        from_book: false,
    };
    let frame = args.out.look().frame(subject, settings)?;
    let pages = sheets::gland(&report, &question.spec, frame);
    args.out.write(&pages, settings)
}
