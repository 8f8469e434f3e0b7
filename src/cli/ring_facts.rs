//! The flags of `ring` that say what is known beside the readings of one ring.

use super::context::Settings;
use super::error::CliError;
use crate::app::ring_facts::RingFacts;
use crate::core::gland::{GlandError, geometry};
use crate::core::identification::{PinFact, Prior, StatedFact, countries};
use crate::core::measurement::{Measurand, Reading};
use crate::core::note::read_gland;
use crate::core::quantity::parse_dimension;
use clap::Args;

#[derive(Debug, Args)]
pub(super) struct FactArgs {
    /// The gland that it came out of, as in a note: "piston; bore 25.40 mm; groove 22.40 mm; width 2.4 mm"
    #[arg(long, value_name = "GLAND", conflicts_with = "batch")]
    gland: Option<String>,
    /// Height of several equal rings stacked flat: "5 rings 8.95 mm by caliper"
    #[arg(long, value_name = "STACK", conflicts_with = "batch")]
    stack: Option<String>,
    /// Length of a strip laid inside the ring: its inside circumference
    #[arg(long, value_name = "READINGS", conflicts_with = "batch")]
    girth: Option<String>,
    /// A pin that the ring slides over without being stretched
    #[arg(long, value_name = "LENGTH", conflicts_with = "batch")]
    goes_over: Option<String>,
    /// A pin that it does not slide over
    #[arg(long, value_name = "LENGTH", conflicts_with = "batch")]
    not_over: Option<String>,
    /// What the drawer or label says, as "3/8 x 1/16" or "AS568-012"; it counts, and can be wrong
    #[arg(long, value_name = "RING", conflicts_with = "batch")]
    stated: Option<String>,
    /// The methods at hand for a further reading, as caliper,scan
    #[arg(long, value_name = "METHODS", value_delimiter = ',')]
    have: Vec<String>,
    /// Country of the maker and year of the model, as "us 1962": how common each family then was
    #[arg(long, value_name = "COUNTRY YEAR", conflicts_with = "no_prior")]
    made: Option<String>,
    /// Take every listed ring as equally likely, in however many families it is listed
    #[arg(long, conflicts_with = "prior")]
    no_prior: bool,
}

impl FactArgs {
    /// Takes the prior that these flags ask for, and what to tell of it.
    pub(super) fn prior(&self) -> Result<(Prior, Option<String>), CliError> {
        if self.no_prior {
            return Ok((Prior::none(), None));
        }
        let Some(made) = &self.made else {
            return Ok((Prior::default(), None));
        };
        let wrong = || {
            CliError::input(format!(
                "--made: {made:?} is not understood: write country and year, as \"us 1962\"; countries: {}",
                countries().join(", ")
            ))
        };
        let (prior, row) = Prior::made_words(made).ok_or_else(wrong)?;
        let told = format!(
            "prior for {} {} to {}: {} ({}; {})",
            row.country, row.from, row.to, row.weights, row.reason, row.source
        );
        Ok((prior, Some(told)))
    }

    /// Returns what a label says, as it was typed.
    pub(super) fn stated_text(&self) -> Option<&str> {
        self.stated.as_deref()
    }

    /// Reads the inside circumference as an inside diameter.
    pub(super) fn girth(&self, settings: &Settings) -> Result<Option<Reading>, CliError> {
        let Some(text) = &self.girth else {
            return Ok(None);
        };
        let mut reading = Reading::parse(Measurand::Id, text, settings.unit())
            .map_err(|error| CliError::quantity("--girth", text, &error))?;
        for value in &mut reading.values {
            *value /= std::f64::consts::PI;
        }
        if reading.method.is_empty() {
            "strip".clone_into(&mut reading.method);
        }
        Ok(Some(reading))
    }

    /// Reads the other facts.
    pub(super) fn facts(&self, settings: &Settings) -> Result<RingFacts, CliError> {
        let pin = |flag: &str, text: &Option<String>| {
            let Some(text) = text else { return Ok(None) };
            let length = parse_dimension(text, settings.unit())
                .map_err(|error| CliError::quantity(flag, text, &error))?;
            Ok::<_, CliError>(Some(length.value.nominal.mm()))
        };
        let pins = PinFact {
            goes: pin("--goes-over", &self.goes_over)?,
            stops: pin("--not-over", &self.not_over)?,
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
        let stated = self.stated.as_ref().map(|text| {
            StatedFact::read(text, settings.unit())
                .map_err(|error| CliError::designation("--stated", text, &error))
        });
        let gland = self.gland.as_ref().map(|text| {
            read_gland(text, settings.unit()).map_err(|found| {
                let first = &found[0];
                let remedy = first
                    .remedy
                    .as_deref()
                    .map_or(String::new(), |r| format!(": {r}"));
                CliError::at(
                    "--gland",
                    text,
                    first.span,
                    &format!("{}{remedy}", first.message),
                )
            })
        });
        let gland = gland.transpose()?;
        if let (Some(spec), Some(text)) = (&gland, &self.gland)
            && let Err(error) = geometry(spec)
            && !matches!(error, GlandError::Missing { .. })
        {
            return Err(CliError::input(format!("--gland {text:?}: {error}")));
        }
        Ok(RingFacts {
            gland,
            stack: self
                .stack
                .as_ref()
                .map(|text| stack(text, settings))
                .transpose()?,
            pins: (pins != PinFact::default()).then_some(pins),
            stated: stated.transpose()?,
            have: self
                .have
                .iter()
                .map(|word| word.trim().to_lowercase())
                .collect(),
        })
    }
}

fn stack(text: &str, settings: &Settings) -> Result<(u16, Reading), CliError> {
    let wrong = || {
        CliError::input(format!(
            "--stack: {text:?} is not understood: write \"5 rings 8.95 mm by caliper\""
        ))
    };
    let (rings, height) = text.split_once("rings").ok_or_else(wrong)?;
    let rings: u16 = rings.trim().parse().map_err(|_| wrong())?;
    if rings < 2 {
        return Err(wrong());
    }
    let reading = Reading::parse(Measurand::Stack, height.trim(), settings.unit())
        .map_err(|error| CliError::quantity("--stack", height.trim(), &error))?;
    Ok((rings, reading))
}
