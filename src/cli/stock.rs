//! `stock`: what lies on the shelf, what comes and goes, and the bag of a unit.

use super::clock::{now, this_quarter};
use super::context::Settings;
use super::error::CliError;
use super::outcome::{Answer, Outcome};
use super::parts::PartsRules;
use super::seal::quarter_of_cure;
use crate::app::model::find::Found;
use crate::app::stock::add::{NewLot, StockError, WantedPart, stock_add};
use crate::app::stock::kit::{KitQuestion, stock_kit};
use crate::app::stock::shelf::stock_list;
use crate::app::stock::shelf::{TakeQuestion, stock_take};
use crate::core::book::LifeRule;
use crate::core::elastomer::{Polymer, ShelfLifeSystem};
use crate::core::quantity::{Hardness, Typed, parse_hardness};
use crate::core::sizes::RingTextError;
use crate::render::visible;
use clap::{Args, Subcommand, ValueEnum};

/// The shelf: lots in bins, used in order of expiry, and the bag of parts for a unit
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
    ring: Option<String>,
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
    bin: String,
    /// How many
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
    quantity: u32,
    /// The polymer; never guessed from a colour
    #[arg(long, value_name = "POLYMER", value_parser = super::one_of::polymer())]
    polymer: Option<Polymer>,
    /// The hardness, as 70A
    #[arg(long, value_name = "HARDNESS", value_parser = super::read_by::quantity(parse_hardness))]
    hardness: Option<Typed<Hardness>>,
    /// The lot number
    #[arg(long, value_name = "LOT")]
    lot: Option<String>,
    /// Date code of the cure: 2Q82, 2025-Q2, or 3/94 for the third quarter of 1994
    #[arg(long, value_name = "CODE")]
    cured: Option<String>,
    /// Who sold it
    #[arg(long, value_name = "NAME")]
    supplier: Option<String>,
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
    bin: Option<String>,
    /// What it is for
    #[arg(long = "for", value_name = "UNIT", default_value = "not said")]
    reason: String,
    /// The system of shelf lives
    #[arg(long, value_enum, value_name = "SYSTEM", default_value_t = RuleWord::Iso)]
    rule: RuleWord,
}

#[derive(Debug, Args)]
struct ListArgs {
    #[command(flatten)]
    which: Which,
    /// The system of shelf lives
    #[arg(long, value_enum, value_name = "SYSTEM", default_value_t = RuleWord::Iso)]
    rule: RuleWord,
}

#[derive(Debug, Args)]
struct KitArgs {
    /// The model; its maker may be left out
    #[arg(value_name = "MODEL")]
    model: String,
    /// The unit that the bag is for
    #[arg(long = "for", value_name = "SERIAL")]
    serial: String,
    /// Take the parts from the shelf; without it the bag is only shown
    #[arg(long)]
    take: bool,
    /// The system of shelf lives
    #[arg(long, value_enum, value_name = "SYSTEM", default_value_t = RuleWord::Iso)]
    rule: RuleWord,
    #[command(flatten)]
    rules: PartsRules,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum RuleWord {
    Iso,
    Sae,
}

impl RuleWord {
    pub(super) fn now(self) -> LifeRule {
        LifeRule {
            system: match self {
                Self::Iso => ShelfLifeSystem::Iso,
                Self::Sae => ShelfLifeSystem::Sae,
            },
            now: this_quarter(),
        }
    }
}

impl Which {
    fn read(&self, settings: &Settings) -> Result<Option<WantedPart>, CliError> {
        match (&self.ring, &self.part) {
            (Some(ring), _) => WantedPart::ring(ring, settings.unit())
                .map(Some)
                .map_err(|error| wrong(error, Some(ring))),
            (None, Some(words)) if words.trim().is_empty() => Err(CliError::input(
                "--part is empty: write the part as the parts list names it",
            )),
            (None, Some(words)) => Ok(Some(WantedPart::words(words))),
            (None, None) => Ok(None),
        }
    }

    fn required(&self, settings: &Settings) -> Result<WantedPart, CliError> {
        self.read(settings)?.ok_or_else(|| {
            CliError::input(
                "which part? Write a ring, as AS568-012, or --part WORDS for anything else",
            )
        })
    }
}

fn wrong(error: StockError, ring: Option<&str>) -> CliError {
    match (error, ring) {
        (StockError::Ring(RingTextError::Unread(error)), Some(ring)) => {
            CliError::designation("the ring", ring, &error)
        }
        (StockError::Store(error), _) => error.into(),
        (other, _) => CliError::input(visible(&other.to_string())),
    }
}

pub(super) fn run(args: &StockArgs, settings: &Settings) -> Result<Outcome, CliError> {
    match &args.task {
        StockTask::Add(args) => add(args, settings),
        StockTask::Take(args) => take(args, settings),
        StockTask::List(args) => {
            let part = args.which.read(settings)?;
            let key = part.as_ref().map(|part| &part.key);
            let report = stock_list(&settings.book()?, key, args.rule.now())?;
            let answer = yes(!report.lots.is_empty());
            settings.answer(&report, answer)
        }
        StockTask::Kit(args) => kit(args, settings),
    }
}

fn yes(is: bool) -> Answer {
    if is { Answer::Yes } else { Answer::No }
}

fn add(args: &AddArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let part = args.which.required(settings)?;
    let new = NewLot {
        part,
        bin: args.bin.clone(),
        quantity: args.quantity,
        polymer: args.polymer,
        hardness: args.hardness.as_ref().map(|typed| typed.value),
        lot: args.lot.clone(),
        cured: args
            .cured
            .as_deref()
            .map(|code| quarter_of_cure(code, this_quarter()))
            .transpose()?,
        supplier: args.supplier.clone(),
        added_at: now(),
    };
    let report = stock_add(&settings.book()?, new).map_err(|error| wrong(error, None))?;
    settings.answer(&report, Answer::Yes)
}

fn take(args: &TakeArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let question = TakeQuestion {
        part: args.which.required(settings)?,
        quantity: args.quantity,
        bin: args.bin.clone(),
        reason: args.reason.clone(),
        rule: args.rule.now(),
        taken_at: now(),
    };
    let report = stock_take(&settings.book()?, &question).map_err(|error| wrong(error, None))?;
    let answer = yes(report.short == 0);
    settings.answer(&report, answer)
}

fn kit(args: &KitArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let question = KitQuestion {
        parts: args.rules.question(&args.model)?,
        unit: args.serial.clone(),
        take: args.take,
        rule: args.rule.now(),
        made_at: now(),
    };
    let kit = stock_kit(&settings.book()?, &question)?;
    match kit {
        Found::Yes(kit) => {
            let answer = yes(kit.complete);
            settings.answer(&kit, answer)
        }
        Found::No(missing) => settings.answer(&missing, Answer::No),
    }
}
