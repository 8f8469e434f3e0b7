//! `order`: the cheapest order for several models.

use super::clock::this_quarter;
use super::noun::Model;
use super::offer::{TaxWord, currency, money};
use super::parts::enriched_above;
use super::progress::Progress;
use super::read_by::{read_by, reads};
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::model::parts_list::PartsQuestion;
use crate::app::supply::order::{OrderQuestion, order};
use crate::core::book::LifeRule;
use crate::core::elastomer::ShelfLifeSystem;
use crate::core::gas::OxygenThreshold;
use crate::core::quantity::{Currency, Money, Typed, parse_duration};
use clap::Args;

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright order Tarn=2 \"Tarn 2=1\"\n  ringwright order Beck=3 --spares 1 --ceiling \"2 EUR\"\n\n\
    A model that is given twice is added up. What lies on the shelf (`ringwright stock`) is used first, but nothing past its life. Only lines that the parts list \
    has decided are ordered. Rings must be offered in the polymer and hardness that the list \
    names. Nothing is converted between currencies."
)]
pub(super) struct OrderArgs {
    /// Models with how many of each are rebuilt
    #[arg(value_name = "MODEL=N", required = true, value_parser = read_by(wanted))]
    models: Vec<Wanted>,
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
    #[arg(long, value_name = "MONEY", value_parser = read_by(money))]
    ceiling: Option<Money>,
    /// How long to search for a cheaper order; then the best one found is given, with the most that another could
    /// save
    #[arg(long, value_name = "TIME", default_value = "5 s", value_parser = reads(parse_duration))]
    budget: Typed<std::time::Duration>,
    /// The system of shelf lives that tells which lots on the shelf are still good
    #[arg(long, value_name = "SYSTEM", default_value = "iso", value_parser = super::one_of::one_of::<ShelfLifeSystem>())]
    rule: ShelfLifeSystem,
    /// Treat a gas with more oxygen than this as enriched, in per cent
    #[arg(long, value_name = "PERCENT", default_value = "23.5", value_parser = enriched_above)]
    enriched_above: OxygenThreshold,
}

/// A model and how many of it are rebuilt.
#[derive(Debug, Clone)]
struct Wanted {
    model: Model,
    units: u32,
}

/// The most units of one model in one order.
const MOST_UNITS: u32 = 1000;

pub(super) fn run(args: &OrderArgs, settings: &Settings) -> Result<Outcome> {
    let parts = |wanted: &Wanted| PartsQuestion {
        build: wanted.units,
        threshold: args.enriched_above.clone(),
        ..PartsQuestion::of_one(&*wanted.model)
    };
    let question = OrderQuestion {
        models: args.models.iter().map(parts).collect(),
        spares: args.spares,
        currency: args.currency,
        tax_included: args.tax.map(|tax| tax == TaxWord::Included),
        ceiling: args.ceiling,
        shelf_life: LifeRule {
            system: args.rule,
            now: this_quarter(),
        },
        budget: args.budget.value,
    };
    let _run = Progress::doing("looking for the cheapest order");
    let report = order(&settings.book()?, &question)?;
    let all_on_shelf = report.lines.iter().any(|line| line.need.from_stock > 0)
        && report.lines.iter().all(|line| line.to_buy == 0);
    let answer = Answer::of(!report.items.is_empty() || all_on_shelf);
    settings.answer(&report, answer)
}

fn wanted(_: &str, text: &str) -> Result<Wanted> {
    let (model, units) = text.rsplit_once('=').unwrap_or((text, "1"));
    let model = Model::from(model.trim().to_owned());
    match units.trim().parse() {
        Ok(units @ 1..=MOST_UNITS) if !model.is_empty() => Ok(Wanted { model, units }),
        _ => Err(CliError::input(format!(
            "{text:?}: write a model and how many of it, as \"Tarn 2=3\" (1 to {MOST_UNITS})"
        ))),
    }
}
