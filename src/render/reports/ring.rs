//! The page of a ring's identification.

use crate::app::identify::{NextMeasure, RingAnswer, RingCandidate};
use crate::app::ring_meaning::GlandAnswer;
use crate::core::book::worth;
use crate::core::identification::{Estimate, Fact, Moulded};
use crate::render::{Cell, Document, Report, Sheet, Table, fixed, inch3, mm2, percent_of, rounded};

/// Candidates that a page shows.
const SHOWN: usize = 8;
/// Next readings that a page shows.
const NEXT_SHOWN: usize = 4;

impl Report for RingAnswer {
    fn lay_out(&self, page: &mut Document) {
        page.title(headline(self));
        page.list(self.warnings.points.iter().cloned());
        page.in_short(|page| {
            page.table(short_table(self));
            page.text(self.short_words());
        });
        page.rest(|page| {
            page.table(candidate_table(self));
            if let [group] = self.cannot_separate.as_slice() {
                page.text(format!(
                    "These readings cannot tell these apart: {}.",
                    group.join(", ")
                ));
            }
            if let Some(words) = made_for_line(self) {
                page.text(words);
            }
            if let Some(gland) = &self.gland {
                page.text(gland_line(gland));
            }
            if let Some(moulded) = &self.moulded {
                page.text(moulded_line(moulded));
            }
            if !self.age_in_words.is_empty() {
                page.text(format!("Age: {}.", self.age_in_words.join("; ")));
            }
            if let Some(words) = ask_words(self) {
                page.text(words);
            }
            if !self.measure_next.is_empty() {
                page.section("What to measure next");
                page.table(next_table(self));
                page.text(outcomes(&self.measure_next[0]));
            }
            page.section("Readings as they count");
            page.table(reading_table(self));
        });
        page.cautions(&self.warnings.cautions);
    }

    fn sheet(&self) -> Option<Sheet> {
        let rows = self.candidates.iter().map(|c| {
            vec![
                Cell::Count(i64::try_from(c.rank).unwrap_or(i64::MAX)),
                Cell::text(c.codes.first().map_or("", String::as_str)),
                Cell::Number(c.size.id.mm_rounded()),
                Cell::Number(c.size.section.mm_rounded()),
                Cell::Number(rounded(c.probability, 6)),
            ]
        });
        Some(Sheet {
            header: vec!["rank", "code", "id_mm", "cs_mm", "probability"],
            rows: rows.collect(),
        })
    }
}

impl RingAnswer {
    /// What else is known, and the reading that would settle most.
    fn short_words(&self) -> String {
        let mut words: Vec<String> = Vec::new();
        if let [group] = self.cannot_separate.as_slice() {
            words.push(format!("These readings leave {} sizes open.", group.len()));
        }
        words.extend(made_for_line(self));
        words.extend(self.gland.as_ref().map(gland_line));
        words.extend(ask_words(self));
        if let Some(next) = self.measure_next.first() {
            words.push(format!(
                "Next: the {} by {}, {} min ({}).",
                next.reading,
                next.label,
                fixed(next.minutes, 1),
                worth(next.gain_bits)
            ));
        }
        words.join(" ")
    }
}

/// Says which facts would tell something beside readings: first those that take no tool.
fn ask_words(answer: &RingAnswer) -> Option<String> {
    let flag = |fact: Fact| match fact {
        Fact::Origin => Some("where and when the unit was made (--made \"us 1962\")"),
        Fact::OtherPlaces => Some("its model, for what its other rings are (--of MODEL)"),
        Fact::Maker | Fact::Readings | Fact::Siblings | Fact::Gland => None,
    };
    let asked = || answer.ask_first.iter();
    let facts: Vec<&str> = asked().filter_map(|next| flag(next.fact)).collect();
    let told =
        (!facts.is_empty()).then(|| format!("Say first, without a tool: {}.", facts.join("; ")));
    let groove = asked().find(|next| next.fact == Fact::Gland);
    let groove =
        groove.map(|next| format!("Measure its groove (--gland; {}).", worth(next.gain_bits)));
    let words: Vec<String> = told.into_iter().chain(groove).collect();
    (!words.is_empty()).then(|| words.join(" "))
}

/// Says in words how well a ring fits what was read.
pub(in crate::render) fn fits(sigma: f64) -> &'static str {
    match sigma {
        sigma if sigma <= 1.0 => "fits well",
        sigma if sigma <= 2.0 => "fits",
        sigma if sigma <= 3.0 => "fits badly",
        _ => "hardly fits",
    }
}

/// So many rings are shown on a screen.
const SHORT: usize = 5;

/// The likeliest rings with their odds.
fn short_table(answer: &RingAnswer) -> Table {
    let mut table = Table::new(&["", "ring", ">ID mm", ">section mm", ">odds", "", ""]);
    let mut shown = 0.0;
    for candidate in answer.candidates.iter().take(SHORT) {
        shown += candidate.probability;
        table.row([
            candidate.rank.to_string(),
            named(candidate, 1),
            mm2(candidate.size.id),
            mm2(candidate.size.section),
            percent_of(candidate.probability),
            bar(candidate.probability),
            fits(candidate.misfit_sigma).to_owned(),
        ]);
    }
    for (name, share) in [
        (
            "other listed rings",
            1.0 - answer.unlisted_probability - shown,
        ),
        ("not a listed size", answer.unlisted_probability),
    ] {
        if share > LEAST_REST {
            let empty = String::new;
            table.row([
                empty(),
                name.to_owned(),
                empty(),
                empty(),
                percent_of(share),
                bar(share),
                empty(),
            ]);
        }
    }
    table
}

/// Less than this in common is not worth a row.
const LEAST_REST: f64 = 0.0005;

/// Names a ring by at most so many of its codes, and says who sells one that no standard lists.
pub(in crate::render) fn named(candidate: &RingCandidate, most: usize) -> String {
    let codes: Vec<&str> = candidate
        .codes
        .iter()
        .take(most)
        .map(String::as_str)
        .collect();
    if candidate.sold_by.is_empty() {
        return codes.join(", ");
    }
    let sellers = candidate.sold_by.join(" and ");
    format!("{}, sold by {sellers}, in no standard", codes.join(", "))
}

fn headline(answer: &RingAnswer) -> String {
    match answer.candidates.first() {
        None if answer.contradiction => {
            "The readings contradict each other: nothing is named".to_owned()
        }
        Some(first) if first.probability >= answer.unlisted_probability => format!(
            "{} x {} mm ({}), {}",
            mm2(first.size.id),
            mm2(first.size.section),
            named(first, usize::MAX),
            percent_of(first.probability)
        ),
        Some(_) if answer.unlisted_probability < 0.5 => {
            "Many listed rings suit: too little was measured to name one".to_owned()
        }
        _ => "No listed ring is likely".to_owned(),
    }
}

/// Says what the place was made for, where that is told apart from what came out.
fn made_for_line(answer: &RingAnswer) -> Option<String> {
    let (made_for, out) = (answer.made_for.as_ref()?, answer.candidates.first()?);
    let differs = made_for.codes != out.codes || answer.gland.is_some();
    differs.then(|| {
        format!(
            "Its place was most likely made for {} ({}).",
            made_for.code(),
            percent_of(made_for.probability)
        )
    })
}

fn gland_line(gland: &GlandAnswer) -> String {
    let named: Vec<String> = gland
        .gland_alone
        .iter()
        .map(|side| format!("{} ({})", side.code, percent_of(side.probability)))
        .collect();
    let own = gland.ring_alone.as_ref().map_or(String::new(), |side| {
        format!(
            "Its readings alone name {} ({}). ",
            side.code,
            percent_of(side.probability)
        )
    });
    format!(
        "{own}The gland alone suits {} best. Chance that this ring is not the one the gland was made for: {}.",
        named.join(", "),
        percent_of(gland.foreign_probability)
    )
}

fn moulded_line(moulded: &Moulded) -> String {
    let range = |e: Estimate| {
        format!(
            "{} ({} to {})",
            fixed(e.mean, 2),
            fixed(e.low, 2),
            fixed(e.high, 2)
        )
    };
    format!(
        "As moulded, by the readings alone: ID {} mm, section {} mm.",
        range(moulded.id_mm),
        range(moulded.cs_mm)
    )
}

fn candidate_table(answer: &RingAnswer) -> Table {
    let mut table = Table::new(&[
        "",
        "ring",
        ">ID mm",
        ">section mm",
        ">ID in",
        ">section in",
        ">odds",
        "",
        ">misfit",
    ]);
    for candidate in answer.candidates.iter().take(SHOWN) {
        table.row(candidate_cells(candidate));
    }
    // Rings too improbable to be kept one by one can be many: what is left of the whole is theirs.
    let shown = answer.candidates.iter().take(SHOWN);
    let rest = 1.0 - answer.unlisted_probability - shown.map(|c| c.probability).sum::<f64>();
    if answer.candidates.len() > SHOWN || rest > LEAST_REST {
        table.row(filler("other listed rings", rest));
    }
    table.row(filler("not a listed size", answer.unlisted_probability));
    table
}

fn candidate_cells(candidate: &RingCandidate) -> [String; 9] {
    [
        candidate.rank.to_string(),
        named(candidate, usize::MAX),
        mm2(candidate.size.id),
        mm2(candidate.size.section),
        inch3(candidate.size.id),
        inch3(candidate.size.section),
        percent_of(candidate.probability),
        bar(candidate.probability),
        format!("{} σ", fixed(candidate.misfit_sigma, 1)),
    ]
}

fn filler(name: &str, share: f64) -> [String; 9] {
    let empty = String::new;
    [
        empty(),
        name.to_owned(),
        empty(),
        empty(),
        empty(),
        empty(),
        percent_of(share),
        bar(share),
        empty(),
    ]
}

/// Draws a share as a bar of at most ten marks.
fn bar(share: f64) -> String {
    const MARKS: f64 = 10.0;
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share lies between 0 and 1"
    )]
    let length = (share.clamp(0.0, 1.0) * MARKS).round() as usize;
    "▪".repeat(length)
}

pub(in crate::render) fn next_table(answer: &RingAnswer) -> Table {
    let mut table = Table::new(&["measure", "with", "", ">takes"]);
    for next in answer.measure_next.iter().take(NEXT_SHOWN) {
        table.row([
            next.reading.to_owned(),
            format!("{} (by {})", next.label, next.method),
            worth(next.gain_bits).to_owned(),
            format!("{} min", fixed(next.minutes, 1)),
        ]);
    }
    table
}

/// Says what the first of the advised readings would decide.
fn outcomes(next: &NextMeasure) -> String {
    let outcomes = next.would_read.iter();
    let outcomes: Vec<String> = outcomes
        .map(|would| format!("{} for {}", fixed(would.value, 2), would.code))
        .collect();
    format!(
        "The {} by {} would read about {}.",
        next.reading,
        next.method,
        outcomes.join(", ")
    )
}

pub(in crate::render) fn reading_table(answer: &RingAnswer) -> Table {
    let mut table = Table::new(&["", "typed", "method", "counts as", ">slip"]);
    for reading in &answer.readings {
        let unit = if reading.reading == "mass" { "g" } else { "mm" };
        table.row([
            reading.reading.to_owned(),
            reading.typed.clone(),
            reading.method.clone(),
            format!(
                "{} ±{} {unit}",
                fixed(reading.value, 3),
                fixed(reading.standard_uncertainty, 3)
            ),
            percent_of(reading.slip_probability),
        ]);
    }
    table
}
