//! `sheet gland`: a ring in its gland, drawn and checked.

use super::gland::{question_error, ring_words};
use super::gland_flags::GlandFlags;
use super::listed::LineArgs;
use super::noun::RingText;
use super::sheet_out::SheetOut;
use super::{Outcome, Result, Settings};
use crate::app::gland::check::check_gland;
use crate::render::sheets;
use clap::Args;

/// A ring in its gland: section to scale, figures against limits, checks with sources
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  ringwright sheet gland --kind piston --bore \"25.40+0.05/-0 mm\" --groove \"22.40±0.02 mm\" --width 2.4mm \\\n      \
    --piston 25.35mm --ring \"21.95x1.78 mm NBR 90\" --out gland.pdf\n  \
    ringwright sheet gland \"Tarn 2\" 3 --out gland.pdf"
)]
pub(super) struct GlandSheetArgs {
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

pub(super) fn run(args: &GlandSheetArgs, settings: &Settings) -> Result<Outcome> {
    let (listed, groove) = args.line.ring_and_groove(settings)?;
    let question = args.gland.question(groove, settings)?;
    let ring = ring_words(
        args.ring.clone().map(Into::into).or(listed),
        &question,
        settings,
    )?;
    let report = check_gland(&question, &ring, settings.unit())
        .map_err(|error| question_error(&error, &ring))?;
    let named = report
        .ring
        .codes
        .first()
        .cloned()
        .unwrap_or_else(|| ring.trim().to_owned());
    let title = format!("{named} in a {} gland", report.kind.word());
    let look = &args.out.look;
    let frame = look.frame_beside_book("Gland sheet", title, settings);
    let pages = sheets::gland(&report, &question.spec, frame);
    args.out.write(&pages, settings)
}
