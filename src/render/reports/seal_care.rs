//! The page of storing and lubricating the rings of a polymer.

use crate::app::seal_care::{SealCareReport, ShelfLifeShown};
use crate::core::elastomer::{LubricantRule, LubricantVerdict};
use crate::render::{Cell, Column, Document, Report, Sheet, both, on_page, sheet, table};

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
        page.heading(2, "Lubricant");
        lubricants(&mut page, &self.lubricants);
        page.heading(
            2,
            "Shelf life of loose rings, by two systems (never mix them)",
        );
        page.table(table(&SHELF_LIVES, &self.shelf_lives));
        page.heading(2, "Before you rely on it");
        page.list(self.warnings.points.iter().cloned());
        page.cautions(&self.warnings.cautions);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        Some(sheet(&SHELF_LIVES, &self.shelf_lives))
    }
}

/// Lays out the classes of lubricant, or says that no rule is at hand.
pub(super) fn lubricants(page: &mut Document, rules: &[&LubricantRule]) {
    if rules.is_empty() {
        page.text(
            "No lubricant rule covers this gas, so none is called suitable: ask the supplier.",
        );
    } else {
        page.table(table(&lubricant_columns(), rules));
    }
}

/// The classes of lubricant with their verdict.
fn lubricant_columns<'r>() -> [Column<&'r LubricantRule>; 3] {
    [
        on_page("class", |rule| (&rule.name).into()),
        on_page("", |rule| lubricant_word(rule.verdict).into()),
        on_page("why", |rule| {
            format!("{} ({})", rule.reason, rule.confidence).into()
        }),
    ]
}

fn lubricant_word(verdict: LubricantVerdict) -> &'static str {
    match verdict {
        LubricantVerdict::Suits => "SUITS, sparingly",
        LubricantVerdict::Avoid => "AVOID",
        LubricantVerdict::Never => "NEVER",
    }
}

fn years(years: Option<u16>) -> Cell {
    let years = years.map(|years| format!("{years} years"));
    years.unwrap_or_else(|| "-".to_owned()).into()
}

const SHELF_LIVES: [Column<ShelfLifeShown>; 5] = [
    both("system", "system", |shown| {
        let group = shown.rule.group.as_ref();
        let group = group.map_or_else(String::new, |group| format!(", group {group}"));
        format!("{}{group}", shown.rule.system.name()).into()
    }),
    both("first", "first", |shown| match shown.rule {
        rule if rule.is_unlimited() => "unlimited".into(),
        rule => years(rule.first_years),
    }),
    both("more after inspection", "extension", |shown| {
        years(shown.rule.extension_years)
    }),
    both("ends", "ends", |shown| match shown.ends {
        Some(end) if shown.over => format!("OVER since the first day of {end}").into(),
        Some(end) => format!("first day of {end}").into(),
        None => "-".into(),
    }),
    both("source", "source", |shown| {
        let rule = shown.rule;
        format!("{}; {} ({})", rule.edition, rule.source, rule.confidence).into()
    }),
];
