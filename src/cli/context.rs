//! Settings that every command takes.

use super::error::{CliError, Result};
use super::one_of::one_of;
use super::outcome::{Answer, Outcome};
use crate::core::caution::Caution;
use crate::core::quantity::LengthUnit;
use crate::render::{Depth, Form, Report, render};
use crate::store::BookPlace;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// The settings that every command takes.
#[derive(Debug, Args)]
#[command(next_help_heading = "Every command")]
pub struct Settings {
    /// The form of the answer
    #[arg(long, global = true, default_value = "table", value_name = "FORM", value_parser = one_of::<Form>())]
    format: Form,
    /// Show everything behind the answer
    #[arg(long, global = true)]
    full: bool,
    /// Show reasons and sources; with words: the reason that `job step` and `decide` ask for, or the line of `parts`
    #[arg(long, global = true, value_name = "WORDS", num_args = 0..=1)]
    #[allow(
        clippy::option_option,
        reason = "the flag alone and the flag with words are two things"
    )]
    why: Option<Option<String>>,
    /// The unit of lengths typed without one; otherwise such a number is refused
    #[arg(long, global = true, value_enum, value_name = "UNIT")]
    unit: Option<UnitWord>,
    /// The book to use (else RINGWRIGHT_BOOK, else ringwright/shop.book in the data folder)
    #[arg(long, global = true, env = "RINGWRIGHT_BOOK", value_name = "FILE")]
    book: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum UnitWord {
    Mm,
    In,
}

/// Columns of a page where the terminal does not say.
const PAGE_COLUMNS: u16 = 100;

impl Settings {
    /// Returns the declared unit of bare lengths.
    pub fn unit(&self) -> Option<LengthUnit> {
        self.unit.map(|word| match word {
            UnitWord::Mm => LengthUnit::Mm,
            UnitWord::In => LengthUnit::In,
        })
    }

    /// Returns the form of the answer.
    pub fn form(&self) -> Form {
        self.format
    }

    /// Returns how much of an answer is shown.
    pub fn depth(&self) -> Depth {
        match (self.full, &self.why) {
            (true, _) => Depth::Full,
            (false, Some(None)) => Depth::Why,
            (false, _) => Depth::Answer,
        }
    }

    /// Returns the words that were given with `--why`.
    pub(super) fn why_words(&self) -> Option<&str> {
        self.why.as_ref()?.as_deref()
    }

    /// Returns the place of the book: the one given, or the one in the data folder.
    ///
    /// # Errors
    /// Fails where the system names no home folder.
    pub fn book(&self) -> Result<BookPlace> {
        let usual = || Self::data_file("shop.book").map(BookPlace::default_at);
        let place = self.book.as_ref().map(BookPlace::named).or_else(usual);
        place.ok_or_else(|| {
            CliError::book("no home folder is known: name the book with --book FILE")
        })
    }

    /// Returns a file of the data folder, where the system names a home folder.
    pub(super) fn data_file(name: &str) -> Option<PathBuf> {
        use etcetera::BaseStrategy;
        let base = etcetera::choose_base_strategy().ok()?;
        Some(base.data_dir().join("ringwright").join(name))
    }

    /// Renders a report in the form that was asked for.
    ///
    /// # Errors
    /// Fails where the report has no such form.
    pub fn answer(&self, report: &impl Report, answer: Answer) -> Result<Outcome> {
        let columns = std::env::var("COLUMNS")
            .ok()
            .and_then(|c| c.parse().ok())
            .unwrap_or(PAGE_COLUMNS);
        let text = render(report, self.form(), self.depth(), columns).ok_or_else(|| {
            CliError::input(
                "this answer has no rows to write as CSV: use --format table, json or md",
            )
        })?;
        Ok(Outcome::new(text, answer))
    }

    /// Answers with the name of a ring: rows are copied away from what is said beside them, so its caution is said at once.
    ///
    /// # Errors
    /// As [`Settings::answer`].
    pub(super) fn answer_named(&self, report: &impl Report, answer: Answer) -> Result<Outcome> {
        let outcome = self.answer(report, answer)?;
        Ok(if self.form().is_rows() {
            outcome.caution(Caution::Named)
        } else {
            outcome
        })
    }
}
