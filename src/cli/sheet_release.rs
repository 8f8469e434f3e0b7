//! `sheet release`: what goes with a unit when it is given back.

use super::job::Desk;
use super::sheet_out::SheetOut;
use super::{Answer, Outcome, Result, Settings};
use crate::render::sheets;
use clap::Args;

/// The release of a job: as found, parts and lots, as left, tested and not tested, who answers for it
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  ringwright sheet release 1 --out release.pdf\n\nA job that is open, misses something, \
        was closed without release, or was changed in the file gives a sheet that says so,\nand the exit code 1."
)]
pub(super) struct ReleaseSheetArgs {
    /// The job
    #[arg(value_name = "JOB")]
    job: i64,
    #[command(flatten)]
    out: SheetOut,
}

pub(super) fn run(args: &ReleaseSheetArgs, settings: &Settings) -> Result<Outcome> {
    let job = Desk::of(settings)?.jobs().show(args.job)?;
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
