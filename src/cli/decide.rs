//! `decide`: what a person decided for a place of a model.

use super::clock::now;
use super::context::Settings;
use super::error::CliError;
use super::outcome::{Answer, Outcome};
use crate::app::model::decide::{
    DecideError, DecisionsReport, NewDecision, Says, decide, decisions, take_back,
};
use crate::app::model::find::Found;
use crate::core::elastomer::Polymer;
use crate::core::quantity::{Hardness, Typed, parse_hardness};
use clap::Args;

/// Record what a person decided for a place of a model: which ring, of what material, who and why; or withdraw it
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
    model: String,
    /// The place: the line of the parts list, or section and position; with --why WORDS, as \"body, at piston stem\"
    #[arg(long, value_name = "PLACE", requires = "by")]
    at: Option<String>,
    /// The ring that goes in there, as a code
    #[arg(long, value_name = "RING", requires = "at")]
    ring: Option<String>,
    /// What it is to be made of, where that is decided too
    #[arg(long, value_name = "LETTERS", requires = "ring", value_parser = super::one_of::polymer())]
    polymer: Option<Polymer>,
    /// Its hardness, where that is decided too, as 90A
    #[arg(long, value_name = "HARDNESS", requires = "ring", value_parser = super::read_by::quantity(parse_hardness))]
    hardness: Option<Typed<Hardness>>,
    /// A maker's or supplier's part number
    #[arg(long, value_name = "WORDS", requires = "ring")]
    part: Option<String>,
    /// Withdraw the decision for this place; it stays in the book as history
    #[arg(long, requires = "at", conflicts_with = "ring")]
    take_back: bool,
    /// Who decides
    #[arg(long, value_name = "NAME")]
    by: Option<String>,
}

pub(super) fn run(args: &DecideArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let place = settings.book()?;
    let Some(at) = &args.at else {
        return shown(decisions(&place, &args.model)?, settings);
    };
    let says = Says {
        person: words("--by", args.by.as_deref())?,
        why: words("--why", settings.why_words())?,
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
                at: at.clone(),
                ring: ring.clone(),
                polymer: args.polymer.map(|polymer| polymer.letters().to_owned()),
                hardness: args.hardness.as_ref().map(|typed| typed.value.to_string()),
                part: args.part.clone(),
            };
            decide(&place, &args.model, &new, &says)
        }
    };
    match kept {
        Ok(found) => shown(found, settings),
        Err(DecideError::Store(error)) => Err(error.into()),
        Err(error) => Err(CliError::input(error.to_string())),
    }
}

fn shown(found: Found<DecisionsReport>, settings: &Settings) -> Result<Outcome, CliError> {
    match found {
        Found::Yes(report) => settings.answer(&report, Answer::Yes),
        Found::No(missing) => settings.answer(&missing, Answer::No),
    }
}

fn words(flag: &str, text: Option<&str>) -> Result<String, CliError> {
    let text = text.unwrap_or_default().trim();
    if text.is_empty() {
        return Err(CliError::input(format!(
            "{flag} is empty: write it out, others will rely on it"
        )));
    }
    Ok(text.to_owned())
}
