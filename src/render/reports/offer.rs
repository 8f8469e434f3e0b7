//! The pages of price lists and offers.

use super::material;
use crate::app::model::part_find::{FoundPart, PartFoundBy};
use crate::app::supply::find::{FindReport, FoundBy, FoundOffer};
use crate::app::supply::supplier::{SupplierShown, SuppliersReport};
use crate::app::supply::tie::TiesReport;
use crate::core::count::counted;
use crate::core::elastomer::Polymer;
use crate::core::provenance::with_shops;
use crate::core::quantity::{Currency, Money};
use crate::render::words::{joined, or_empty, ring_size};
use crate::render::{
    Cell, Column, Document, Report, Sheet, both, csv, in_rows, on_page, sheet, table,
};
use crate::store::{FormerPrice, OfferTie, StoredPriceList};
use std::collections::BTreeSet;
use std::time::Duration;

impl Report for SuppliersReport {
    fn lay_out(&self, page: &mut Document) {
        page.title("Suppliers");
        page.listed(&SUPPLIERS, &self.suppliers);
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
    fn lay_out(&self, page: &mut Document) {
        page.title(match &self.changed {
            Some(tie) if self.untied => format!(
                "{} of {} is no longer tied to {}",
                tie.number, tie.supplier, tie.place
            ),
            Some(tie) => format!(
                "{} of {} is now offered for {}",
                tie.number, tie.supplier, tie.place
            ),
            None => "Offers tied to places".to_owned(),
        });
        page.listed(&TIES, &self.ties);
    }
}

const TIES: [Column<OfferTie>; 5] = [
    both("place", "place", |tie| (&tie.place).into()),
    both("supplier", "supplier", |tie| (&tie.supplier).into()),
    both("number", "number", |tie| (&tie.number).into()),
    both("said by", "person", |tie| (&tie.person).into()),
    both("on", "tied_at", |tie| Cell::moment(&tie.tied_at)),
];

impl Report for FindReport {
    fn lay_out(&self, page: &mut Document) {
        let shops = self
            .offers
            .iter()
            .map(|found| found.offer.from_shop.as_ref().into());
        let shops = shops.chain(self.parts.iter().map(|part| (&part.rests_on).into()));
        let rows = sheet(&OFFERS, &self.offers).below(sheet(&PARTS, &self.parts));
        page.rows(rows.and("from_shops", shops));
        page.title(match self.offers.len() {
            0 if self.parts.is_empty() => format!("Nothing found for {}", self.asked),
            0 => format!("No offer found for {}", self.asked),
            some => counted(some, "offer", "offers"),
        });
        if !self.offers.is_empty() {
            page.in_short(|page| {
                page.table(table(&SHORT_OFFERS, self.offers.iter().take(SHORT)));
                if self.offers.len() > SHORT {
                    page.text(format!("{} more: --full.", self.offers.len() - SHORT));
                }
            });
            page.rest(|page| page.table(table(&OFFERS, &self.offers)));
        }
        if !self.former_prices.is_empty() {
            page.section("Prices before");
            page.table(table(&FORMER, &self.former_prices));
        }
        if !self.parts.is_empty() {
            page.section("Where such a part is used");
            page.table(table(&PARTS, &self.parts));
        }
        page.cautions(&self.cautions);
    }
}

const SHORT: usize = 15;

const BY: Column<FoundOffer> = both("supplier", "supplier", |found| {
    let offer = &found.offer;
    let marked = with_shops(&offer.supplier, offer.from_shop.as_slice());
    Cell::shown(marked, &offer.supplier)
});
const NUMBER: Column<FoundOffer> = both("number", "number", |found| (&found.offer.number).into());
const MADE_OF: Column<FoundOffer> = on_page("made of", |found| material_words(found).into());
const PACK: Column<FoundOffer> = both(">pack", "pack", |found| found.offer.pack.into());

/// A line an offer: who, which, what it is by its description, and the price of a pack.
const SHORT_OFFERS: [Column<FoundOffer>; 6] = [
    BY,
    NUMBER,
    on_page("ring or part", |found| {
        let offer = &found.offer;
        let part = match (offer.code.as_ref(), ring_words(found)) {
            (Some(code), _) => code.clone(),
            (None, size) if !size.is_empty() => size,
            _ => offer.description.clone(),
        };
        noted(part, found).into()
    }),
    MADE_OF,
    PACK,
    on_page(">price", |found| found.offer.price.to_string().into()),
];

/// Puts behind a size how its description writes it otherwise.
fn noted(size: String, found: &FoundOffer) -> String {
    joined([size, or_empty(found.size_note.as_ref())], "; ")
}

const OFFERS: [Column<FoundOffer>; 17] = [
    in_rows("found_by", |found| word(found.by).into()),
    in_rows("errors", |found| found.errors.into()),
    BY,
    NUMBER,
    both("description", "description", |found| {
        (&found.offer.description).into()
    }),
    on_page("ring", |found| noted(ring_words(found), found).into()),
    in_rows("code", |found| found.offer.code.as_ref().into()),
    in_rows("id_mm", |found| found.offer.ring_id.into()),
    in_rows("cs_mm", |found| found.offer.section.into()),
    in_rows("polymer", |found| {
        found.offer.polymer.map(Polymer::letters).into()
    }),
    in_rows("hardness", |found| found.offer.hardness.into()),
    MADE_OF,
    PACK,
    both(">price", "price", |found| {
        let price = found.offer.price.to_string();
        Cell::shown(format!("{price}, tax {}", found.offer.tax), price)
    }),
    in_rows("tax", |found| (&found.offer.tax).into()),
    both("prices of", "price_date", |found| {
        (&found.offer.price_date).into()
    }),
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

/// Where a part is used; what it is stands under a code where it is a ring.
const PARTS: [Column<FoundPart>; 15] = [
    in_rows("found_by", |found| part_word(found.by).into()),
    in_rows("errors", |found| found.errors.into()),
    in_rows("description", |found| {
        Some(&found.size).filter(|_| found.ring_id.is_none()).into()
    }),
    in_rows("code", |found| {
        Some(&found.size).filter(|_| found.ring_id.is_some()).into()
    }),
    in_rows("id_mm", |found| found.ring_id.into()),
    in_rows("cs_mm", |found| found.ring_section.into()),
    both("model", "model", |found| (&found.model).into()),
    on_page("place", |found| {
        joined([&found.section, &found.position], ", ").into()
    }),
    in_rows("section", |found| (&found.section).into()),
    in_rows("position", |found| (&found.position).into()),
    both("part", "part", |found| (&found.part).into()),
    on_page("size", |found| used_size(found).into()),
    both(">each", "each", |found| found.quantity.into()),
    in_rows("decided", |found| found.decided.into()),
    on_page("found by", |found| match found.by {
        PartFoundBy::TypingErrors => counted(found.errors, "typing error", "typing errors").into(),
        by => part_word(by).into(),
    }),
];

fn used_size(found: &FoundPart) -> String {
    let size = match (found.ring_id, found.ring_section) {
        (Some(id), Some(section)) => format!("{}, {}", found.size, ring_size(id, section)),
        _ => found.size.clone(),
    };
    let size = with_shops(&size, &found.rests_on);
    if found.decided {
        return size;
    }
    joined([size.as_str(), "NOT DECIDED"], ", ")
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
        FoundBy::TypingErrors => counted(found.errors, "typing error", "typing errors"),
        by => word(by).to_owned(),
    }
}

fn ring_words(found: &FoundOffer) -> String {
    let offer = &found.offer;
    match (offer.ring_id, offer.section) {
        (Some(id), Some(section)) => {
            let code = or_empty(offer.code.as_ref());
            joined([code, ring_size(id, section)], ", ")
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
        let micros = i64::try_from(took.as_micros()).unwrap_or(i64::MAX);
        let none = [0_usize.into(), Cell::Empty, Cell::Empty, Cell::Empty];
        let none = report.offers.is_empty().then_some(none);
        let found = (1_usize..).zip(&report.offers).map(|(rank, found)| {
            let (by, offer) = (word(found.by).into(), &found.offer);
            [
                rank.into(),
                by,
                (&offer.supplier).into(),
                (&offer.number).into(),
            ]
        });
        for cells in none.into_iter().chain(found) {
            let asked = [(&report.asked).into(), micros.into()];
            self.rows.push(asked.into_iter().chain(cells).collect());
        }
    }

    /// Writes the rows as CSV.
    pub fn csv(self) -> String {
        let header = [
            "asked",
            "microseconds",
            "rank",
            "found_by",
            "supplier",
            "number",
        ];
        csv(&Sheet {
            header: header.to_vec(),
            rows: self.rows,
        })
    }
}
