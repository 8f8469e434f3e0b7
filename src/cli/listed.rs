//! A line of a parts list, as a command names it: by model and number, or model and words.

use super::context::Settings;
use super::error::CliError;
use crate::app::model::find::Found;
use crate::app::model::line::{NoLine, listed_line};
use crate::core::book::PartLine;
use crate::render::visible;
use clap::Args;

#[derive(Debug, Args)]
pub(super) struct LineArgs {
    /// A model of the book: the ring and its groove are those of its line
    #[arg(value_name = "MODEL", requires = "line")]
    model: Option<String>,
    /// The line of its parts list: number or words
    #[arg(value_name = "LINE")]
    line: Option<String>,
}

impl LineArgs {
    /// Finds the line, where one was named.
    pub(super) fn find(&self, settings: &Settings) -> Result<Option<Found<PartLine>>, CliError> {
        let named = self.model.as_deref().zip(self.line.as_deref());
        named
            .map(|(model, line)| Ok(listed_line(&settings.book()?, model, line)?))
            .transpose()
    }
}

impl From<NoLine> for CliError {
    fn from(error: NoLine) -> Self {
        match error {
            NoLine::Store(error) => error.into(),
            NoLine::NoPlace(_) => Self::input(visible(&error.to_string())),
        }
    }
}
