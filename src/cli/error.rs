//! Errors as the user sees them, with the exit code of each kind.

use super::usage::usage_words;
use crate::app::book::accept::AcceptError;
use crate::app::book::export::ExchangeError;
use crate::app::job::JobError;
use crate::app::model::decide::DecideError;
use crate::app::model::line::NoLine;
use crate::app::model::uses::UsesError;
use crate::app::ring::known::KnownRingError;
use crate::app::scan::ScanError;
use crate::app::stock::add::StockError;
use crate::app::supply::order::OrderError;
use crate::app::supply::price_list::ImportError;
use crate::app::supply::supplier::TermsError;
use crate::app::supply::tie::TieError;
use crate::core::quantity::{QuantityError, Span};
use crate::core::sizes::DesignationError;
use crate::render::{visible, visible_page};
use crate::store::{NotFound, StoreError};
use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use std::fmt::Display;
use std::io::Write;
use std::process::ExitCode;

/// What a piece of the command line gives: where nothing else is said, its error is one with an exit code.
pub type Result<T, E = CliError> = std::result::Result<T, E>;

/// An error message with its exit code.
#[derive(Debug)]
pub enum CliError {
    /// The input is wrong; exit code 2. The text names the place and the remedy.
    Input(String),
    /// The book cannot be used; exit code 3.
    Book(String),
    /// The answer could not be written to standard output; exit code 4. What the command changes is changed.
    Unwritten(std::io::Error),
    /// The book has nothing of a name; exit code 1. The report of it is the answer, in the form that was asked for.
    NotFound(NotFound),
}

/// Errors of the application that are either the store's or wrong input.
macro_rules! store_or_input {
    ($($error:ident),* $(,)?) => {$(
        impl From<$error> for CliError {
            fn from(error: $error) -> Self {
                match error {
                    $error::Store(error) => error.into(),
                    other => Self::input(other),
                }
            }
        }
    )*};
}
store_or_input!(
    AcceptError,
    DecideError,
    ExchangeError,
    ImportError,
    JobError,
    KnownRingError,
    NoLine,
    OrderError,
    ScanError,
    StockError,
    TermsError,
    TieError,
    UsesError,
);

impl CliError {
    /// Makes an error about the input, of one line.
    pub fn input(message: impl Display) -> Self {
        Self::Input(format!("error: {}", visible(&message.to_string())))
    }

    /// Makes an error about the book, of one line.
    pub fn book(message: impl Display) -> Self {
        Self::Book(format!("error: {}", visible(&message.to_string())))
    }

    /// Makes an error of words that clap read.
    pub(super) fn clap(error: &clap::Error) -> Self {
        Self::Input(usage_words(error).unwrap_or_else(|| error.render().to_string()))
    }

    /// Makes an error that shows the text it is about, with the wrong bytes marked.
    ///
    /// `place` says where the text was given, such as `--od`.
    pub fn at(place: &str, text: &str, span: Span, message: &str) -> Self {
        Self::Input(marked(place, text, span, message))
    }

    /// Makes an error of a quantity typed in `place`.
    pub fn quantity(place: &str, text: &str, error: &QuantityError) -> Self {
        Self::at(place, text, error.span, &error.to_string())
    }

    /// Makes an error of a ring designation typed in `place`.
    pub fn designation(place: &str, text: &str, error: &DesignationError) -> Self {
        Self::at(place, text, error.span(text), &error.to_string())
    }

    pub(super) fn print(self) -> ExitCode {
        let code = match self {
            Self::NotFound(_) => 1,
            Self::Input(_) => 2,
            Self::Book(_) => 3,
            Self::Unwritten(_) => 4,
        };
        let text = self.to_string();
        // Names of files and words of the user stand in it.
        let _ = writeln!(std::io::stderr(), "{}", visible_page(text.trim_end()));
        ExitCode::from(code)
    }
}

impl Display for CliError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Input(text) | Self::Book(text) => f.write_str(text),
            Self::Unwritten(error) => f.write_str(&unwritten(error)),
            Self::NotFound(missing) => write!(f, "error: no {} {:?}", missing.what, missing.asked),
        }
    }
}

impl From<StoreError> for CliError {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::Exists { .. }
            | StoreError::SameFile { .. }
            | StoreError::UnsoundCopy { .. }
            | StoreError::NotEmpty { .. } => Self::input(error),
            StoreError::NotFound(missing) => Self::NotFound(missing),
            _ => Self::book(error),
        }
    }
}

/// Says that the answer is lost and the work is not, so that nobody does it twice.
fn unwritten(error: &std::io::Error) -> String {
    format!(
        "error: the answer cannot be written: {error}; the command itself is done, and what it changes in the book or in files is \
         changed: look there, and do not give it again"
    )
}

/// Shows a text with a span of it marked and the message beside it. Control characters are shown as codes.
fn marked(place: &str, text: &str, span: Span, message: &str) -> String {
    let before = text.get(..span.start).unwrap_or("");
    let inside = text.get(span.range()).unwrap_or("");
    let after = text.get(span.end..).unwrap_or("");
    let (before, inside, after) = (visible(before), visible(inside), visible(after));
    let shown = format!("{before}{inside}{after}");
    let start = before.len();
    let end = start + inside.len();
    let message = visible(message);
    let group = Level::ERROR.primary_title(message.as_str()).element(
        Snippet::source(shown.as_str())
            .path(place)
            .annotation(AnnotationKind::Primary.span(start..end)),
    );
    Renderer::plain().render(&[group])
}

/// Prints what clap has to say: help and version go to standard output with exit code 0, the rest is wrong input.
pub(super) fn print_usage_error(error: &clap::Error) -> ExitCode {
    if let Some(said) = usage_words(error) {
        let said = visible_page(&said);
        let _ = writeln!(
            std::io::stderr(),
            "{said}\nAdd --help to see how the command is written"
        );
        return ExitCode::from(2);
    }
    let plain = error.render().to_string();
    let shown = visible_page(&plain);
    if shown == plain {
        let _ = error.print();
    } else {
        // A word was typed or pasted that would steer the terminal.
        let _ = write!(std::io::stderr(), "{shown}");
    }
    if error.use_stderr() {
        ExitCode::from(2)
    } else {
        ExitCode::SUCCESS
    }
}
