//! `demo`: fills a new book with the demo shop.

use super::clock::now;
use super::{Answer, Outcome, Result, Settings};
use crate::app::book::demo::fill_demo;
use clap::Args;

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright demo --book demo.book\n  ringwright --book demo.book parts \"Tarn 2\"\n\n\
    A book that holds notes is refused."
)]
pub(super) struct DemoArgs {}

pub(super) fn run(_: &DemoArgs, settings: &Settings) -> Result<Outcome> {
    let report = fill_demo(&settings.book()?, &now())?;
    settings.answer(&report, Answer::Yes)
}
