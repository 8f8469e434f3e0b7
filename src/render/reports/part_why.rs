//! The page of what told the ring of a line.

use super::parts_list::{place_words, points};
use crate::app::parts_list::PartWhy;
use crate::core::book::{RingChance, UnitRing, worth};
use crate::core::caution::Caution;
use crate::core::identification::Fact;
use crate::render::{Document, Report, Sheet, Table, fixed, percent_of};

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
        let mut table = Table::new(&["fact", ">bits", "likeliest so far"]);
        for told in &line.ring.told {
            let leader = told
                .leader
                .as_ref()
                .map_or_else(|| "no listed size".to_owned(), chance_words);
            table.row(vec![
                fact_words(told.fact).to_owned(),
                fixed(told.bits, 2),
                leader,
            ]);
        }
        page.table(table);
        page.text(
            "One bit halves the doubt. Facts count from the top down; one adds less when those above it already say \
                the same."
                .to_owned(),
        );
        page.section("What came out");
        let mut table = Table::new(&["unit", "is", ">a wrong ring", ">wrong, and unfit"]);
        for ring in &line.ring.came_out {
            table.row(unit_cells(ring));
        }
        page.table(table);
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

    fn sheet(&self) -> Option<Sheet> {
        None
    }
}

fn unit_cells(ring: &UnitRing) -> Vec<String> {
    let words: Vec<String> = ring.odds.iter().take(3).map(chance_words).collect();
    vec![
        ring.unit.clone(),
        if words.is_empty() {
            "no listed size".to_owned()
        } else {
            words.join(", ")
        },
        percent_of(ring.foreign_probability),
        percent_of(ring.misfit_probability),
    ]
}

fn chance_words(ring: &RingChance) -> String {
    format!("{} ({})", ring.code(), percent_of(ring.probability))
}

/// Names a fact.
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
