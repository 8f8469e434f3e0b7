//! The page of a part: where it is used and what takes its place.

use crate::app::uses::{PartUses, UsesReport};
use crate::core::gland::Verdict;
use crate::core::interchange::{Grade, StandIn, Statement, UsedAt};
use crate::core::provenance::{Sourced, from_words, with_shops};
use crate::core::sizes::NearGrade;
use crate::render::{Cell, Document, Report, Sheet, Table, notice};

impl Report for UsesReport {
    fn lay_out(&self, page: &mut Document) {
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

    fn sheet(&self) -> Option<Sheet> {
        let mut rows = Vec::new();
        for part in &self.parts {
            for one in &part.used {
                rows.push(vec![
                    Cell::text(&part.part),
                    Cell::text("used"),
                    Cell::text(&one.spec),
                    Cell::text(format!("{}: {}", one.model, one.place)),
                    Cell::text(verdict(one.verdict)),
                    Cell::text(from_words(&one.rests_on)),
                    Cell::text(""),
                    notice((!one.decided).then(|| "NOT DECIDED, the likeliest".to_owned())),
                ]);
            }
            for one in &part.stand_ins {
                let places = one
                    .glands
                    .iter()
                    .map(|g| format!("{}: {}", g.at, verdict(g.verdict)));
                rows.push(vec![
                    Cell::text(&part.part),
                    Cell::text("stand-in"),
                    Cell::text(&one.part),
                    Cell::text(places.collect::<Vec<_>>().join("; ")),
                    Cell::text(one.grade.map_or("", Grade::words)),
                    Cell::text(
                        one.said
                            .iter()
                            .map(said_words)
                            .collect::<Vec<_>>()
                            .join("; "),
                    ),
                    Cell::text(one.near.map_or("", NearGrade::word)),
                    notice([doubt_of(one).to_owned()]),
                ]);
            }
            for one in &part.stands_in_for {
                rows.push(vec![
                    Cell::text(&part.part),
                    Cell::text("stands in for"),
                    Cell::text(&one.part),
                    Cell::text(&one.at),
                    Cell::text(one.grade.words()),
                    Cell::text(said_words(one)),
                    Cell::text(""),
                    notice([failure_word(Some(one.grade)).to_owned()]),
                ]);
            }
        }
        Some(Sheet {
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
        })
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
        let mut table = Table::new(&[
            "model",
            "place",
            "part",
            ">in a unit",
            ">units seen",
            "listed there as",
            "gland",
        ]);
        for one in &part.used {
            table.row([
                one.model.clone(),
                one.place.clone(),
                one.part.clone(),
                one.quantity.to_string(),
                one.units.to_string(),
                listed(one),
                verdict(one.verdict).to_owned(),
            ]);
        }
        page.table(table);
    }
    stand_ins(page, &part.stand_ins);
    if !part.stands_in_for.is_empty() {
        page.heading(3, "Put in the place of");
        page.list(
            part.stands_in_for
                .iter()
                .map(|one| format!("{}: {}; {}", one.part, one.grade.words(), said_words(one)))
                .collect::<Vec<_>>(),
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

fn stand_ins(page: &mut Document, stand_ins: &[StandIn]) {
    let recorded: Vec<&StandIn> = stand_ins
        .iter()
        .filter(|one| !one.said.is_empty())
        .collect();
    if !recorded.is_empty() {
        page.heading(3, "In its place, as recorded");
        let mut table = Table::new(&["part", "grade", "who, when, on which evidence", "glands"]);
        for one in recorded {
            let words: Vec<String> = one
                .said
                .iter()
                .map(|said| format!("{}: {}", said.grade.words(), said_words(said)))
                .collect();
            table.row([
                one.part.clone(),
                one.grade.map_or("", Grade::words).to_owned(),
                words.join("; "),
                gland_words(one),
            ]);
        }
        page.table(table);
    }
    let proposed: Vec<&StandIn> = stand_ins.iter().filter(|one| one.said.is_empty()).collect();
    if !proposed.is_empty() {
        page.heading(3, "Near in size, checked in the glands that use the part");
        let mut table = Table::new(&["ring", "dimensions", "proposal", "glands"]);
        for one in proposed {
            let words = one.grade.map_or_else(|| unsettled_word(one), Grade::words);
            table.row([
                one.part.clone(),
                one.near.map_or("", NearGrade::word).to_owned(),
                words.to_owned(),
                gland_words(one),
            ]);
        }
        page.table(table);
    }
}

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
    places.collect::<Vec<_>>().join("; ")
}

fn said_words(one: &Sourced<Statement>) -> String {
    let at = if one.at.is_empty() {
        String::new()
    } else {
        format!(" at {}", one.at)
    };
    let person = with_shops(&one.person, one.from_shop.as_slice());
    format!("{person} {}{at}, {}", day(&one.said_at), one.evidence)
}

fn day(moment: &str) -> &str {
    moment.get(..10).unwrap_or(moment)
}

fn verdict(verdict: Option<Verdict>) -> &'static str {
    verdict.map_or("no gland to check", Verdict::word)
}
