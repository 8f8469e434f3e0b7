//! `size`: one ring size, its source, and the same or near rings in other families; `size table` exports them all.

use super::one_of::one_of;
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::model::uses::nickname;
use crate::app::ring::size::{look_up_named, open_table};
use crate::core::sizes::Standard;
use clap::Args;

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright size AS568-012\n  ringwright size -012 --format json\n  \
    ringwright size \"9.25x1.78 mm\"\n  ringwright size \"3/8x1/2x1/16 NBR 70\"\n  \
    ringwright size table --format csv            every listed size\n  \
    ringwright size table --family as568          one family"
)]
pub(super) struct SizeArgs {
    /// The ring as people write it: a code, an old number, or dimensions; or the word `table`
    #[arg(required = true, value_name = "CODE", allow_negative_numbers = true)]
    code: Vec<String>,
    /// With `table`: only this family
    #[arg(long, value_name = "FAMILY", value_parser = one_of::<Standard>())]
    family: Option<Standard>,
}

pub(super) fn run(args: &SizeArgs, settings: &Settings) -> Result<Outcome> {
    if args.code == ["table"] {
        return settings.answer(&open_table(args.family), Answer::Yes);
    }
    if args.family.is_some() {
        return Err(CliError::input(
            "--family goes with `size table`: leave it out, or write `size table`",
        ));
    }
    let typed = args.code.join(" ");
    // A size is looked up without the book, so that a book that cannot be read says nothing here.
    let place = settings.book().ok();
    let names = place.and_then(|place| nickname(&place, &typed).ok());
    let names = names.unwrap_or_default();
    let report = look_up_named(&args.code, &names, settings.unit())
        .map_err(|error| CliError::designation("CODE", &typed, &error))?;
    settings.answer(&report, Answer::Yes)
}
