//! The page of a part: where it is used and what takes its place.

use crate::app::model::uses::{PartUses, UsesReport};
use crate::core::gland::Verdict;
use crate::core::interchange::{Grade, StandIn, Statement, UsedAt};
use crate::core::provenance::{Sourced, from_words, with_shops};
use crate::core::sizes::NearGrade;
use crate::render::words::{day, joined, or_empty};
use crate::render::{Cell, Column, Document, Report, Sheet, notice, on_page, table};

impl Report for UsesReport {
    fn lay_out(&self, page: &mut Document) {
        let mut rows = Vec::new();
        for part in &self.parts {
            let mut row = |relation: &str, words: [&str; 5], own: &str| {
                let cells = [part.part.as_str(), relation].into_iter().chain(words);
                let own = notice([own.to_owned()]);
                rows.push(cells.map(Cell::text).chain([own]).collect());
            };
            for one in &part.used {
                let at = format!("{}: {}", one.model, one.place);
                let rests = from_words(&one.rests_on);
                let doubt = if one.decided {
                    ""
                } else {
                    "NOT DECIDED, the likeliest"
                };
                row(
                    "used",
                    [&one.spec, &at, verdict(one.verdict), &rests, ""],
                    doubt,
                );
            }
            for one in &part.stand_ins {
                let said = joined(one.said.iter().map(said_words), "; ");
                let grade = one.grade.map_or("", Grade::words);
                let near = one.near.map_or("", NearGrade::word);
                let words = [&one.part, &gland_words(one), grade, &said, near];
                row("stand-in", words, doubt_of(one));
            }
            for one in &part.stands_in_for {
                let words = [&one.part, &one.at, one.grade.words(), &said_words(one), ""];
                row("stands in for", words, failure_word(Some(one.grade)));
            }
        }
        page.rows(Sheet {
            header: vec![
                "part",
                "relation",
                "other",
                "at",
                "grade_or_verdict",
                "said",
                "near",
                "notice",
            ],
            rows,
        });
        page.title(format!("Part {}", self.typed));
        if self.parts.len() > 1 {
            page.caution("This name means more than one part: every one is shown.");
        }
        for part in &self.parts {
            show(page, part);
        }
        if !self.unread.is_empty() {
            page.section("Statements that cannot be compared");
            page.text("A part in them cannot be read; they may concern this part.");
            page.list(self.unread.iter().map(|one| {
                let grade = one.grade.words();
                format!(
                    "{} by {}: {grade}; {}",
                    one.part,
                    one.stand_in,
                    said_words(one)
                )
            }));
        }
        page.cautions(&self.cautions);
    }
}

fn show(page: &mut Document, part: &PartUses) {
    page.section(part.part.clone());
    if let Some(name) = &part.known_as {
        page.text(format!(
            "{:?} is a name for it, from {}: {} says so ({}, {}).",
            name.name,
            name.confidence,
            with_shops(&name.person, name.from_shop.as_slice()),
            name.source,
            day(&name.said_at)
        ));
    }
    if !part.lacking.is_empty() {
        page.text(format!(
            "Not given, though a supplier will ask for it: {}.",
            part.lacking.join(", ")
        ));
    }
    if part.used.is_empty() {
        page.text("No recorded model is known to use it.");
    } else {
        page.table(table(&USED, &part.used));
    }
    stand_ins(page, &part.stand_ins);
    if !part.stands_in_for.is_empty() {
        page.heading(3, "Put in the place of");
        page.list(
            part.stands_in_for
                .iter()
                .map(|one| format!("{}: {}; {}", one.part, one.grade.words(), said_words(one))),
        );
    }
}

fn listed(one: &UsedAt) -> String {
    let spec = with_shops(&one.spec, &one.rests_on);
    if one.decided {
        spec
    } else {
        format!("{spec} (NOT DECIDED, the likeliest)")
    }
}

const USED: [Column<UsedAt>; 7] = [
    on_page("model", |one| (&one.model).into()),
    on_page("place", |one| (&one.place).into()),
    on_page("part", |one| (&one.part).into()),
    on_page(">in a unit", |one| one.quantity.into()),
    on_page(">units seen", |one| one.units.into()),
    on_page("listed there as", |one| listed(one).into()),
    on_page("gland", |one| verdict(one.verdict).into()),
];

fn stand_ins(page: &mut Document, stand_ins: &[StandIn]) {
    let (proposed, recorded): (Vec<&StandIn>, Vec<&StandIn>) =
        stand_ins.iter().partition(|one| one.said.is_empty());
    if !recorded.is_empty() {
        page.heading(3, "In its place, as recorded");
        page.table(table(&RECORDED, recorded));
    }
    if !proposed.is_empty() {
        page.heading(3, "Near in size, checked in the glands that use the part");
        page.table(table(&PROPOSED, proposed));
    }
}

const RECORDED: [Column<StandIn>; 4] = [
    on_page("part", |one| (&one.part).into()),
    on_page("grade", |one| one.grade.map_or("", Grade::words).into()),
    on_page("who, when, on which evidence", |one| {
        let said = one.said.iter();
        let words = said.map(|said| format!("{}: {}", said.grade.words(), said_words(said)));
        joined(words, "; ").into()
    }),
    on_page("glands", |one| gland_words(one).into()),
];

const PROPOSED: [Column<StandIn>; 4] = [
    on_page("ring", |one| (&one.part).into()),
    on_page("dimensions", |one| {
        one.near.map_or("", NearGrade::word).into()
    }),
    on_page("proposal", |one| {
        one.grade
            .map_or_else(|| unsettled_word(one), Grade::words)
            .into()
    }),
    on_page("glands", |one| gland_words(one).into()),
];

/// Says why a proposal has no grade.
fn unsettled_word(one: &StandIn) -> &'static str {
    let verdicts = one.glands.iter().map(|gland| gland.verdict);
    if verdicts.into_iter().any(|v| v == Some(Verdict::Reject)) {
        "fits by size, FAILS a gland"
    } else {
        "not settled: check it"
    }
}

/// Says what the row of a part in the place of another must say for itself.
fn doubt_of(one: &StandIn) -> &'static str {
    match one.grade {
        None => unsettled_word(one),
        grade => failure_word(grade),
    }
}

fn failure_word(grade: Option<Grade>) -> &'static str {
    if grade == Some(Grade::Failed) {
        "TRIED AND FAILED: do not fit it there"
    } else {
        ""
    }
}

fn gland_words(one: &StandIn) -> String {
    let places = one
        .glands
        .iter()
        .map(|gland| format!("{}: {}", gland.at, verdict(gland.verdict)));
    joined(places, "; ")
}

fn said_words(one: &Sourced<Statement>) -> String {
    let at = or_empty((!one.at.is_empty()).then(|| format!(" at {}", one.at)));
    let person = with_shops(&one.person, one.from_shop.as_slice());
    format!("{person} {}{at}, {}", day(&one.said_at), one.evidence)
}

fn verdict(verdict: Option<Verdict>) -> &'static str {
    verdict.map_or("no gland to check", Verdict::word)
}
