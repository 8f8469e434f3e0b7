//! What a command gives back.

use super::error::CliError;
use crate::core::caution::Caution;
use crate::render::visible_page;
use std::io::Write;
use std::process::ExitCode;

/// Says whether the answer is yes or no, or that the input is wrong; the exit code follows it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    /// Done.
    Yes,
    /// Done, and the answer is no: nothing found, or a check rejects.
    No,
    /// Done, and the input is wrong; the answer says where.
    Wrong,
}

impl Answer {
    /// Answers a question.
    pub const fn of(yes: bool) -> Self {
        if yes { Self::Yes } else { Self::No }
    }
}

/// The text of an answer with its exit code and warnings.
#[derive(Debug)]
pub struct Outcome {
    text: String,
    answer: Answer,
    warnings: Vec<String>,
    shown: Option<String>,
    caution: Option<Caution>,
}

impl Outcome {
    /// Makes an outcome.
    pub fn new(text: String, answer: Answer) -> Self {
        Self {
            text,
            answer,
            warnings: Vec::new(),
            shown: None,
            caution: None,
        }
    }

    /// Adds a warning, which goes to standard error.
    #[must_use]
    pub fn warn(mut self, warning: impl Into<String>) -> Self {
        self.warnings.push(warning.into());
        self
    }

    /// Adds a caution, which goes to standard error: of an answer whose form has no room for one.
    #[must_use]
    pub fn caution(mut self, caution: Caution) -> Self {
        self.caution = Some(caution);
        self
    }

    /// Adds warnings that are laid out already, which go to standard error.
    #[must_use]
    pub fn show(mut self, warnings: String) -> Self {
        self.shown = Some(warnings);
        self
    }

    /// Prints warnings and text and returns the exit code; a reader that stops early (broken pipe) is no failure, and an answer that
    /// cannot be written has an exit code of its own, because the work is done.
    pub(super) fn print(self) -> ExitCode {
        for warning in &self.warnings {
            let _ = writeln!(std::io::stderr(), "warning: {}", visible_page(warning));
        }
        if let Some(shown) = &self.shown {
            let _ = writeln!(std::io::stderr(), "{}\n", visible_page(shown));
        }
        if let Some(caution) = self.caution {
            let _ = writeln!(std::io::stderr(), "CAUTION: {}", caution.words());
        }
        let mut out = std::io::stdout().lock();
        let written = out
            .write_all(self.text.as_bytes())
            .and_then(|()| out.flush());
        match written {
            Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
                CliError::Unwritten(error).print()
            }
            _ => match self.answer {
                Answer::Yes => ExitCode::SUCCESS,
                Answer::No => ExitCode::from(1),
                Answer::Wrong => ExitCode::from(2),
            },
        }
    }
}
