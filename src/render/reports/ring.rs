//! The page of a ring's identification.

use crate::app::ring::identify::{ReadingUsed, RingAnswer, RingCandidate};
use crate::core::book::worth;
use crate::core::identification::{Estimate, Fact, GlandVerdict, Moulded, NextReading};
use crate::render::words::{joined, or_empty, ring_size};
use crate::render::{
    Cell, Column, Document, Report, Table, fixed, in_rows, inch3, mm2, on_page, percent_of, sheet,
    table,
};

const SHOWN: usize = 8;
const NEXT_SHOWN: usize = 4;

impl Report for RingAnswer {
    fn lay_out(&self, page: &mut Document) {
        page.rows(sheet(&CANDIDATES, &self.candidates));
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
            page.text(or_empty(made_for_line(self)));
            page.text(or_empty(self.gland.as_ref().map(gland_line)));
            page.text(or_empty(self.moulded.as_ref().map(moulded_line)));
            if !self.age_in_words.is_empty() {
                page.text(format!("Age: {}.", self.age_in_words.join("; ")));
            }
            page.text(or_empty(ask_words(self)));
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
}

/// A listed ring with its odds.
const CANDIDATES: [Column<RingCandidate>; 5] = [
    in_rows("rank", |one| one.rank.into()),
    in_rows("code", |one| one.codes.first().into()),
    in_rows("id_mm", |one| one.size.id.into()),
    in_rows("cs_mm", |one| one.size.section.into()),
    in_rows("probability", |one| Cell::rounded(one.probability, 6)),
];

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
                next.measurand.word(),
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

const SHORT: usize = 5;

/// A row of the table of rings: a candidate, or what the other rings come to.
enum OddsRow<'a> {
    Ring(&'a RingCandidate),
    Rest(&'static str, f64),
}

impl OddsRow<'_> {
    /// Says something of a ring; nothing of the others.
    fn ring(&self, pick: fn(&RingCandidate) -> String) -> Cell {
        match self {
            Self::Ring(candidate) => pick(candidate).into(),
            Self::Rest(..) => Cell::Empty,
        }
    }

    fn name(&self, codes: usize) -> Cell {
        match self {
            Self::Ring(candidate) => named(candidate, codes).into(),
            Self::Rest(name, _) => (*name).into(),
        }
    }

    fn share(&self) -> f64 {
        match self {
            Self::Ring(candidate) => candidate.probability,
            Self::Rest(_, share) => *share,
        }
    }
}

/// The likeliest rings, and what is left for others; rings too improbable to be kept one by one can be many, and what is left of
/// the whole is theirs.
fn odds_rows(answer: &RingAnswer, most: usize) -> Vec<OddsRow<'_>> {
    let shown = answer.candidates.iter().take(most);
    let named: f64 = shown.clone().map(|candidate| candidate.probability).sum();
    let rest = 1.0 - answer.unlisted_probability - named;
    let rest = OddsRow::Rest("other listed rings", rest);
    let unlisted = OddsRow::Rest("not a listed size", answer.unlisted_probability);
    shown.map(OddsRow::Ring).chain([rest, unlisted]).collect()
}

fn short_table(answer: &RingAnswer) -> Table {
    let mut rows = odds_rows(answer, SHORT);
    rows.retain(|row| matches!(row, OddsRow::Ring(_)) || row.share() > LEAST_REST);
    table(&short_columns(), &rows)
}

fn short_columns<'a>() -> [Column<OddsRow<'a>>; 7] {
    [
        on_page("", |row| row.ring(|one| one.rank.to_string())),
        on_page("ring", |row| row.name(1)),
        on_page(">ID mm", |row| row.ring(|one| mm2(one.size.id))),
        on_page(">section mm", |row| row.ring(|one| mm2(one.size.section))),
        on_page(">odds", |row| percent_of(row.share()).into()),
        on_page("", |row| bar(row.share()).into()),
        on_page("", |row| row.ring(|one| fits(one.misfit_sigma).to_owned())),
    ]
}

/// Less than this in common is not worth a row.
const LEAST_REST: f64 = 0.0005;

/// Names a ring by at most so many of its codes, and says who sells one that no standard lists.
pub(in crate::render) fn named(candidate: &RingCandidate, most: usize) -> String {
    let codes = joined(candidate.codes.iter().take(most), ", ");
    if candidate.sold_by.is_empty() {
        return codes;
    }
    let sellers = candidate.sold_by.join(" and ");
    format!("{codes}, sold by {sellers}, in no standard")
}

fn headline(answer: &RingAnswer) -> String {
    match answer.candidates.first() {
        None if answer.contradiction => {
            "The readings contradict each other: nothing is named".to_owned()
        }
        Some(first) if first.probability >= answer.unlisted_probability => format!(
            "{} ({}), {}",
            ring_size(first.size.id, first.size.section),
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

fn gland_line(gland: &GlandVerdict) -> String {
    let named: Vec<String> = gland
        .gland_alone
        .iter()
        .map(|side| format!("{} ({})", side.code(), percent_of(side.probability)))
        .collect();
    let own = gland.ring_alone.as_ref().map_or(String::new(), |side| {
        format!(
            "Its readings alone name {} ({}). ",
            side.code(),
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
    let many = answer.candidates.len() > SHOWN;
    let mut rows = odds_rows(answer, SHOWN);
    let rest = rows.len() - 2;
    if !many && rows[rest].share() <= LEAST_REST {
        rows.remove(rest);
    }
    table(&long_columns(), &rows)
}

fn long_columns<'a>() -> [Column<OddsRow<'a>>; 9] {
    [
        on_page("", |row| row.ring(|one| one.rank.to_string())),
        on_page("ring", |row| row.name(usize::MAX)),
        on_page(">ID mm", |row| row.ring(|one| mm2(one.size.id))),
        on_page(">section mm", |row| row.ring(|one| mm2(one.size.section))),
        on_page(">ID in", |row| row.ring(|one| inch3(one.size.id))),
        on_page(">section in", |row| row.ring(|one| inch3(one.size.section))),
        on_page(">odds", |row| percent_of(row.share()).into()),
        on_page("", |row| bar(row.share()).into()),
        on_page(">misfit", |row| {
            row.ring(|one| format!("{} σ", fixed(one.misfit_sigma, 1)))
        }),
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
    table(&NEXT, answer.measure_next.iter().take(NEXT_SHOWN))
}

const NEXT: [Column<NextReading>; 4] = [
    on_page("measure", |next| next.measurand.word().into()),
    on_page("with", |next| {
        format!("{} (by {})", next.label, next.method).into()
    }),
    on_page("", |next| worth(next.gain_bits).into()),
    on_page(">takes", |next| {
        format!("{} min", fixed(next.minutes, 1)).into()
    }),
];

/// Says what the first of the advised readings would decide.
fn outcomes(next: &NextReading) -> String {
    let outcomes = next.would_read.iter();
    let outcomes: Vec<String> = outcomes
        .map(|would| format!("{} for {}", fixed(would.value, 2), would.code()))
        .collect();
    format!(
        "The {} by {} would read about {}.",
        next.measurand.word(),
        next.method,
        outcomes.join(", ")
    )
}

pub(in crate::render) fn reading_table(answer: &RingAnswer) -> Table {
    table(&READINGS, &answer.readings)
}

const READINGS: [Column<ReadingUsed>; 5] = [
    on_page("", |reading| reading.reading.into()),
    on_page("typed", |reading| (&reading.typed).into()),
    on_page("method", |reading| (&reading.method).into()),
    on_page("counts as", |reading| {
        let unit = if reading.reading == "mass" { "g" } else { "mm" };
        let [value, doubt] = [reading.value, reading.standard_uncertainty].map(|v| fixed(v, 3));
        format!("{value} ±{doubt} {unit}").into()
    }),
    on_page(">slip", |reading| {
        percent_of(reading.slip_probability).into()
    }),
];
