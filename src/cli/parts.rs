//! `parts`: the parts list of a model.

use super::dialogue::{ask, can_ask, is_yes};
use super::gas_flags::GasFlags;
use super::note::join_lines;
use super::noun::Model;
use super::one_of::one_of;
use super::read_by::read_by;
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::model::find::last_model;
use crate::app::model::parts_list::{PartWhy, PartsQuestion, PartsReport, Reader, parts_list};
use crate::core::gas::OxygenThreshold;
use crate::core::identification::Prior;
use crate::core::note::PartKind;
use clap::Args;

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright parts \"Tarn 2\"\n  ringwright parts Beck --units 3 --for owner\n  \
    ringwright parts Tarn --format csv > tarn-parts.csv\n  ringwright parts Tarn --gas EAN32\n\n\
    With --gas or --oxygen the list is that for use with this gas, whatever the notes of the units say. Polymer and hardness are chosen from the duty of each ring, never from its colour. Oxygen thresholds that bodies name: \
    22 % (EN 144-3 and EN 13949), 23.5 % (CGA usage), 30 % (US facilities criteria), 40 % (46 CFR 197.326 and NOAA)."
)]
pub(super) struct PartsArgs {
    /// The model; its maker may be left out; else the one of the note that was added last
    #[arg(value_name = "MODEL")]
    model: Option<Model>,
    /// How many units are to be built
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=10_000))]
    units: u32,
    /// For whom: owner (what goes in, in brief) or shop (everything)
    #[arg(long = "for", value_name = "READER", default_value = "shop", value_parser = one_of::<Reader>())]
    reader: Reader,
    #[command(flatten)]
    rules: PartsRules,
}

// By which rules the parts of a model are chosen.
#[derive(Debug, Args)]
pub(super) struct PartsRules {
    /// Treat a gas with more oxygen than this as enriched, in per cent
    #[arg(long, value_name = "PERCENT", default_value = "23.5", value_parser = enriched_above)]
    enriched_above: OxygenThreshold,
    #[command(flatten)]
    gas: GasFlags,
    /// How common each family is in this maker's units, as as568=5,jis-v=0 (families as in `size table`)
    #[arg(long, value_name = "WEIGHTS", value_parser = read_by(prior))]
    prior: Option<Prior>,
}

/// The highest threshold from which any body treats a gas as enriched, in per cent (recalled: 40 % of older diving practice).
const MOST_THRESHOLD_PCT: f64 = 40.0;

/// Reads the share of oxygen above which a gas is treated as enriched, in per cent.
pub(super) fn enriched_above(text: &str) -> Result<OxygenThreshold, String> {
    let number = text.trim().trim_end_matches('%').trim();
    threshold_in_range(number.parse().unwrap_or(f64::NAN))
}

/// Refuses a threshold in per cent that no body sets; what is no number is none either.
pub(super) fn threshold_in_range(pct: f64) -> Result<OxygenThreshold, String> {
    if (20.9..=MOST_THRESHOLD_PCT).contains(&pct) {
        Ok(OxygenThreshold::of_share(pct / 100.0))
    } else {
        Err(format!(
            "write a share of oxygen in per cent from 20.9 (air) to {MOST_THRESHOLD_PCT} (no body sets it higher), as 23.5"
        ))
    }
}

impl PartsArgs {
    /// Makes the question that the words ask.
    ///
    /// # Errors
    /// No model is named and the book has no note.
    pub(super) fn question(&self, settings: &Settings) -> Result<PartsQuestion> {
        let model = match &self.model {
            Some(model) => model.clone().into(),
            None => last_model(&settings.book()?)?.ok_or_else(|| {
                CliError::input(
                    "which model? The book holds no note yet: `ringwright note add FILE` adds one",
                )
            })?,
        };
        Ok(PartsQuestion {
            build: self.units,
            reader: self.reader,
            ..self.rules.question(&model)
        })
    }
}

impl PartsRules {
    /// Asks for the parts of one unit of a model, everything shown.
    pub(super) fn question(&self, model: &str) -> PartsQuestion {
        PartsQuestion {
            threshold: self.enriched_above.clone(),
            gas: self.gas.statement(),
            prior: self.prior.clone().unwrap_or_default(),
            ..PartsQuestion::of_one(model)
        }
    }
}

/// Reads how common each family is taken to be.
fn prior(flag: &str, text: &str) -> Result<Prior> {
    let read = Prior::default().with_words(text);
    read.map_err(|error| CliError::input(format!("{flag}: {error}")))
}

pub(super) fn run(args: &PartsArgs, settings: &Settings) -> Result<Outcome> {
    let question = args.question(settings)?;
    let list = || Ok::<_, CliError>(parts_list(&settings.book()?, &question)?);
    let mut report = list()?;
    while joined(&report, settings)? {
        report = list()?;
    }
    match settings.why_words().map(str::parse) {
        None => settings.answer(&report, Answer::Yes),
        Some(Ok(number)) => why(report, number, settings),
        Some(Err(_)) => Err(CliError::input(
            "--why: write the number of a line of the list, as --why 7",
        )),
    }
}

/// Asks on a terminal whether lines that may be one place are one; tells whether two were joined, and the list is another.
fn joined(report: &PartsReport, settings: &Settings) -> Result<bool> {
    if !can_ask(settings) {
        return Ok(false);
    }
    let list = &report.list;
    for pair in &list.near {
        let line = |number: usize| list.lines.iter().find(|line| line.number == number);
        let (Some(a), Some(b)) = (line(pair[0]), line(pair[1])) else {
            continue;
        };
        // The longer name says more, and stays.
        let (from, into) = if a.position.len() > b.position.len() {
            (b, a)
        } else {
            (a, b)
        };
        let asked = format!(
            "{} {} (line {}) and {} (line {}):\none place? y joins them under the second name. [no]",
            from.part, from.position, from.number, into.position, into.number
        );
        if ask(&asked, |line| Ok(is_yes(line)))? == Some(true) {
            let lines = [from.number.to_string(), into.number.to_string()];
            let model = list.model.to_string();
            join_lines(settings, &model, [&lines[0], &lines[1]])?;
            return Ok(true);
        }
    }
    Ok(false)
}

/// Shows what told the ring of one line.
fn why(report: PartsReport, number: usize, settings: &Settings) -> Result<Outcome> {
    let most = report.list.lines.len();
    let model = report.list.model.to_string();
    let mut lines = report.list.lines.into_iter();
    let line = lines.find(|line| line.number == number).ok_or_else(|| {
        CliError::input(format!(
            "--why: the list has no line {number}: write one from 1 to {most}"
        ))
    })?;
    if line.kind != PartKind::Ring {
        return Err(CliError::input(format!(
            "--why: line {number} is not a ring: the list itself says what its size rests on"
        )));
    }
    settings.answer(&PartWhy { model, line }, Answer::Yes)
}
