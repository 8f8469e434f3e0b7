//! The pages of models, and of names that are not in the book.

use super::parts_list::elsewhere_words;
use crate::app::find_model::NotFound;
use crate::app::model_list::ModelList;
use crate::app::model_show::{ModelPart, ModelShown};
use crate::core::book::PartsUnit;
use crate::core::provenance::with_shops;
use crate::render::{Cell, Document, Report, Sheet, Table};

impl Report for NotFound {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.text(if self.ambiguous {
            format!(
                "{:?} names more than one {}: write the one you mean.",
                self.asked, self.what
            )
        } else {
            format!(
                "There is no {} {:?} in the book{}",
                self.what,
                self.asked,
                if self.near.is_empty() {
                    "."
                } else {
                    "; it holds:"
                }
            )
        });
        page.list(self.near.iter().cloned());
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let rows = self.near.iter().map(|near| {
            vec![
                Cell::text(self.what),
                Cell::text(&self.asked),
                Cell::text(near),
            ]
        });
        Some(Sheet {
            header: vec!["not_found", "asked", "near"],
            rows: rows.collect(),
        })
    }
}

impl Report for ModelList {
    fn document(&self) -> Document {
        let mut page = Document::new();
        if self.models.is_empty() {
            page.text("No models yet: add a note with `ringwright note add FILE`.");
        }
        let mut table = Table::new(&["model", ">units", ">parts", "newest note"]);
        for model in &self.models {
            table.row([
                with_shops(&model.model, &model.from_shops),
                model.units.to_string(),
                model.parts.to_string(),
                model.newest.map_or_else(String::new, |d| d.to_string()),
            ]);
        }
        page.table(table);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let count = |n: usize| Cell::Count(i64::try_from(n).unwrap_or(i64::MAX));
        let rows = self.models.iter().map(|model| {
            vec![
                Cell::text(&model.model),
                count(model.units),
                count(model.parts),
                model
                    .newest
                    .map_or(Cell::Empty, |d| Cell::text(d.to_string())),
                Cell::text(model.from_shops.join(" | ")),
            ]
        });
        Some(Sheet {
            header: vec!["model", "units", "parts", "newest_note", "from_shops"],
            rows: rows.collect(),
        })
    }
}

impl Report for ModelShown {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(1, format!("Model {}", self.model));
        page.table(units_table(&self.units));
        page.list(self.warnings.iter().cloned());
        page.heading(2, "What the units agree on");
        let mut table = Table::new(&["section", "part", "where", "size", "~how sure", "units"]);
        for part in &self.parts {
            table.row([
                part.section.clone(),
                part.part.clone(),
                part.position.clone(),
                part.size.clone(),
                with_shops(&part.how_sure, &part.rests_on),
                agreement(part, self.units.len()),
            ]);
        }
        page.table(table);
        let disputes: Vec<String> = self
            .parts
            .iter()
            .flat_map(|part| {
                let name = format!("{}, {} {}", part.section, part.part, part.position);
                let name = name.trim_end().to_owned();
                let conflicts = part.conflicts.iter().map(|one| one.words.clone());
                let others = part.elsewhere.iter().map(elsewhere_words);
                let words: Vec<String> = conflicts.chain(others).collect();
                words
                    .into_iter()
                    .map(move |words| format!("{name}: {words}"))
            })
            .collect();
        if !disputes.is_empty() {
            page.heading(2, "What they disagree on");
            page.list(disputes);
        }
        page.cautions(&self.cautions);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let count = |n: usize| Cell::Count(i64::try_from(n).unwrap_or(i64::MAX));
        let rows = self.parts.iter().map(|part| {
            let words: Vec<&str> = part.conflicts.iter().map(|c| c.words.as_str()).collect();
            let others: Vec<String> = part.elsewhere.iter().map(elsewhere_words).collect();
            vec![
                Cell::text(&part.section),
                Cell::text(&part.position),
                Cell::text(&part.part),
                Cell::text(&part.size),
                Cell::text(&part.how_sure),
                count(part.units_recorded),
                Cell::text(part.units_agree.join(" | ")),
                Cell::text(words.join(" | ")),
                Cell::text(part.rests_on.join(" | ")),
                Cell::text(others.join(" | ")),
            ]
        });
        Some(Sheet {
            header: vec![
                "section",
                "position",
                "part",
                "size",
                "how_sure",
                "units_recorded",
                "units_agree",
                "conflicts",
                "rests_on",
                "other_shops_say",
            ],
            rows: rows.collect(),
        })
    }
}

fn agreement(part: &ModelPart, units: usize) -> String {
    let have = format!("in {} of {units}", part.units_recorded);
    if part.units_agree.is_empty() {
        have
    } else {
        format!("{have}, {} agree", part.units_agree.len())
    }
}

/// Lays out the recorded units of a model.
pub(super) fn units_table(units: &[PartsUnit]) -> Table {
    let mut table = Table::new(&[
        "unit",
        "kind of gear",
        "variant",
        "date",
        "gas",
        "supply",
        "rated",
        ">parts",
    ]);
    for unit in units {
        let word = |word: &Option<String>| word.clone().unwrap_or_default();
        let counts = if unit.counts_as_ours && !unit.from_shops.is_empty() {
            "accepted"
        } else {
            ""
        };
        let serial = with_shops(&unit.serial, &unit.from_shops);
        table.row([
            [serial.as_str(), counts].join(" ").trim().to_owned(),
            unit.gear.map_or_else(String::new, |gear| gear.to_string()),
            word(&unit.variant),
            unit.date.map_or_else(String::new, |date| date.to_string()),
            word(&unit.gas),
            word(&unit.supply),
            word(&unit.rated),
            unit.parts.to_string(),
        ]);
    }
    table
}
