//! The page of what a used ring tells.

use crate::app::gland_used::GlandUsedReport;
use crate::render::{Cell, Document, Report, Sheet, Table, fixed, rounded};

impl Report for GlandUsedReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(
            1,
            format!(
                "What the ring found in this {} gland tells",
                self.kind.word()
            ),
        );
        page.list(self.findings.iter().cloned());
        page.text(format!(
            "Height {} mm, gland depth {} mm.",
            fixed(self.height_mm, 3),
            fixed(self.gland_depth_mm, 3)
        ));
        page.heading(2, "Its section when new, by how much it has set");
        let mut table = Table::new(&[">set %", ">section when new mm"]);
        for row in &self.by_set {
            table.row([fixed(row.set_pct, 0), fixed(row.section_mm, 3)]);
        }
        page.table(table);
        page.text("W0 = (height − set × depth)/(1 − set), the definition of compression set by method B solved for the new section. Nobody measured the set of this ring: read the table as a range.");
        page.heading(2, "Listed sections it may have been");
        if self.listed.is_empty() {
            page.text("None: no listed section lies between this height and a sensible squeeze.");
        }
        let mut table = Table::new(&[
            ">section mm",
            ">set it would have taken %",
            ">squeeze when new %",
            ">listed sizes",
        ]);
        for row in &self.listed {
            table.row([
                fixed(row.section_mm, 2),
                fixed(row.set_pct, 0),
                fixed(row.squeeze_pct, 1),
                row.sizes.to_string(),
            ]);
        }
        page.table(table);
        page.heading(2, "Before you rely on it");
        page.list(self.warnings.points.iter().cloned());
        page.cautions(&self.warnings.cautions);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let rows = self.listed.iter().map(|row| {
            vec![
                Cell::Number(rounded(row.section_mm, 4)),
                Cell::Number(rounded(row.set_pct, 2)),
                Cell::Number(rounded(row.squeeze_pct, 2)),
                Cell::Count(i64::try_from(row.sizes).unwrap_or(i64::MAX)),
            ]
        });
        Some(Sheet {
            header: vec!["section_mm", "set_pct", "squeeze_pct", "sizes"],
            rows: rows.collect(),
        })
    }
}
