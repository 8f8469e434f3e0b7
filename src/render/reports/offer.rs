//! The pages of price lists and offers.

use super::material;
use crate::app::offer_find::{FindReport, FoundBy, FoundOffer};
use crate::app::offer_supplier::{SupplierShown, SuppliersReport};
use crate::app::offer_tie::TiesReport;
use crate::app::part_find::{FoundPart, PartFoundBy};
use crate::core::provenance::with_shops;
use crate::core::quantity::{Currency, Length, Money};
use crate::render::{
    Cell, Column, Document, Report, Sheet, both, csv, in_rows, mm2, on_page, sheet, table,
};
use crate::store::{FormerPrice, OfferTie, StoredPriceList};
use std::collections::BTreeSet;
use std::time::Duration;

impl Report for SuppliersReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(1, "Suppliers");
        page.table(table(&SUPPLIERS, &self.suppliers));
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        Some(sheet(&SUPPLIERS, &self.suppliers))
    }
}

/// Says something of a price list, where there is one.
fn of_list<T: Into<Cell>>(
    supplier: &SupplierShown,
    pick: impl FnOnce(&StoredPriceList) -> T,
) -> Cell {
    supplier.list.as_ref().map(pick).into()
}

fn money(sum: Option<Money>) -> Cell {
    sum.map(|sum| sum.to_string()).into()
}

const SUPPLIERS: [Column<SupplierShown>; 8] = [
    both("supplier", "supplier", |s| {
        let list = s.list.as_ref().and_then(|list| list.from_shop.as_ref());
        let shops: BTreeSet<&String> = list.into_iter().chain(&s.from_shop).collect();
        let shops: Vec<String> = shops.into_iter().cloned().collect();
        with_shops(&s.name, &shops).into()
    }),
    both(">offers", "offers", |s| {
        of_list(s, |list| list.accepted.to_string())
    }),
    both("prices of", "price_date", |s| {
        of_list(s, |list| list.price_date.clone())
    }),
    both("currency", "currency", |s| {
        of_list(s, |list| list.currency.clone())
    }),
    both("tax", "tax", |s| of_list(s, |list| list.tax.clone())),
    both("carriage", "carriage", |s| money(s.terms.carriage)),
    both("minimum", "minimum", |s| money(s.terms.minimum)),
    both("carriage free from", "free_above", |s| {
        money(s.terms.free_above)
    }),
];

impl Report for TiesReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(
            1,
            match &self.changed {
                Some(tie) if self.untied => format!(
                    "{} of {} is no longer tied to {}",
                    tie.number, tie.supplier, tie.place
                ),
                Some(tie) => format!(
                    "{} of {} is now offered for {}",
                    tie.number, tie.supplier, tie.place
                ),
                None => "Offers tied to places".to_owned(),
            },
        );
        page.table(table(&TIES, &self.ties));
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        Some(sheet(&TIES, &self.ties))
    }
}

const TIES: [Column<OfferTie>; 6] = [
    both("place", "place", |tie| (&tie.place).into()),
    both("supplier", "supplier", |tie| (&tie.supplier).into()),
    both("number", "number", |tie| (&tie.number).into()),
    both("said by", "person", |tie| (&tie.person).into()),
    on_page("on", |tie| tie.tied_at.get(..10).into()),
    in_rows("tied_at", |tie| (&tie.tied_at).into()),
];

impl Report for FindReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(
            1,
            match self.offers.len() {
                0 if self.parts.is_empty() => format!("Nothing found for {}", self.asked),
                0 => format!("No offer found for {}", self.asked),
                1 => "1 offer".to_owned(),
                n => format!("{n} offers"),
            },
        );
        if !self.offers.is_empty() {
            page.in_short(|page| {
                page.table(table(&SHORT_OFFERS, self.offers.iter().take(SHORT)));
                if self.offers.len() > SHORT {
                    page.text(format!("{} more: --full.", self.offers.len() - SHORT));
                }
            });
            page.rest(|page| {
                page.table(table(&OFFERS, &self.offers));
            });
        }
        if !self.former_prices.is_empty() {
            page.heading(2, "Prices before");
            page.table(table(&FORMER, &self.former_prices));
        }
        if !self.parts.is_empty() {
            page.heading(2, "Where such a part is used");
            page.table(table(&PARTS, &self.parts));
        }
        page.cautions(&self.cautions);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        Some(Sheet {
            header: vec![
                "found_by",
                "errors",
                "supplier",
                "number",
                "description",
                "code",
                "id_mm",
                "cs_mm",
                "polymer",
                "hardness",
                "pack",
                "price",
                "tax",
                "price_date",
                "model",
                "section",
                "position",
                "part",
                "each",
                "decided",
                "from_shops",
            ],
            rows: self
                .offers
                .iter()
                .map(cells)
                .chain(self.parts.iter().map(part_cells))
                .collect(),
        })
    }
}

/// So many offers are shown on a screen.
const SHORT: usize = 15;

/// A line an offer: who, which, what it is by its description, and the price of a pack.
const SHORT_OFFERS: [Column<FoundOffer>; 6] = [
    on_page("supplier", |found| {
        let offer = &found.offer;
        with_shops(&offer.supplier, offer.from_shop.as_slice()).into()
    }),
    on_page("number", |found| (&found.offer.number).into()),
    on_page("ring or part", |found| {
        let offer = &found.offer;
        let part = match (offer.code.as_ref(), ring_words(found)) {
            (Some(code), _) => code.clone(),
            (None, size) if !size.is_empty() => size,
            _ => offer.description.clone(),
        };
        noted(part, found).into()
    }),
    on_page("made of", |found| material_words(found).into()),
    on_page(">pack", |found| found.offer.pack.into()),
    on_page(">price", |found| found.offer.price.to_string().into()),
];

/// Puts behind a size how its description writes it otherwise.
fn noted(size: String, found: &FoundOffer) -> String {
    let words = [Some(size), found.size_note.clone()];
    let words: Vec<String> = words
        .into_iter()
        .flatten()
        .filter(|w| !w.is_empty())
        .collect();
    words.join("; ")
}

const OFFERS: [Column<FoundOffer>; 9] = [
    on_page("supplier", |found| {
        let offer = &found.offer;
        with_shops(&offer.supplier, offer.from_shop.as_slice()).into()
    }),
    on_page("number", |found| (&found.offer.number).into()),
    on_page("description", |found| (&found.offer.description).into()),
    on_page("ring", |found| noted(ring_words(found), found).into()),
    on_page("made of", |found| material_words(found).into()),
    on_page(">pack", |found| found.offer.pack.into()),
    on_page(">price", |found| {
        format!("{}, tax {}", found.offer.price, found.offer.tax).into()
    }),
    on_page("prices of", |found| (&found.offer.price_date).into()),
    on_page("found by", |found| by_words(found).into()),
];

const FORMER: [Column<FormerPrice>; 5] = [
    on_page("supplier", |former| {
        with_shops(&former.supplier, former.from_shop.as_slice()).into()
    }),
    on_page("prices of", |former| (&former.price_date).into()),
    on_page(">pack", |former| former.pack.into()),
    on_page(">price", |former| {
        let minor = former.minor;
        let currency = Currency::from_word(&former.currency);
        money(currency.map(|currency| Money { minor, currency }))
    }),
    on_page("tax", |former| (&former.tax).into()),
];

const PARTS: [Column<FoundPart>; 6] = [
    on_page("model", |found| (&found.model).into()),
    on_page("place", |found| {
        let place = [found.section.as_str(), found.position.as_str()];
        let place: Vec<&str> = place.into_iter().filter(|word| !word.is_empty()).collect();
        place.join(", ").into()
    }),
    on_page("part", |found| (&found.part).into()),
    on_page("size", |found| used_size(found).into()),
    on_page(">each", |found| found.quantity.into()),
    on_page("found by", |found| match found.by {
        PartFoundBy::TypingErrors => errors_words(found.errors).into(),
        by => part_word(by).into(),
    }),
];

fn used_size(found: &FoundPart) -> String {
    let size = match (found.ring_id, found.ring_section) {
        (Some(id), Some(section)) => format!("{}, {} x {} mm", found.size, mm2(id), mm2(section)),
        _ => found.size.clone(),
    };
    let size = with_shops(&size, &found.rests_on);
    if found.decided {
        return size;
    }
    let words = [size.as_str(), "NOT DECIDED"];
    let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
    words.join(", ")
}

fn part_word(by: PartFoundBy) -> &'static str {
    match by {
        PartFoundBy::Window => "dimensions",
        PartFoundBy::Size => "size",
        PartFoundBy::Exact => "words",
        PartFoundBy::Begins => "word begins",
        PartFoundBy::Inside => "part of a word",
        PartFoundBy::TypingErrors => "typing errors",
    }
}

fn part_cells(found: &FoundPart) -> Vec<Cell> {
    let ring = found.ring_id.is_some();
    let (code, lengths) = if ring {
        (found.size.as_str(), "")
    } else {
        ("", found.size.as_str())
    };
    let mut cells = vec![
        Cell::text(part_word(found.by)),
        Cell::Count(i64::try_from(found.errors).unwrap_or(i64::MAX)),
        Cell::Empty,
        Cell::Empty,
        Cell::text(lengths),
        Cell::text(code),
        Cell::number(found.ring_id.map(Length::mm_rounded)),
        Cell::number(found.ring_section.map(Length::mm_rounded)),
    ];
    cells.extend((0..6).map(|_| Cell::Empty));
    cells.extend([
        Cell::text(&found.model),
        Cell::text(&found.section),
        Cell::text(&found.position),
        Cell::text(&found.part),
        Cell::Count(i64::from(found.quantity)),
        Cell::text(if found.decided { "yes" } else { "no" }),
        Cell::text(found.rests_on.join(" | ")),
    ]);
    cells
}

fn cells(found: &FoundOffer) -> Vec<Cell> {
    let offer = &found.offer;
    vec![
        Cell::text(word(found.by)),
        Cell::Count(i64::try_from(found.errors).unwrap_or(i64::MAX)),
        Cell::text(&offer.supplier),
        Cell::text(&offer.number),
        Cell::text(&offer.description),
        Cell::text(offer.code.as_deref().unwrap_or("")),
        Cell::number(offer.ring_id.map(Length::mm_rounded)),
        Cell::number(offer.section.map(Length::mm_rounded)),
        Cell::text(offer.polymer.map_or("", |p| p.letters())),
        Cell::number(offer.hardness),
        Cell::Count(i64::from(offer.pack)),
        Cell::text(offer.price.to_string()),
        Cell::text(&offer.tax),
        Cell::text(&offer.price_date),
        Cell::Empty,
        Cell::Empty,
        Cell::Empty,
        Cell::Empty,
        Cell::Empty,
        Cell::Empty,
        Cell::text(offer.from_shop.as_deref().unwrap_or("")),
    ]
}

fn word(by: FoundBy) -> &'static str {
    match by {
        FoundBy::List => "list",
        FoundBy::Number => "number",
        FoundBy::NumberBegins => "number begins",
        FoundBy::Size => "size",
        FoundBy::Words => "words",
        FoundBy::TypingErrors => "typing errors",
        FoundBy::Window => "dimensions",
    }
}

fn by_words(found: &FoundOffer) -> String {
    match found.by {
        FoundBy::TypingErrors => errors_words(found.errors),
        by => word(by).to_owned(),
    }
}

fn errors_words(errors: usize) -> String {
    match errors {
        1 => "1 typing error".to_owned(),
        n => format!("{n} typing errors"),
    }
}

fn ring_words(found: &FoundOffer) -> String {
    let offer = &found.offer;
    match (offer.ring_id, offer.section) {
        (Some(id), Some(section)) => {
            let code = offer
                .code
                .as_deref()
                .map(|c| format!("{c}, "))
                .unwrap_or_default();
            format!("{code}{} x {} mm", mm2(id), mm2(section))
        }
        _ if offer.meanings > 1 => format!("ambiguous: {} sizes", offer.meanings),
        _ => String::new(),
    }
}

fn material_words(found: &FoundOffer) -> String {
    let offer = &found.offer;
    let hardness = offer
        .hardness
        .map(|h| format!("{h} {}", offer.scale.as_deref().unwrap_or("")));
    material(offer.polymer, hardness)
}

/// Gathers the rows of many searches.
#[derive(Debug, Default)]
pub struct FoundRows {
    rows: Vec<Vec<Cell>>,
}

impl FoundRows {
    /// Adds what one search found and how long it took; a search without result is a row without offer.
    pub fn add(&mut self, report: &FindReport, took: Duration) {
        let micros = || Cell::Count(i64::try_from(took.as_micros()).unwrap_or(i64::MAX));
        let begin = |rank: usize| {
            vec![
                Cell::text(&report.asked),
                micros(),
                Cell::Count(i64::try_from(rank).unwrap_or(i64::MAX)),
            ]
        };
        if report.offers.is_empty() {
            let mut row = begin(0);
            row.extend([Cell::Empty, Cell::Empty, Cell::Empty]);
            self.rows.push(row);
        }
        for (at, found) in report.offers.iter().enumerate() {
            let mut row = begin(at + 1);
            row.extend([
                Cell::text(word(found.by)),
                Cell::text(&found.offer.supplier),
                Cell::text(&found.offer.number),
            ]);
            self.rows.push(row);
        }
    }

    /// Writes the rows as CSV.
    pub fn csv(self) -> String {
        csv(&Sheet {
            header: vec![
                "asked",
                "microseconds",
                "rank",
                "found_by",
                "supplier",
                "number",
            ],
            rows: self.rows,
        })
    }
}
