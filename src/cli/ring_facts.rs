//! The flags of `ring` that say what is known beside the readings of one ring.

use super::read_by::{InUnit, read_by};
use super::{CliError, Result, Settings};
use crate::app::ring::question::RingQuestion;
use crate::core::gland::{GlandError, GlandSpec, geometry};
use crate::core::identification::{PinFact, Prior, StatedFact, countries};
use crate::core::measurement::{Measurand, Reading};
use crate::core::note::read_gland;
use crate::core::quantity::{Length, LengthUnit};
use clap::Args;

#[derive(Debug, Args)]
#[command(next_help_heading = "What is known")]
pub(super) struct FactArgs {
    /// The gland that it came out of, as in a note: "piston; bore 25.40 mm; groove 22.40 mm; width 2.4 mm"
    #[arg(long, value_name = "GLAND", conflicts_with = "batch")]
    gland: Option<InUnit>,
    /// Height of several equal rings stacked flat: "5 rings 8.95 mm by caliper"
    #[arg(long, value_name = "STACK", conflicts_with = "batch")]
    stack: Option<InUnit>,
    /// Length of a strip laid inside the ring: its inside circumference
    #[arg(long, value_name = "READINGS", conflicts_with = "batch")]
    girth: Option<InUnit>,
    /// A pin that the ring slides over without being stretched
    #[arg(long, value_name = "LENGTH", conflicts_with = "batch")]
    goes_over: Option<InUnit>,
    /// A pin that it does not slide over
    #[arg(long, value_name = "LENGTH", conflicts_with = "batch")]
    not_over: Option<InUnit>,
    /// What the drawer or label says, as "3/8 x 1/16" or "AS568-012"; it counts, and can be wrong
    #[arg(long, value_name = "RING", conflicts_with = "batch")]
    stated: Option<InUnit>,
    /// The methods at hand for a further reading, as caliper,scan
    #[arg(long, value_name = "METHODS", value_delimiter = ',')]
    have: Vec<String>,
    /// Country of the maker and year of the model, as "us 1962": how common each family then was
    #[arg(long, value_name = "COUNTRY YEAR", conflicts_with = "no_prior", value_parser = read_by(made))]
    made: Option<Made>,
    /// Take every listed ring as equally likely, in however many families it is listed
    #[arg(long, conflicts_with = "prior")]
    no_prior: bool,
}

impl FactArgs {
    /// Takes the prior that these flags ask for, and what to tell of it.
    pub(super) fn prior(&self) -> (Prior, Option<String>) {
        match &self.made {
            _ if self.no_prior => (Prior::none(), None),
            None => (Prior::default(), None),
            Some(Made { prior, told }) => (prior.clone(), Some(told.clone())),
        }
    }

    /// Returns what a label says, as it was typed.
    pub(super) fn stated_text(&self) -> Option<&str> {
        self.stated.as_ref().map(|stated| stated.text.as_str())
    }

    /// Reads the inside circumference as an inside diameter.
    pub(super) fn girth(&self, settings: &Settings) -> Result<Option<Reading>> {
        let Some(girth) = &self.girth else {
            return Ok(None);
        };
        let inside = |text: &str, unit| Reading::parse(Measurand::Id, text, unit);
        let mut reading = girth.read(settings.unit(), inside)?;
        for value in &mut reading.values {
            *value /= std::f64::consts::PI;
        }
        if reading.method.is_empty() {
            "strip".clone_into(&mut reading.method);
        }
        Ok(Some(reading))
    }

    /// Reads the other facts, and puts them beside the readings.
    pub(super) fn beside(
        &self,
        question: RingQuestion,
        settings: &Settings,
    ) -> Result<RingQuestion> {
        let unit = settings.unit();
        let pin = |typed: &Option<InUnit>| {
            let length = typed.as_ref().map(|typed| typed.length(unit)).transpose()?;
            Ok::<_, CliError>(length.map(Length::mm))
        };
        let pins = PinFact {
            goes: pin(&self.goes_over)?,
            stops: pin(&self.not_over)?,
        };
        if pins
            .goes
            .zip(pins.stops)
            .is_some_and(|(goes, stops)| goes >= stops)
        {
            return Err(CliError::input(
                "--goes-over: the ring cannot slide over a pin larger than the one it does not slide over",
            ));
        }
        let stated = self
            .stated
            .as_ref()
            .map(|typed| typed.read(unit, StatedFact::read));
        let gland = self.gland.as_ref().map(|typed| gland(typed, unit));
        let stack = self.stack.as_ref().map(|typed| stack(typed, unit));
        Ok(RingQuestion {
            gland: gland.transpose()?,
            stack: stack.transpose()?,
            pins: (pins != PinFact::default()).then_some(pins),
            stated: stated.transpose()?,
            have: self
                .have
                .iter()
                .map(|word| word.trim().to_lowercase())
                .collect(),
            ..question
        })
    }
}

/// A prior by country and year.
#[derive(Debug, Clone)]
struct Made {
    prior: Prior,
    told: String,
}

fn made(flag: &str, text: &str) -> Result<Made> {
    let (prior, row) = Prior::made_words(text).ok_or_else(|| {
        CliError::input(format!(
            "{flag}: {text:?} is not understood: write country and year, as \"us 1962\"; countries: {}",
            countries().join(", ")
        ))
    })?;
    let told = format!(
        "prior for {} {} to {}: {} ({}; {})",
        row.country, row.from, row.to, row.weights, row.reason, row.source
    );
    Ok(Made { prior, told })
}

fn gland(typed: &InUnit, unit: Option<LengthUnit>) -> Result<GlandSpec> {
    let spec = typed.read(unit, read_gland)?;
    match geometry(&spec) {
        Err(error) if !matches!(error, GlandError::Missing { .. }) => Err(typed.wrong(error)),
        _ => Ok(spec),
    }
}

fn stack(typed: &InUnit, unit: Option<LengthUnit>) -> Result<(u16, Reading)> {
    let read = typed.text.split_once("rings");
    let read = read.and_then(|(rings, height)| Some((rings.trim().parse().ok()?, height)));
    let Some((rings @ 2.., height)) = read else {
        return Err(CliError::input(format!(
            "--stack: {:?} is not understood: write \"5 rings 8.95 mm by caliper\"",
            typed.text
        )));
    };
    let parse = |text: &str, unit| Reading::parse(Measurand::Stack, text, unit);
    Ok((rings, typed.piece(height.trim()).read(unit, parse)?))
}
