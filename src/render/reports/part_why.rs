//! The page of what told the ring of a line.

use super::parts_list::{place_words, points};
use crate::app::model::parts_list::PartWhy;
use crate::core::book::{UnitRing, worth};
use crate::core::caution::Caution;
use crate::core::identification::{Fact, RingChance, Told};
use crate::render::words::joined;
use crate::render::{Cell, Column, Document, Report, fixed, on_page, percent_of, table};

impl Report for PartWhy {
    fn lay_out(&self, page: &mut Document) {
        let line = &self.line;
        page.title(format!(
            "{}: line {}, {}",
            self.model,
            line.number,
            place_words(line)
        ));
        page.cautions(&[Caution::Standing]);
        page.list(points(line));
        page.section("What the evidence says");
        page.table(table(&TOLD, &line.ring.told));
        page.text(
            "One bit halves the doubt. Facts count from the top down; one adds less when those above it already say \
                the same."
                .to_owned(),
        );
        page.section("What came out");
        page.table(table(&CAME_OUT, &line.ring.came_out));
        if let Some(next) = &line.ring.measure_next {
            let reads: Vec<String> = next
                .would_read
                .iter()
                .map(|(code, value)| format!("{} if {code}", fixed(*value, 2)))
                .collect();
            page.text(format!(
                "What would change it most: the {} by {} ({}): {}.",
                next.reading,
                next.label,
                worth(next.bits),
                reads.join(", ")
            ));
        }
    }
}

const TOLD: [Column<Told>; 3] = [
    on_page("fact", |told| fact_words(told.fact).into()),
    on_page(">bits", |told| fixed(told.bits, 2).into()),
    on_page("likeliest so far", |told| {
        or_unlisted(told.leader.as_slice())
    }),
];

const CAME_OUT: [Column<UnitRing>; 4] = [
    on_page("unit", |ring| (&ring.unit).into()),
    on_page("is", |ring| or_unlisted(&ring.odds)),
    on_page(">a wrong ring", |ring| {
        percent_of(ring.foreign_probability).into()
    }),
    on_page(">wrong, and unfit", |ring| {
        percent_of(ring.misfit_probability).into()
    }),
];

/// Names the likeliest rings, at most three.
fn or_unlisted(odds: &[RingChance]) -> Cell {
    match odds {
        [] => "no listed size".into(),
        odds => joined(odds.iter().take(3).map(chance_words), ", ").into(),
    }
}

fn chance_words(ring: &RingChance) -> String {
    format!("{} ({})", ring.code(), percent_of(ring.probability))
}

fn fact_words(fact: Fact) -> &'static str {
    match fact {
        Fact::Readings => "the readings of the first unit",
        Fact::Siblings => "the readings of the other units",
        Fact::Gland => "the gland",
        Fact::Origin => "where and when it was made, or the families that were asked for",
        Fact::Maker => "the other models of the maker",
        Fact::OtherPlaces => "the other rings of the model",
    }
}
