//! `book`: where the book lies, copies of it, and whether it is sound.

use super::clock::now;
use super::noun::Person;
use super::progress::Progress;
use super::{Answer, Outcome, Result, Settings};
use crate::app::book::accept::{AcceptQuestion, accept_note, set_aside};
use crate::app::book::care::{book_backup, book_check, book_mend_search, book_path, book_restore};
use crate::app::book::export::{ExportQuestion, book_export};
use crate::app::book::merge::book_merge;
use crate::core::exchange::AsideReason;
use clap::{Args, Subcommand};
use std::path::PathBuf;

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright book path\n  ringwright book backup /media/stick/shop-2026-03-14.book\n  \
    ringwright book check\n  ringwright book restore /media/stick/shop-2026-03-14.book\n  \
    ringwright book export ours.json --shop \"Lake store room\"\n  ringwright book merge theirs.json\n\n\
    A merged book loses nothing: what contradicts this book is set aside and shown, and merging again changes nothing. Values that \
    typing refuses are refused here too. Job records, lots on a shelf, gauges, known rings and settings stay the other shop's and are \
    kept aside. What comes in is marked with the shop wherever it counts; your own units decide, and a note on a unit of yours waits:\n  \
    ringwright book set-aside\n  ringwright book set-aside --accept \"FT2-004417 2026-03-20\" --by \"A. Lind\""
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
    /// Restore a copy of the book: it is checked first, and the present book is kept beside it
    Restore {
        /// The copy
        #[arg(value_name = "COPY")]
        copy: PathBuf,
    },
    /// Check the book: pages, references, rows, the seals of job records, jobs or last entries that were removed, and
    /// the search of offers; exit code 1 where it is not sound. Write down the seal over all records that it prints:
    /// it alone shows a record that was changed together with all its seals
    Check {
        /// First rebuild the search of offers and all indexes; no row is touched
        #[arg(long)]
        mend_search: bool,
    },
    /// Write the whole book as one JSON file that another shop can merge; an existing file is never overwritten
    Export {
        /// The new file; scanners, and pictures of rings from their pages, stay here
        #[arg(value_name = "NEW-FILE")]
        file: PathBuf,
        /// The name of your shop; kept for the next time
        #[arg(long, value_name = "NAME")]
        shop: Option<String>,
        /// Leave out price lists and former prices
        #[arg(long)]
        no_prices: bool,
    },
    /// Merge an exported book: what is new here is taken, what contradicts this book is set aside; exit code 1 where
    /// something does
    Merge {
        /// The exported book
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
    /// List what was set aside when other books were merged, and the notes of other shops that wait; accept one by name
    SetAside {
        /// Accept a note of another shop as one of yours: words that only it has, as "FT2-004417 2026-03-14"
        #[arg(long, value_name = "NOTE", requires = "by")]
        accept: Option<String>,
        /// Who accepts it
        #[arg(long, value_name = "NAME", requires = "accept")]
        by: Option<Person>,
    },
}

pub(super) fn run(args: &BookArgs, settings: &Settings) -> Result<Outcome> {
    let place = settings.book()?;
    let _run = Progress::doing(args.task.words());
    match &args.task {
        BookTask::Path => settings.answer(&book_path(&place)?, Answer::Yes),
        BookTask::Backup { copy } => settings.answer(&book_backup(&place, copy)?, Answer::Yes),
        BookTask::Restore { copy } => settings.answer(&book_restore(&place, copy)?, Answer::Yes),
        BookTask::Export {
            file,
            shop,
            no_prices,
        } => {
            let question = ExportQuestion {
                shop: shop.clone(),
                prices: !no_prices,
                written_at: now(),
            };
            settings.answer(&book_export(&place, file, &question)?, Answer::Yes)
        }
        BookTask::Merge { file } => {
            let report = book_merge(&place, file, &now())?;
            let contradicts = |reason: AsideReason| reason != AsideReason::Theirs;
            let any = report.set_aside.iter().any(|line| contradicts(line.reason));
            settings.answer(&report, Answer::of(!any))
        }
        BookTask::SetAside {
            accept: Some(note),
            by,
        } => {
            let question = AcceptQuestion {
                note: note.clone(),
                by: by.as_deref().unwrap_or_default().to_owned(),
                at: now(),
            };
            settings.answer(&accept_note(&place, &question)?, Answer::Yes)
        }
        BookTask::SetAside { accept: None, .. } => {
            settings.answer(&set_aside(&place)?, Answer::Yes)
        }
        BookTask::Check { mend_search } => {
            let report = if *mend_search {
                book_mend_search(&place)?
            } else {
                book_check(&place)?
            };
            settings.answer(&report, Answer::of(report.is_sound()))
        }
    }
}

impl BookTask {
    /// Says what is done, for whoever waits.
    const fn words(&self) -> &'static str {
        match self {
            Self::Path => "looking at the book",
            Self::Backup { .. } => "copying the book",
            Self::Restore { .. } => "restoring the book",
            Self::Export { .. } => "writing the book out",
            Self::Merge { .. } => "merging the book",
            Self::SetAside { .. } => "reading what was set aside",
            Self::Check { .. } => "checking the book",
        }
    }
}
