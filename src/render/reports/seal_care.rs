//! The page of storing and lubricating the rings of a polymer.

use crate::app::seal_care::{SealCareReport, ShelfLifeShown};
use crate::core::elastomer::{LubricantRule, LubricantVerdict};
use crate::render::{Cell, Document, Report, Sheet, Table};

impl Report for SealCareReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(
            1,
            format!(
                "{} ({}) in {}",
                self.facts.polymer, self.facts.name, self.service
            ),
        );
        lubricants(&mut page, &self.lubricants);
        page.heading(
            2,
            "Shelf life of loose rings, by two systems (never mix them)",
        );
        let mut table = Table::new(&[
            "system",
            "first",
            "more after inspection",
            "ends",
            "~source",
        ]);
        for shown in &self.shelf_lives {
            table.row(shelf_row(shown));
        }
        page.table(table);
        page.heading(2, "Before you rely on it");
        page.list(self.warnings.points.iter().cloned());
        page.cautions(&self.warnings.cautions);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let rows = self
            .shelf_lives
            .iter()
            .map(|shown| shelf_row(shown).into_iter().map(Cell::text).collect());
        Some(Sheet {
            header: vec!["system", "first", "extension", "ends", "source"],
            rows: rows.collect(),
        })
    }
}

/// Lays out the classes of lubricant, or says that no rule is at hand.
pub(super) fn lubricants(page: &mut Document, rules: &[&LubricantRule]) {
    if rules.is_empty() {
        page.text(
            "No lubricant rule covers this gas, so none is called suitable: ask the supplier.",
        );
        return;
    }
    page.in_short(|page| {
        let named = |verdict: LubricantVerdict| {
            let named = rules.iter().filter(|rule| rule.verdict == verdict);
            let names: Vec<&str> = named.map(|rule| rule.name.as_str()).collect();
            (!names.is_empty())
                .then(|| format!("{}: {}", lubricant_word(verdict), names.join("; ")))
        };
        let verdicts = [
            LubricantVerdict::Suits,
            LubricantVerdict::Avoid,
            LubricantVerdict::Never,
        ];
        page.text("Lubricant:");
        page.list(verdicts.into_iter().filter_map(named));
    });
    page.rest(|page| {
        page.heading(2, "Lubricant");
        page.table(lubricant_table(rules));
    });
}

/// Lays out classes of lubricant with their verdict.
fn lubricant_table(rules: &[&LubricantRule]) -> Table {
    let mut table = Table::new(&["class", "", "why"]);
    for rule in rules {
        table.row([
            rule.name.clone(),
            lubricant_word(rule.verdict).to_owned(),
            format!("{} ({})", rule.reason, rule.confidence),
        ]);
    }
    table
}

fn lubricant_word(verdict: LubricantVerdict) -> &'static str {
    match verdict {
        LubricantVerdict::Suits => "SUITS, sparingly",
        LubricantVerdict::Avoid => "AVOID",
        LubricantVerdict::Never => "NEVER",
    }
}

fn shelf_row(shown: &ShelfLifeShown) -> [String; 5] {
    let rule = shown.rule;
    let years = |years: Option<u16>| years.map_or_else(|| "-".to_owned(), |y| format!("{y} years"));
    let system = rule.system.name();
    let group = rule
        .group
        .as_ref()
        .map_or_else(String::new, |g| format!(", group {g}"));
    [
        format!("{system}{group}"),
        if rule.is_unlimited() {
            "unlimited".to_owned()
        } else {
            years(rule.first_years)
        },
        years(rule.extension_years),
        match shown.ends {
            Some(end) if shown.over => {
                format!("OVER since the first day of {end}")
            }
            Some(end) => format!("first day of {end}"),
            None => "-".to_owned(),
        },
        format!("{}; {} ({})", rule.edition, rule.source, rule.confidence),
    ]
}
