//! `decide`: what a person decided for a place of a model.

use super::clock::now;
use super::noun::{Model, PartNumber, Place, RingText};
use super::read_by::{read_by, reads};
use super::uses::relied_on;
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::model::decide::{NewDecision, decide, decisions, take_back};
use crate::core::book::Says;
use crate::core::elastomer::Polymer;
use crate::core::job::Words;
use crate::core::quantity::{Hardness, Typed, parse_hardness};
use clap::Args;

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright decide \"Tarn 2\"\n  ringwright decide \"Tarn 2\" --at \"body, at \
    piston stem\" --ring AS568-011 --by \"A. Lind\" --why \"maker's drawing of 1964\"\n  ringwright decide \"Tarn \
    2\" --at \"body, at piston stem\" --take-back --by \"A. Lind\" --why \"the drawing is of another series\"\n\nA \
    decision stands on every list, order and sheet of the model, with what the evidence says against it. It is never \
    changed: it is withdrawn, and another made. Both stay in the book."
)]
pub(super) struct DecideArgs {
    /// The model; its maker may be left out
    #[arg(value_name = "MODEL")]
    model: Model,
    /// The place: the line of the parts list, or section and position; with --why WORDS, as \"body, at piston stem\"
    #[arg(long, value_name = "PLACE", requires = "by")]
    at: Option<Place>,
    /// The ring that goes in there, as a code
    #[arg(long, value_name = "RING", requires = "at")]
    ring: Option<RingText>,
    /// What it is to be made of, where that is decided too
    #[arg(long, value_name = "LETTERS", requires = "ring", value_parser = super::one_of::one_of::<Polymer>())]
    polymer: Option<Polymer>,
    /// Its hardness, where that is decided too, as 90A
    #[arg(long, value_name = "HARDNESS", requires = "ring", value_parser = reads(parse_hardness))]
    hardness: Option<Typed<Hardness>>,
    /// A maker's or supplier's part number
    #[arg(long, value_name = "WORDS", requires = "ring")]
    part: Option<PartNumber>,
    /// Withdraw the decision for this place; it stays in the book as history
    #[arg(long, requires = "at", conflicts_with = "ring")]
    take_back: bool,
    /// Who decides
    #[arg(long, value_name = "NAME", value_parser = read_by(relied_on))]
    by: Option<Words>,
}

pub(super) fn run(args: &DecideArgs, settings: &Settings) -> Result<Outcome> {
    let place = settings.book()?;
    let Some(at) = &args.at else {
        return settings.answer(&decisions(&place, &args.model)?, Answer::Yes);
    };
    let says = Says {
        person: args.by.clone().map_or_else(String::new, |by| by.words),
        why: relied_on("--why", settings.why_words().unwrap_or(""))?.words,
        at: now(),
    };
    let kept = match &args.ring {
        None if args.take_back => take_back(&place, &args.model, at, &says),
        None => {
            return Err(CliError::input(
                "--at alone decides nothing: give --ring CODE, or --take-back",
            ));
        }
        Some(ring) => {
            let new = NewDecision {
                at: at.clone().into(),
                ring: ring.clone().into(),
                polymer: args.polymer.map(|polymer| polymer.letters().to_owned()),
                hardness: args.hardness.as_ref().map(|typed| typed.value.to_string()),
                part: args.part.clone().map(Into::into),
            };
            decide(&place, &args.model, &new, &says)
        }
    };
    settings.answer(&kept?, Answer::Yes)
}
