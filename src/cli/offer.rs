//! `offer`: suppliers' price lists, and what is in them.

use super::clock::now;
use super::noun::{Line, Model, PartNumber, Person, Supplier};
use super::progress::Progress;
use super::read_by::{InUnit, read_by, reads};
use super::{Answer, CliError, Outcome, Result, Settings};
use crate::app::file::read_text;
use crate::app::supply::find::{FindQuestion, find_many, find_offers, list_offers};
use crate::app::supply::price_list::{ImportQuestion, import_offers};
use crate::app::supply::supplier::{set_supplier_terms, suppliers};
use crate::app::supply::tie::{TieQuestion, tie_offer, ties};
use crate::core::job::PersonName;
use crate::core::quantity::{Currency, Date, Length, Money, Typed, parse_date, parse_money};
use crate::core::supply::ListTerms;
use crate::render::{Form, FoundRows};
use crate::store::{RingWindow, Terms};
use clap::{Args, Subcommand, ValueEnum};
use std::path::PathBuf;

#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  ringwright offer import list.csv --supplier \"Harbour Seals\" --currency EUR --tax excluded --date 2026-03-01\n  \
    ringwright offer supplier \"Harbour Seals\" --carriage \"4.50 EUR\" --minimum \"10 EUR\" --free-above \"50 EUR\"\n  ringwright offer find AS568-012\n  \
    ringwright offer find nitrile 9.25\n  ringwright offer find --id \"9.25 mm\" --cs \"1.78 mm\"\n  ringwright offer tie \"Tarn 2\" 7 \"Harbour Seals\" D-335 --person \"M. Okafor\""
)]
pub(super) struct OfferArgs {
    #[command(subcommand)]
    task: OfferTask,
}

#[derive(Debug, Subcommand)]
enum OfferTask {
    /// Read a price list (CSV or .xlsx) in place of the supplier's former one; former prices are kept as history. A formula of a
    /// workbook counts by the value that was saved with it
    Import(ImportArgs),
    /// Find offers and the models that use such a part, by number, words, a ring code or dimensions; typing errors are allowed for
    /// where nothing else is found
    Find(FindArgs),
    /// List the offers of a supplier as they were read from the price list, in its order
    List(ListArgs),
    /// Tie an offer to a line of a parts list, where its description does not say that it fits; without arguments all
    /// ties are shown
    Tie(TieArgs),
    /// Show the suppliers, or record what an order from one costs besides the goods
    Supplier(SupplierArgs),
}

#[derive(Debug, Args)]
struct ImportArgs {
    /// The price list
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Whose list it is
    #[arg(long, value_name = "NAME")]
    supplier: Supplier,
    /// Which column holds what, as number=1,description=2,pack=3,price=4,price-from-10=5 (else: each, price-per-100, price-unit, unit,
    /// from-quantity, discount, smallest, size, id, od, section, id-inch, material, hardness, currency, status)
    #[arg(long, value_name = "COLUMNS")]
    mapping: Option<String>,
    /// The currency of the prices, in ISO 4217 letters
    #[arg(long, value_name = "LETTERS", value_parser = currency)]
    currency: Currency,
    /// Whether tax is in the prices
    #[arg(long, value_enum, value_name = "TAX")]
    tax: TaxWord,
    /// The day from which the prices hold, year-month-day
    #[arg(long, value_name = "DATE", value_parser = reads(parse_date))]
    date: Typed<Date>,
    /// Where rejected rows go (else beside the list, with .rejects.csv behind its name)
    #[arg(long, value_name = "FILE")]
    rejects: Option<PathBuf>,
    /// Only show how the columns would be read
    #[arg(long)]
    preview: bool,
    /// Import the list even if the one in the book has newer prices
    #[arg(long)]
    replace_newer: bool,
}

#[derive(Debug, Args)]
struct ListArgs {
    /// The supplier
    #[arg(value_name = "NAME")]
    supplier: Supplier,
}

#[derive(Debug, Args)]
struct TieArgs {
    /// The model
    #[arg(value_name = "MODEL", requires_all = ["line", "supplier", "number", "person"])]
    model: Option<Model>,
    /// The line of its parts list: number, or part and position
    #[arg(value_name = "LINE")]
    line: Option<Line>,
    /// The supplier
    #[arg(value_name = "SUPPLIER")]
    supplier: Option<Supplier>,
    /// The supplier's number
    #[arg(value_name = "NUMBER")]
    number: Option<PartNumber>,
    /// Who says so
    #[arg(long, value_name = "NAME")]
    person: Option<Person>,
    /// Remove the tie
    #[arg(long, requires = "model")]
    untie: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum, PartialEq)]
pub(super) enum TaxWord {
    Included,
    Excluded,
}

#[derive(Debug, Args)]
struct SupplierArgs {
    /// The supplier; without a name all are shown
    #[arg(value_name = "NAME")]
    name: Option<Supplier>,
    /// Carriage of an order, as "4.50 EUR"
    #[arg(long, value_name = "MONEY", requires = "name", value_parser = read_by(money))]
    carriage: Option<Money>,
    /// The least value of goods that an order is charged with, as "10 EUR"
    #[arg(long, value_name = "MONEY", requires = "name", value_parser = read_by(money))]
    minimum: Option<Money>,
    /// The value of goods from which on carriage costs nothing, as "50 EUR"
    #[arg(long, value_name = "MONEY", requires = "name", value_parser = read_by(money))]
    free_above: Option<Money>,
}

#[derive(Debug, Args)]
struct FindArgs {
    /// A part number, words of the description or of a part's place (model, section, position), or a ring code
    #[arg(value_name = "WORDS|CODE", allow_negative_numbers = true)]
    words: Vec<String>,
    /// Inside diameter of a ring, as "9.25 mm"; with a tolerance ("9.25±0.1 mm") that is the window, else ±0.1 mm
    #[arg(long, value_name = "LENGTH")]
    id: Option<InUnit>,
    /// Cross-section of a ring, likewise; else ±0.05 mm
    #[arg(long, value_name = "LENGTH")]
    cs: Option<InUnit>,
    /// The most offers that are listed, and the most places
    #[arg(long, value_name = "N", default_value_t = 50, value_parser = clap::value_parser!(u32).range(1..=10_000))]
    top: u32,
    /// Look up the offers for every line of a file ("id;section" in mm where it has a semicolon) and answer as CSV, with the
    /// microseconds of each
    #[arg(long, value_name = "FILE", conflicts_with_all = ["words", "id", "cs"])]
    from: Option<PathBuf>,
}

pub(super) fn currency(text: &str) -> Result<Currency, String> {
    Currency::from_word(text).ok_or_else(|| "write ISO 4217 letters, as EUR, USD or GBP".to_owned())
}

pub(super) fn run(args: &OfferArgs, settings: &Settings) -> Result<Outcome> {
    match &args.task {
        OfferTask::Import(args) => import(args, settings),
        OfferTask::Find(args) => find(args, settings),
        OfferTask::List(args) => list(args, settings),
        OfferTask::Tie(args) => tie(args, settings),
        OfferTask::Supplier(args) => supplier(args, settings),
    }
}

fn import(args: &ImportArgs, settings: &Settings) -> Result<Outcome> {
    if args.supplier.trim().is_empty() {
        return Err(CliError::input(
            "--supplier names nobody: write the supplier's name",
        ));
    }
    let question = ImportQuestion {
        file: args.file.clone(),
        supplier: args.supplier.clone().into(),
        mapping: args.mapping.clone(),
        terms: ListTerms {
            currency: args.currency,
            tax_included: args.tax == TaxWord::Included,
        },
        price_date: args.date.value.to_string(),
        imported_at: now(),
        rejects: args.rejects.clone(),
        preview: args.preview,
        replace_newer: args.replace_newer,
    };
    let size = std::fs::metadata(&args.file).ok().map(|m| m.len());
    let run = Progress::counting("rows", size);
    let done = import_offers(&settings.book()?, &question, &mut |progress| {
        run.show(progress.rows, progress.bytes);
    });
    drop(run);
    settings.answer(&done?, Answer::Yes)
}

fn list(args: &ListArgs, settings: &Settings) -> Result<Outcome> {
    let report = list_offers(&settings.book()?, &args.supplier)?.ok_or_else(|| {
        CliError::input(format!(
            "no supplier {:?} in the book: offer supplier lists them",
            args.supplier
        ))
    })?;
    settings.answer(&report, Answer::Yes)
}

fn tie(args: &TieArgs, settings: &Settings) -> Result<Outcome> {
    let place = settings.book()?;
    let given = (
        &args.model,
        &args.line,
        &args.supplier,
        &args.number,
        &args.person,
    );
    let (Some(model), Some(line), Some(supplier), Some(number), Some(person)) = given else {
        return settings.answer(&ties(&place)?, Answer::Yes);
    };
    if PersonName::read(person).is_none() {
        return Err(CliError::input(
            "--person names nobody: write who says that the offer is the part",
        ));
    }
    let question = TieQuestion {
        model: model.clone().into(),
        line: line.clone().into(),
        supplier: supplier.clone().into(),
        number: number.clone().into(),
        person: person.clone().into(),
        tied_at: now(),
        untie: args.untie,
    };
    settings.answer(&tie_offer(&place, &question)?, Answer::Yes)
}

/// The window where no tolerance was given, in nanometres.
const ID_SLACK_NM: i64 = 100_000;
const SECTION_SLACK_NM: i64 = 50_000;

fn find(args: &FindArgs, settings: &Settings) -> Result<Outcome> {
    if let Some(file) = &args.from {
        if !matches!(settings.form(), Form::Table | Form::Csv) {
            return Err(CliError::input(
                "--from answers as CSV: leave --format out, or write --format csv",
            ));
        }
        return find_all(file, args.top, settings);
    }
    let window = match (&args.id, &args.cs) {
        (None, None) => None,
        (Some(id), Some(cs)) => Some(RingWindow {
            id: limits(id, ID_SLACK_NM, settings)?,
            section: limits(cs, SECTION_SLACK_NM, settings)?,
        }),
        _ => return Err(CliError::input("a window needs both --id and --cs")),
    };
    let words = args.words.join(" ");
    if words.trim().is_empty() && window.is_none() {
        return Err(CliError::input(
            "say what to find: a part number, words, a ring code, or --id and --cs",
        ));
    }
    let question = FindQuestion {
        words,
        window,
        most: args.top,
    };
    let report = find_offers(&settings.book()?, &question)?;
    settings.answer(
        &report,
        Answer::of(!report.offers.is_empty() || !report.parts.is_empty()),
    )
}

fn limits(typed: &InUnit, slack: i64, settings: &Settings) -> Result<(Length, Length)> {
    let length = typed.dimension(settings.unit())?.value;
    if length.has_tolerance() {
        return Ok((length.least(), length.greatest()));
    }
    let slack = Length::from_nm(slack);
    Ok((length.nominal - slack, length.nominal + slack))
}

/// Looks up the lines of a file.
fn find_all(file: &std::path::Path, most: u32, settings: &Settings) -> Result<Outcome> {
    let text = read_text(file)
        .map_err(|e| CliError::input(format!("{} cannot be read: {e}", file.display())))?;
    let question = |line: &str| {
        let mm = |text: &str| Length::from_mm(text.trim().parse().ok()?);
        let window = line.split_once(';').and_then(|(id, cs)| {
            let (id, cs) = (mm(id)?, mm(cs)?);
            let (by, cs_by) = (
                Length::from_nm(ID_SLACK_NM),
                Length::from_nm(SECTION_SLACK_NM),
            );
            Some(RingWindow {
                id: (id - by, id + by),
                section: (cs - cs_by, cs + cs_by),
            })
        });
        let words = if window.is_some() { "" } else { line };
        FindQuestion {
            words: words.to_owned(),
            window,
            most,
        }
    };
    let questions: Vec<FindQuestion> = text
        .lines()
        .filter(|l| !l.trim().is_empty())
        .map(question)
        .collect();
    let mut rows = FoundRows::default();
    find_many(&settings.book()?, &questions, &mut |report, took| {
        rows.add(report, took);
    })?;
    Ok(Outcome::new(rows.csv(), Answer::Yes))
}

fn supplier(args: &SupplierArgs, settings: &Settings) -> Result<Outcome> {
    let place = settings.book()?;
    let given = Terms {
        carriage: args.carriage,
        minimum: args.minimum,
        free_above: args.free_above,
    };
    let report = match &args.name {
        Some(name) if given != Terms::default() => set_supplier_terms(&place, name, given)?,
        _ => suppliers(&place)?,
    };
    settings.answer(&report, Answer::of(!report.suppliers.is_empty()))
}

/// Reads an amount of money.
pub(super) fn money(place: &str, text: &str) -> Result<Money> {
    let typed = parse_money(text).map_err(|e| CliError::quantity(place, text, &e))?;
    Money::amount(typed.value.minor, typed.value.currency).ok_or_else(|| {
        CliError::input(format!("{place} {text}: write an amount of nought or more"))
    })
}
