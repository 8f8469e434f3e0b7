//! `order`: the cheapest order for several models.

use super::context::Settings;
use super::error::CliError;
use super::offer::{currency, money};
use super::outcome::{Answer, Outcome};
use super::parts::enriched_above;
use super::progress::Progress;
use super::stock::RuleWord;
use crate::app::model::find::Found;
use crate::app::model::parts_list::PartsQuestion;
use crate::app::supply::order::{OrderError, OrderQuestion, order};
use crate::core::gas::OxygenThreshold;
use crate::core::quantity::{Currency, Typed, parse_duration};
use crate::render::visible;
use clap::{Args, ValueEnum};

/// Plan the cheapest order for several models at once: packs, price breaks, carriage and minimum by supplier
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright order Tarn=2 \"Tarn 2=1\"\n  ringwright order Beck=3 --spares 1 --ceiling \"2 EUR\"\n\n\
    A model that is given twice is added up. What lies on the shelf (`ringwright stock`) is used first, but nothing past its life. Only lines that the parts list \
    has decided are ordered. Rings must be offered in the polymer and hardness that the list \
    names. Nothing is converted between currencies."
)]
pub(super) struct OrderArgs {
    /// Models with how many of each are rebuilt
    #[arg(value_name = "MODEL=N", required = true)]
    models: Vec<String>,
    /// Spare pieces of every line
    #[arg(long, value_name = "N", default_value_t = 0, value_parser = clap::value_parser!(u32).range(0..=1000))]
    spares: u32,
    /// Buy from lists in this currency
    #[arg(long, value_name = "LETTERS", value_parser = currency)]
    currency: Option<Currency>,
    /// Buy from lists whose prices have tax in them, or not
    #[arg(long, value_enum, value_name = "TAX")]
    tax: Option<TaxWord>,
    /// Flag a line where one piece costs more than this, as "2 EUR"
    #[arg(long, value_name = "MONEY")]
    ceiling: Option<String>,
    /// How long to search for a cheaper order; then the best one found is given, with the most that another could
    /// save
    #[arg(long, value_name = "TIME", default_value = "5 s", value_parser = super::read_by::quantity(parse_duration))]
    budget: Typed<std::time::Duration>,
    /// The system of shelf lives that tells which lots on the shelf are still good
    #[arg(long, value_enum, value_name = "SYSTEM", default_value_t = RuleWord::Iso)]
    rule: RuleWord,
    /// Treat a gas with more oxygen than this as enriched, in per cent
    #[arg(long, value_name = "PERCENT", default_value = "23.5", value_parser = enriched_above)]
    enriched_above: f64,
}

#[derive(Debug, Clone, Copy, ValueEnum, PartialEq)]
enum TaxWord {
    Included,
    Excluded,
}

/// The most units of one model in one order.
const MOST_UNITS: u32 = 1000;

pub(super) fn run(args: &OrderArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let question = OrderQuestion {
        models: args
            .models
            .iter()
            .map(|text| model(text, args))
            .collect::<Result<_, _>>()?,
        spares: args.spares,
        currency: args.currency,
        tax_included: args.tax.map(|tax| tax == TaxWord::Included),
        ceiling: money("--ceiling", args.ceiling.as_deref())?,
        shelf_life: args.rule.now(),
        budget: args.budget.value,
    };
    let _run = Progress::doing("looking for the cheapest order");
    let found = order(&settings.book()?, &question).map_err(|error| match error {
        OrderError::Store(error) => error.into(),
        other => CliError::input(visible(&other.to_string())),
    })?;
    match found {
        Found::Yes(report) => {
            let all_on_shelf = report.lines.iter().any(|line| line.need.from_stock > 0)
                && report.lines.iter().all(|line| line.to_buy == 0);
            let answer = if report.items.is_empty() && !all_on_shelf {
                Answer::No
            } else {
                Answer::Yes
            };
            settings.answer(&report, answer)
        }
        Found::No(missing) => settings.answer(&missing, Answer::No),
    }
}

fn model(text: &str, args: &OrderArgs) -> Result<PartsQuestion, CliError> {
    let (model, units) = text.rsplit_once('=').unwrap_or((text, "1"));
    let build = units
        .trim()
        .parse()
        .ok()
        .filter(|n| (1..=MOST_UNITS).contains(n));
    let Some(build) = build.filter(|_| !model.trim().is_empty()) else {
        return Err(CliError::input(visible(&format!(
            "{text:?}: write a model and how many of it, as \"Tarn 2=3\" (1 to {MOST_UNITS})"
        ))));
    };
    Ok(PartsQuestion {
        build,
        threshold: OxygenThreshold::of_share(args.enriched_above / 100.0),
        ..PartsQuestion::of_one(model.trim())
    })
}
