//! The pages of price lists and offers.

use crate::app::offer_import::ImportReport;
use crate::app::offer_supplier::SuppliersReport;
use crate::render::{Cell, Document, Report, Sheet, Table};

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
