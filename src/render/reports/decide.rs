//! The page of what was decided for a model.

use super::parts_list::{place_words, points};
use crate::app::model::decide::DecisionsReport;
use crate::core::book::Decision;
use crate::core::caution::Caution;
use crate::render::words::{day, joined};
use crate::render::{Cell, Column, Document, Report, both, in_rows, notice, on_page, sheet, table};

impl Report for DecisionsReport {
    fn lay_out(&self, page: &mut Document) {
        page.rows(sheet(&DECISIONS, &self.decisions));
        page.title(format!("Decided for {}", self.model));
        page.cautions(&[Caution::Standing]);
        if self.decisions.is_empty() {
            page.text(
                "Nothing was decided by a person: every ring follows from the evidence.".to_owned(),
            );
            return;
        }
        page.table(table(&DECISIONS, &self.decisions));
        for line in &self.lines {
            page.text(place_words(line));
            page.list(points(line));
        }
    }
}

const DECISIONS: [Column<Decision>; 9] = [
    on_page("place", |one| {
        format!("{}, {}", one.section, one.position).into()
    }),
    in_rows("section", |one| (&one.section).into()),
    in_rows("position", |one| (&one.position).into()),
    both("ring", "ring", |one| ring_words(one).into()),
    both("by", "by", |one| (&one.person).into()),
    both("on", "decided_at", |one| Cell::moment(&one.decided_at)),
    both("why", "why", |one| (&one.why).into()),
    both("stands", "stands", |one| stands(one).into()),
    in_rows("notice", |_| notice([])),
];

fn ring_words(one: &Decision) -> String {
    let more = [&one.polymer, &one.hardness, &one.part];
    let words = more.into_iter().flatten();
    joined([&one.ring].into_iter().chain(words), " ")
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
