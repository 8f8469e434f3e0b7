//! The page of what to order a ring in.

use super::seal_care::lubricants;
use crate::app::seal_material::{MaterialReport, PolymerShown};
use crate::core::elastomer::Rating;
use crate::render::{Cell, Document, Report, Sheet, Table, notice};

impl Report for MaterialReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        let hardness = self
            .choice
            .hardness
            .map_or_else(|| "hardness by the pressure".to_owned(), |h| h.to_string());
        let title = self.choice.polymer.map_or_else(
            || format!("No rule names a polymer: ask the supplier; {hardness}"),
            |polymer| format!("Order {polymer} ({}), {hardness}", polymer.facts().name),
        );
        page.heading(1, title);
        page.list([
            format!("polymer: {}", self.choice.polymer_reason),
            format!("hardness: {}", self.choice.hardness_reason),
            format!("{} ({})", self.choice.source, self.choice.confidence),
        ]);
        page.heading(2, "Every polymer in this duty");
        let mut table = Table::new(&["polymer", "", "suitability", "against it", "source"]);
        for shown in &self.polymers {
            table.row(row(shown));
        }
        page.table(table);
        page.heading(2, "Lubricant");
        lubricants(&mut page, &self.lubricants);
        page.heading(2, "Before you rely on it");
        page.list(self.warnings.points.iter().cloned());
        page.cautions(&self.warnings.cautions);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let rows = self.polymers.iter();
        Some(Sheet {
            header: vec!["polymer", "name", "rating", "against", "source", "notice"],
            rows: rows
                .map(|shown| {
                    let cells = row(shown).into_iter().map(Cell::text);
                    cells.chain([notice([])]).collect()
                })
                .collect(),
        })
    }
}

fn row(shown: &PolymerShown) -> [String; 5] {
    [
        shown.polymer.to_string(),
        shown.name.to_owned(),
        shown.rating.map_or("-", Rating::word).to_owned(),
        if shown.against.is_empty() {
            "nothing known".to_owned()
        } else {
            shown.against.join("; ")
        },
        format!("{} ({})", shown.source, shown.confidence),
    ]
}
