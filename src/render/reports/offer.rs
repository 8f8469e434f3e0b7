//! The pages of price lists and offers.

use crate::app::offer_find::{FindReport, FoundBy, FoundOffer};
use crate::app::offer_import::ImportReport;
use crate::app::offer_supplier::SuppliersReport;
use crate::core::quantity::{Length, Money};
use crate::render::{Cell, Document, Report, Sheet, Table, csv, mm2};
use std::time::Duration;

impl Report for ImportReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(1, headline(self));
        page.text(format!(
            "Columns ({}): --mapping {}",
            self.mapping_from, self.mapping
        ));
        let mut table = Table::new(&["holds", ">column", "head", "example"]);
        for column in &self.columns {
            table.row([
                column.column.clone(),
                column.place.to_string(),
                column.head.clone(),
                column.example.clone(),
            ]);
        }
        page.table(table);
        if self.preview {
            page.text("Nothing was stored. Change what is wrong with --mapping; the columns are saved for this supplier.");
            return page;
        }
        let n = &self.described;
        page.list([
            format!("{} rows read = {} accepted + {} rejected", self.rows_read, self.accepted, self.rejected),
            format!(
                "rings: {} with one size, {} ambiguous (every meaning is kept), {} whose size was not read (kept, findable by their words)",
                n.rings, n.ambiguous, n.rings_unread
            ),
            format!("other parts: {}; no known kind of part named: {}", n.other_parts, n.unknown),
        ]);
        if n.numbers_restored > 0 {
            page.text(format!(
                "{} part numbers were dates made by a spreadsheet and were restored, because the description names the same ring.",
                n.numbers_restored
            ));
        }
        if let Some(file) = &self.rejects_file {
            page.text(format!("Rejected rows, each with its reason: {file}"));
        }
        page.text(format!(
            "Prices of {} in {}, tax {}; nothing is converted.",
            self.price_date,
            self.currency.letters(),
            if self.tax_included {
                "included"
            } else {
                "excluded"
            }
        ));
        page
    }
}

fn headline(report: &ImportReport) -> String {
    if report.preview {
        return format!("How {} would be read for {}", report.file, report.supplier);
    }
    format!(
        "Price list of {}: {} offers",
        report.supplier, report.accepted
    )
}

impl Report for SuppliersReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(1, "Suppliers");
        let mut table = Table::new(&[
            "supplier",
            ">offers",
            "prices of",
            "currency",
            "tax",
            "carriage",
            "minimum",
        ]);
        for row in self.rows() {
            table.row(row);
        }
        page.table(table);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        Some(Sheet {
            header: vec![
                "supplier",
                "offers",
                "price_date",
                "currency",
                "tax",
                "carriage",
                "minimum",
            ],
            rows: self
                .rows()
                .map(|row| row.into_iter().map(Cell::text).collect())
                .collect(),
        })
    }
}

impl SuppliersReport {
    fn rows(&self) -> impl Iterator<Item = Vec<String>> {
        self.suppliers.iter().map(|s| {
            let list = s.list.as_ref();
            let of = |field: &dyn Fn(&crate::store::StoredPriceList) -> String| {
                list.map(field).unwrap_or_default()
            };
            let money = |m: Option<crate::core::quantity::Money>| {
                m.map(|m| m.to_string()).unwrap_or_default()
            };
            vec![
                s.name.clone(),
                of(&|l| l.accepted.to_string()),
                of(&|l| l.price_date.clone()),
                of(&|l| l.currency.clone()),
                of(&|l| l.tax.clone()),
                money(s.carriage),
                money(s.minimum),
            ]
        })
    }
}

impl Report for FindReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(
            1,
            match self.offers.len() {
                0 => format!("Nothing found for {}", self.asked),
                1 => "1 offer".to_owned(),
                n => format!("{n} offers"),
            },
        );
        let mut table = Table::new(&[
            "supplier",
            "number",
            "description",
            "ring",
            "made of",
            ">pack",
            ">price",
            "prices of",
            "found by",
        ]);
        for found in &self.offers {
            let offer = &found.offer;
            table.row([
                offer.supplier.clone(),
                offer.number.clone(),
                offer.description.clone(),
                ring_words(found),
                material_words(found),
                offer.pack.to_string(),
                format!("{}, tax {}", offer.price, offer.tax),
                offer.price_date.clone(),
                by_words(found),
            ]);
        }
        page.table(table);
        if !self.former_prices.is_empty() {
            page.heading(2, "Prices before");
            let mut table = Table::new(&["supplier", "prices of", ">pack", ">price", "tax"]);
            for former in &self.former_prices {
                let currency = crate::core::quantity::Currency::from_word(&former.currency);
                let price = currency.map_or_else(String::new, |currency| {
                    Money {
                        minor: former.minor,
                        currency,
                    }
                    .to_string()
                });
                table.row([
                    former.supplier.clone(),
                    former.price_date.clone(),
                    former.pack.to_string(),
                    price,
                    former.tax.clone(),
                ]);
            }
            page.table(table);
        }
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
            ],
            rows: self.offers.iter().map(cells).collect(),
        })
    }
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
    ]
}

fn word(by: FoundBy) -> &'static str {
    match by {
        FoundBy::Number => "number",
        FoundBy::NumberBegins => "number begins",
        FoundBy::Size => "size",
        FoundBy::Words => "words",
        FoundBy::TypingErrors => "typing errors",
        FoundBy::Window => "dimensions",
    }
}

fn by_words(found: &FoundOffer) -> String {
    match (found.by, found.errors) {
        (FoundBy::TypingErrors, 1) => "1 typing error".to_owned(),
        (FoundBy::TypingErrors, n) => format!("{n} typing errors"),
        (by, _) => word(by).to_owned(),
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
    let words = [offer.polymer.map(|p| p.letters().to_owned()), hardness];
    words.into_iter().flatten().collect::<Vec<_>>().join(" ")
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
