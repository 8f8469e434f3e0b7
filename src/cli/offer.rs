//! `offer`: suppliers' price lists, and what is in them.

use super::context::Settings;
use super::error::CliError;
use super::note_add::now;
use super::outcome::{Answer, Outcome};
use super::progress::ProgressBar;
use crate::app::offer_import::{ImportError, ImportQuestion, import_offers};
use crate::app::offer_supplier::{TermsError, set_supplier_terms, suppliers};
use crate::core::quantity::{Currency, Money, parse_date, parse_money};
use crate::render::visible;
use clap::{Args, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Price lists of suppliers: read them in, search them, say what an order costs beside the goods
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright offer import list.csv --supplier \"Harbour Seals\" --currency EUR --tax excluded --date 2026-03-01\n  \
    ringwright offer supplier \"Harbour Seals\" --carriage \"4.50 EUR\" --minimum \"10 EUR\"\n  ringwright offer supplier"
)]
pub(super) struct OfferArgs {
    #[command(subcommand)]
    task: OfferTask,
}

#[derive(Debug, Subcommand)]
enum OfferTask {
    /// Read a price list (CSV or .xlsx) in place of the supplier's former one; former prices are kept as history
    Import(ImportArgs),
    /// Show the suppliers, or keep what an order at one costs beside the goods
    Supplier(SupplierArgs),
}

#[derive(Debug, Args)]
struct ImportArgs {
    /// The price list
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Whose list it is
    #[arg(long, value_name = "NAME")]
    supplier: String,
    /// Which column holds what, as number=1,description=2,pack=3,price=4,price-from-10=5 (else: each, id, section, material, hardness, currency)
    #[arg(long, value_name = "COLUMNS")]
    mapping: Option<String>,
    /// The currency of the prices, in ISO 4217 letters
    #[arg(long, value_name = "LETTERS", value_parser = currency)]
    currency: Currency,
    /// Whether tax is in the prices
    #[arg(long, value_enum, value_name = "TAX")]
    tax: TaxWord,
    /// The day from which the prices hold, year-month-day
    #[arg(long, value_name = "DATE")]
    date: String,
    /// Where rejected rows go (else beside the list, with .rejects.csv behind its name)
    #[arg(long, value_name = "FILE")]
    rejects: Option<PathBuf>,
    /// Only show how the columns would be read
    #[arg(long)]
    preview: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum, PartialEq)]
enum TaxWord {
    Included,
    Excluded,
}

#[derive(Debug, Args)]
struct SupplierArgs {
    /// The supplier; without a name all are shown
    #[arg(value_name = "NAME")]
    name: Option<String>,
    /// What an order costs beside the goods, as "4.50 EUR"
    #[arg(long, value_name = "MONEY", requires = "name")]
    carriage: Option<String>,
    /// The least value of goods that an order is charged with, as "10 EUR"
    #[arg(long, value_name = "MONEY", requires = "name")]
    minimum: Option<String>,
}

fn currency(text: &str) -> Result<Currency, String> {
    Currency::from_word(text).ok_or_else(|| "write ISO 4217 letters, as EUR, USD or GBP".to_owned())
}

pub(super) fn run(args: &OfferArgs, settings: &Settings) -> Result<Outcome, CliError> {
    match &args.task {
        OfferTask::Import(args) => import(args, settings),
        OfferTask::Supplier(args) => supplier(args, settings),
    }
}

fn import(args: &ImportArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let date = parse_date(&args.date).map_err(|e| CliError::quantity("--date", &args.date, &e))?;
    if args.supplier.trim().is_empty() {
        return Err(CliError::input(
            "--supplier names nobody: write the supplier's name",
        ));
    }
    let question = ImportQuestion {
        file: args.file.clone(),
        supplier: args.supplier.clone(),
        mapping: args.mapping.clone(),
        currency: args.currency,
        tax_included: args.tax == TaxWord::Included,
        price_date: date.value.to_string(),
        imported_at: now(),
        rejects: args.rejects.clone(),
        preview: args.preview,
    };
    let size = std::fs::metadata(&args.file).ok().map(|m| m.len());
    let mut bar = ProgressBar::of(size, "rows");
    let done = import_offers(&settings.book()?, &question, &mut |progress| {
        bar.show(progress.rows, progress.bytes);
    });
    bar.clear();
    let report = done.map_err(|error| match error {
        ImportError::Store(error) => error.into(),
        other => CliError::input(visible(&other.to_string())),
    })?;
    settings.answer(&report, Answer::Yes)
}

fn supplier(args: &SupplierArgs, settings: &Settings) -> Result<Outcome, CliError> {
    let place = settings.book()?;
    let report = match &args.name {
        Some(name) if args.carriage.is_some() || args.minimum.is_some() => {
            let carriage = money("--carriage", args.carriage.as_deref())?;
            let minimum = money("--minimum", args.minimum.as_deref())?;
            set_supplier_terms(&place, name, (carriage, minimum)).map_err(|error| match error {
                TermsError::Store(error) => error.into(),
                other @ TermsError::TwoCurrencies => CliError::input(other.to_string()),
            })?
        }
        _ => suppliers(&place)?,
    };
    let answer = if report.suppliers.is_empty() {
        Answer::No
    } else {
        Answer::Yes
    };
    settings.answer(&report, answer)
}

pub(super) fn money(place: &str, text: Option<&str>) -> Result<Option<Money>, CliError> {
    let Some(text) = text else { return Ok(None) };
    let typed = parse_money(text).map_err(|e| CliError::quantity(place, text, &e))?;
    if typed.value.minor < 0 {
        return Err(CliError::input(format!(
            "{place} {text}: write an amount of nought or more"
        )));
    }
    Ok(Some(typed.value))
}
