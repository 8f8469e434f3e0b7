//! The page of what was decided for a model.

use super::parts_list::{place_words, points};
use crate::app::decide::DecisionsReport;
use crate::core::book::Decision;
use crate::core::caution::Caution;
use crate::render::{Cell, Document, Report, Sheet, Table, notice};

impl Report for DecisionsReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(1, format!("Decided for {}", self.model));
        page.cautions(&[Caution::Standing]);
        if self.decisions.is_empty() {
            page.text(
                "Nothing was decided by a person: every ring follows from the evidence.".to_owned(),
            );
            return page;
        }
        let mut table = Table::new(&["place", "ring", "by", "on", "why", "stands"]);
        for one in &self.decisions {
            table.row(vec![
                format!("{}, {}", one.section, one.position),
                ring_words(one),
                one.person.clone(),
                day(&one.decided_at),
                one.why.clone(),
                stands(one),
            ]);
        }
        page.table(table);
        for line in &self.lines {
            page.text(place_words(line));
            page.list(points(line));
        }
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let text = |text: &str| {
            if text.is_empty() {
                Cell::Empty
            } else {
                Cell::text(text)
            }
        };
        let rows = self.decisions.iter().map(|one| {
            vec![
                text(&one.section),
                text(&one.position),
                text(&ring_words(one)),
                text(&one.person),
                text(&one.decided_at),
                text(&one.why),
                text(&stands(one)),
                notice(std::iter::empty()),
            ]
        });
        Some(Sheet {
            header: vec![
                "section",
                "position",
                "ring",
                "by",
                "decided_at",
                "why",
                "stands",
                "notice",
            ],
            rows: rows.collect(),
        })
    }
}

fn ring_words(one: &Decision) -> String {
    let words = [
        Some(&one.ring),
        one.polymer.as_ref(),
        one.hardness.as_ref(),
        one.part.as_ref(),
    ];
    let words: Vec<&str> = words.into_iter().flatten().map(String::as_str).collect();
    words.join(" ")
}

fn day(moment: &str) -> String {
    moment.get(..10).unwrap_or(moment).to_owned()
}

fn stands(one: &Decision) -> String {
    match &one.taken_back {
        None => "yes".to_owned(),
        Some(back) => format!(
            "withdrawn by {} on {}: {}",
            back.person,
            day(&back.at),
            back.why
        ),
    }
}
