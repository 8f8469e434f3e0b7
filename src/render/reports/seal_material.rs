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
        ]);
        page.reasons(|page| {
            page.text(format!(
                "{} ({})",
                self.choice.source, self.choice.confidence
            ));
        });
        page.in_short(|page| {
            page.list(self.others());
        });
        page.rest(|page| {
            page.heading(2, "Every polymer in this duty");
            let mut table = Table::new(&["polymer", "", "suitability", "against it", "source"]);
            for shown in &self.polymers {
                table.row(row(shown));
            }
            page.table(table);
        });
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

impl MaterialReport {
    /// The other polymers, by how they suit.
    fn others(&self) -> Vec<String> {
        let mut groups: Vec<(&str, Vec<String>)> = Vec::new();
        let others = self.polymers.iter();
        for shown in others.filter(|shown| Some(shown.polymer) != self.choice.polymer) {
            let word = shown.rating.map_or("no rating known", Rating::word);
            let name = match shown.against.as_slice() {
                [] => shown.polymer.to_string(),
                _ if shown.rating.is_none() => shown.polymer.to_string(),
                against => format!("{} ({})", shown.polymer, against.join("; ")),
            };
            match groups.iter_mut().find(|(known, _)| *known == word) {
                Some((_, names)) => names.push(name),
                None => groups.push((word, vec![name])),
            }
        }
        let words = groups.into_iter();
        words
            .map(|(word, names)| format!("{word}: {}", names.join(", ")))
            .collect()
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
