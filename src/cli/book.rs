//! `book`: where the book lies, copies of it, and whether it is sound.

use super::context::Settings;
use super::error::CliError;
use super::outcome::{Answer, Outcome};
use crate::app::book_backup::book_backup;
use crate::app::book_check::book_check;
use crate::app::book_path::book_path;
use crate::app::book_restore::book_restore;
use clap::{Args, Subcommand};
use std::path::PathBuf;

/// Look after the book: where it lies, copies of it, whether it is sound
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright book path\n  ringwright book backup /media/stick/shop-2026-03-14.book\n  \
    ringwright book check\n  ringwright book restore /media/stick/shop-2026-03-14.book"
)]
pub(super) struct BookArgs {
    #[command(subcommand)]
    task: BookTask,
}

#[derive(Debug, Subcommand)]
enum BookTask {
    /// Say where the book lies and what is in it
    Path,
    /// Copy the book to a new file; an existing file is never overwritten
    Backup {
        /// The new file
        #[arg(value_name = "NEW-FILE")]
        copy: PathBuf,
    },
    /// Put a copy in the place of the book; the copy is checked first, the present book is kept beside it
    Restore {
        /// The copy
        #[arg(value_name = "COPY")]
        copy: PathBuf,
    },
    /// Examine the book: every page, every reference, every row, every seal of a job record; exit code 1 where it is not sound
    Check,
}

pub(super) fn run(args: &BookArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let place = settings.book()?;
    match &args.task {
        BookTask::Path => settings.answer(&book_path(&place)?, Answer::Yes),
        BookTask::Backup { copy } => settings.answer(&book_backup(&place, copy)?, Answer::Yes),
        BookTask::Restore { copy } => settings.answer(&book_restore(&place, copy)?, Answer::Yes),
        BookTask::Check => {
            let report = book_check(&place)?;
            let answer = if report.is_sound() {
                Answer::Yes
            } else {
                Answer::No
            };
            settings.answer(&report, answer)
        }
    }
}
