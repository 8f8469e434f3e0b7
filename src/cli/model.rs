//! `model`: the models of the book, and what the units of one agree on.

use super::noun::Model;
use super::{Answer, Outcome, Result, Settings};
use crate::app::model::list::list_models;
use crate::app::model::show::show_model;
use clap::{Args, Subcommand};

#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  ringwright model list\n  ringwright model show \"Tarn 2\"")]
pub(super) struct ModelArgs {
    #[command(subcommand)]
    task: ModelTask,
}

#[derive(Debug, Subcommand)]
enum ModelTask {
    /// List the models
    List,
    /// Show the units of a model, and what they agree and disagree on
    Show {
        /// The model; its maker may be left out
        #[arg(value_name = "MODEL")]
        model: Model,
    },
}

pub(super) fn run(args: &ModelArgs, settings: &Settings) -> Result<Outcome> {
    let place = settings.book()?;
    match &args.task {
        ModelTask::List => settings.answer(&list_models(&place)?, Answer::Yes),
        ModelTask::Show { model } => settings.answer(&show_model(&place, model)?, Answer::Yes),
    }
}
