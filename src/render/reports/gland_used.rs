//! The page of what a used ring tells.

use crate::app::gland_used::{GlandUsedReport, ListedSection, OriginalSection};
use crate::render::{
    Cell, Column, Document, Report, Sheet, both, fixed, in_rows, on_page, rounded, sheet, table,
};

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
        page.table(table(&BY_SET, &self.by_set));
        page.text("W0 = (height − set × depth)/(1 − set), the definition of compression set by method B solved for the new section. Nobody measured the set of this ring: read the table as a range.");
        page.heading(2, "Listed sections it may have been");
        if self.listed.is_empty() {
            page.text("None: no listed section lies between this height and a sensible squeeze.");
        }
        page.table(table(&LISTED, &self.listed));
        page.heading(2, "Before you rely on it");
        page.list(self.warnings.points.iter().cloned());
        page.cautions(&self.warnings.cautions);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        Some(sheet(&LISTED, &self.listed))
    }
}

const BY_SET: [Column<OriginalSection>; 2] = [
    on_page(">set %", |row| fixed(row.set_pct, 0).into()),
    on_page(">section when new mm", |row| {
        fixed(row.section_mm, 3).into()
    }),
];

const LISTED: [Column<ListedSection>; 7] = [
    on_page(">section mm", |row| fixed(row.section_mm, 2).into()),
    on_page(">set it would have taken %", |row| {
        fixed(row.set_pct, 0).into()
    }),
    on_page(">squeeze when new %", |row| {
        fixed(row.squeeze_pct, 1).into()
    }),
    in_rows("section_mm", |row| Cell::Number(rounded(row.section_mm, 4))),
    in_rows("set_pct", |row| Cell::Number(rounded(row.set_pct, 2))),
    in_rows("squeeze_pct", |row| {
        Cell::Number(rounded(row.squeeze_pct, 2))
    }),
    both(">listed sizes", "sizes", |row| row.sizes.into()),
];
