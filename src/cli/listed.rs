//! A line of a parts list, as a command names it: by model and number, or model and words.

use super::noun::{Line, Model};
use super::{Result, Settings};
use crate::app::model::line::listed_line;
use crate::core::gland::GlandSpec;
use clap::Args;

#[derive(Debug, Args)]
pub(super) struct LineArgs {
    /// A model of the book: the ring and its groove are those of its line
    #[arg(value_name = "MODEL", requires = "line")]
    model: Option<Model>,
    /// The line of its parts list: number or words
    #[arg(value_name = "LINE")]
    line: Option<Line>,
}

impl LineArgs {
    /// Finds the ring and the groove of the line, where one was named.
    pub(super) fn ring_and_groove(
        &self,
        settings: &Settings,
    ) -> Result<(Option<String>, Option<GlandSpec>)> {
        let (Some(model), Some(line)) = (&self.model, &self.line) else {
            return Ok((None, None));
        };
        let line = listed_line(&settings.book()?, model, line)?;
        Ok(line.ring_and_groove())
    }
}
