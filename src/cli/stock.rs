//! `stock`: what lies on the shelf, what comes and goes, and the bag of a unit.

use super::clock::{now, this_quarter};
use super::noun::{Bin, Lot, Model, RingText, Serial, Supplier};
use super::parts::PartsRules;
use super::read_by::read_by;
use super::seal::cured;
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::stock::add::{NewLot, StockError, WantedPart, stock_add};
use crate::app::stock::kit::{KitQuestion, stock_kit};
use crate::app::stock::shelf::stock_list;
use crate::app::stock::shelf::{TakeQuestion, stock_take};
use crate::core::book::LifeRule;
use crate::core::elastomer::{Polymer, Quarter, ShelfLifeSystem};
use crate::core::quantity::{Hardness, Typed, parse_hardness};
use crate::core::sizes::RingTextError;
use clap::{Args, Subcommand};

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright stock add AS568-012 --bin A3 --quantity 50 --polymer NBR --hardness 70A --lot X1 --cured 2025-Q2\n  \
    ringwright stock add --part \"filter disc od 14.9 mm\" --bin B1 --quantity 10\n  ringwright stock list --rule sae\n  \
    ringwright stock take AS568-012 --quantity 2 --for FT-000311\n  ringwright stock kit \"Tarn 2\" --for FT2-004417 --take\n\n\
    One bin holds one lot. Shelf lives are counted by one published system, which is named: iso (ISO 2230) or sae \
    (SAE ARP5316); they differ, and are never blended."
)]
pub(super) struct StockArgs {
    #[command(subcommand)]
    task: StockTask,
}

#[derive(Debug, Subcommand)]
enum StockTask {
    /// Put a lot on the shelf
    Add(AddArgs),
    /// Take parts from the shelf; what expires first goes first
    Take(TakeArgs),
    /// List what lies on the shelf
    List(ListArgs),
    /// Fill the bag of one unit, position by position
    Kit(KitArgs),
}

#[derive(Debug, Args)]
struct Which {
    /// The ring: a code or dimensions, with polymer and hardness beside it if they are known
    #[arg(value_name = "RING", allow_negative_numbers = true)]
    ring: Option<RingText>,
    /// Any other part, in the words of the parts list
    #[arg(long, value_name = "WORDS", conflicts_with = "ring")]
    part: Option<String>,
}

#[derive(Debug, Args)]
struct AddArgs {
    #[command(flatten)]
    which: Which,
    /// The bin
    #[arg(long, value_name = "NAME")]
    bin: Bin,
    /// How many
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
    quantity: u32,
    /// The polymer; never guessed from a colour
    #[arg(long, value_name = "POLYMER", value_parser = super::one_of::one_of::<Polymer>())]
    polymer: Option<Polymer>,
    /// The hardness, as 70A
    #[arg(long, value_name = "HARDNESS", value_parser = super::read_by::reads(parse_hardness))]
    hardness: Option<Typed<Hardness>>,
    /// The lot number
    #[arg(long, value_name = "LOT")]
    lot: Option<Lot>,
    /// Date code of the cure: 2Q82, 2025-Q2, or 3/94 for the third quarter of 1994
    #[arg(long, value_name = "CODE", value_parser = read_by(cured))]
    cured: Option<Quarter>,
    /// Who sold it
    #[arg(long, value_name = "NAME")]
    supplier: Option<Supplier>,
}

#[derive(Debug, Args)]
struct TakeArgs {
    #[command(flatten)]
    which: Which,
    /// How many
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
    quantity: u32,
    /// Take from this bin, even what is past its shelf life, as when you empty a bin
    #[arg(long, value_name = "NAME")]
    bin: Option<Bin>,
    /// What it is for
    #[arg(long = "for", value_name = "UNIT", default_value = "not said")]
    reason: String,
    #[command(flatten)]
    rule: RuleArg,
}

#[derive(Debug, Args)]
struct ListArgs {
    #[command(flatten)]
    which: Which,
    #[command(flatten)]
    rule: RuleArg,
}

#[derive(Debug, Args)]
struct RuleArg {
    /// The system of shelf lives
    #[arg(long, value_name = "SYSTEM", default_value = "iso", value_parser = super::one_of::one_of::<ShelfLifeSystem>())]
    rule: ShelfLifeSystem,
}

impl RuleArg {
    fn now(&self) -> LifeRule {
        LifeRule {
            system: self.rule,
            now: this_quarter(),
        }
    }
}

#[derive(Debug, Args)]
struct KitArgs {
    /// The model; its maker may be left out
    #[arg(value_name = "MODEL")]
    model: Model,
    /// The unit that the bag is for
    #[arg(long = "for", value_name = "SERIAL")]
    serial: Serial,
    /// Take the parts from the shelf; without it the bag is only shown
    #[arg(long)]
    take: bool,
    #[command(flatten)]
    rule: RuleArg,
    #[command(flatten)]
    rules: PartsRules,
}

impl Which {
    fn read(&self, settings: &Settings) -> Result<Option<WantedPart>> {
        match (&self.ring, &self.part) {
            (Some(ring), _) => WantedPart::ring(ring, settings.unit())
                .map(Some)
                .map_err(|error| match error {
                    StockError::Ring(RingTextError::Unread(error)) => {
                        CliError::designation("the ring", ring, &error)
                    }
                    other => other.into(),
                }),
            (None, Some(words)) if words.trim().is_empty() => Err(CliError::input(
                "--part is empty: write the part as the parts list names it",
            )),
            (None, Some(words)) => Ok(Some(WantedPart::words(words))),
            (None, None) => Ok(None),
        }
    }

    fn required(&self, settings: &Settings) -> Result<WantedPart> {
        self.read(settings)?.ok_or_else(|| {
            CliError::input(
                "which part? Write a ring, as AS568-012, or --part WORDS for anything else",
            )
        })
    }
}

pub(super) fn run(args: &StockArgs, settings: &Settings) -> Result<Outcome> {
    match &args.task {
        StockTask::Add(args) => add(args, settings),
        StockTask::Take(args) => take(args, settings),
        StockTask::List(args) => {
            let part = args.which.read(settings)?;
            let key = part.as_ref().map(|part| &part.key);
            let report = stock_list(&settings.book()?, key, args.rule.now())?;
            settings.answer(&report, Answer::of(!report.lots.is_empty()))
        }
        StockTask::Kit(args) => kit(args, settings),
    }
}

fn add(args: &AddArgs, settings: &Settings) -> Result<Outcome> {
    let part = args.which.required(settings)?;
    let new = NewLot {
        part,
        bin: args.bin.clone().into(),
        quantity: args.quantity,
        polymer: args.polymer,
        hardness: args.hardness.as_ref().map(|typed| typed.value),
        lot: args.lot.clone().map(Into::into),
        cured: args.cured,
        supplier: args.supplier.clone().map(Into::into),
        added_at: now(),
    };
    let report = stock_add(&settings.book()?, new)?;
    settings.answer(&report, Answer::Yes)
}

fn take(args: &TakeArgs, settings: &Settings) -> Result<Outcome> {
    let question = TakeQuestion {
        part: args.which.required(settings)?,
        quantity: args.quantity,
        bin: args.bin.clone().map(Into::into),
        reason: args.reason.clone(),
        rule: args.rule.now(),
        taken_at: now(),
    };
    let report = stock_take(&settings.book()?, &question)?;
    settings.answer(&report, Answer::of(report.short == 0))
}

fn kit(args: &KitArgs, settings: &Settings) -> Result<Outcome> {
    let question = KitQuestion {
        parts: args.rules.question(&args.model),
        unit: args.serial.clone().into(),
        take: args.take,
        rule: args.rule.now(),
        made_at: now(),
    };
    let kit = stock_kit(&settings.book()?, &question)?;
    settings.answer(&kit, Answer::of(kit.complete))
}
