//! The page of what to order a ring in.

use super::seal_care::lubricants;
use crate::app::seal_material::{MaterialReport, PolymerShown};
use crate::core::elastomer::Rating;
use crate::render::{Column, Document, Report, Sheet, both, in_rows, notice, sheet, table};

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
        page.table(table(&POLYMERS, &self.polymers));
        page.heading(2, "Lubricant");
        lubricants(&mut page, &self.lubricants);
        page.heading(2, "Before you rely on it");
        page.list(self.warnings.points.iter().cloned());
        page.cautions(&self.warnings.cautions);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        Some(sheet(&POLYMERS, &self.polymers))
    }
}

const POLYMERS: [Column<PolymerShown>; 6] = [
    both("polymer", "polymer", |shown| {
        shown.polymer.to_string().into()
    }),
    both("", "name", |shown| shown.name.into()),
    both("suitability", "rating", |shown| {
        shown.rating.map_or("-", Rating::word).into()
    }),
    both("against it", "against", |shown| {
        match shown.against.as_slice() {
            [] => "nothing known".into(),
            against => against.join("; ").into(),
        }
    }),
    both("source", "source", |shown| {
        format!("{} ({})", shown.source, shown.confidence).into()
    }),
    in_rows("notice", |_| notice([])),
];
