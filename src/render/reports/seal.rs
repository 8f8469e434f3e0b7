//! The pages of seals: what to order a ring in, how it is stored and lubricated.

use crate::app::gland::seal::{MaterialReport, PolymerShown, SealCareReport, ShelfLifeShown};
use crate::core::elastomer::{LubricantRule, LubricantVerdict, Rating};
use crate::render::words::grouped;
use crate::render::{
    Cell, Column, DECISION, Document, Report, both, in_rows, notice, on_page, table,
};

impl Report for MaterialReport {
    fn lay_out(&self, page: &mut Document) {
        let hardness = self
            .choice
            .hardness
            .map_or_else(|| "hardness by the pressure".to_owned(), |h| h.to_string());
        let title = self.choice.polymer.map_or_else(
            || format!("No rule names a polymer: ask the supplier; {hardness}"),
            |polymer| format!("Order {polymer} ({}), {hardness}", polymer.facts().name),
        );
        page.title(title);
        page.list([
            format!("polymer: {}", self.choice.polymer_reason),
            format!("hardness: {}", self.choice.hardness_reason),
        ]);
        page.reasons(|page| {
            page.text(format!(
                "{} ({})",
                self.choice.source, self.choice.confidence
            ));
        });
        page.brief(self.warnings.points.iter().take(FIRST).cloned());
        lubricants(page, &self.lubricants);
        page.in_short(|page| page.if_room(|page| page.list(self.others())));
        page.rest(|page| {
            page.section("Every polymer in this duty");
            page.listed(&POLYMERS, &self.polymers);
        });
        further(page, &self.warnings.points);
        page.cautions(&self.warnings.cautions);
        page.fits(DECISION);
    }
}

/// So many points stand on top: dangers come first.
const FIRST: usize = 2;

/// Tells the points that do not stand on top.
fn further(page: &mut Document, points: &[String]) {
    page.if_room(|page| {
        page.section("Before you rely on it");
        page.brief(points.iter().skip(FIRST).cloned());
    });
}

impl MaterialReport {
    /// The other polymers, by how they suit.
    fn others(&self) -> Vec<String> {
        let others = self.polymers.iter();
        let others = others.filter(|shown| Some(shown.polymer) != self.choice.polymer);
        let rated = others.map(|shown| {
            let name = match shown.against.as_slice() {
                [] => shown.polymer.to_string(),
                _ if shown.rating.is_none() => shown.polymer.to_string(),
                against => format!("{} ({})", shown.polymer, against.join("; ")),
            };
            (shown.rating.map_or("no rating known", Rating::word), name)
        });
        let groups = grouped(rated).into_iter();
        groups
            .map(|(word, names)| format!("{word}: {}", names.join(", ")))
            .collect()
    }
}

const POLYMERS: [Column<PolymerShown>; 6] = [
    both("polymer", "polymer", |shown| {
        shown.polymer.to_string().into()
    }),
    both("", "name", |shown| shown.name.into()),
    both("suitability", "rating", |shown| {
        shown.rating.map_or("-", Rating::word).into()
    }),
    both("against it", "against", |shown| {
        match shown.against.as_slice() {
            [] => "nothing known".into(),
            against => against.join("; ").into(),
        }
    }),
    both("source", "source", |shown| {
        format!("{} ({})", shown.source, shown.confidence).into()
    }),
    in_rows("notice", |_| notice([])),
];

impl Report for SealCareReport {
    fn lay_out(&self, page: &mut Document) {
        page.title(format!(
            "{} ({}) in {}",
            self.facts.polymer, self.facts.name, self.service
        ));
        page.brief(self.warnings.points.iter().take(FIRST).cloned());
        lubricants(page, &self.lubricants);
        page.section("Shelf life of loose rings, by two systems (never mix them)");
        page.listed(&SHELF_LIVES, &self.shelf_lives);
        further(page, &self.warnings.points);
        page.cautions(&self.warnings.cautions);
        page.fits(DECISION);
    }
}

/// Lays out the classes of lubricant, or says that no rule is at hand.
pub(super) fn lubricants(page: &mut Document, rules: &[&LubricantRule]) {
    if rules.is_empty() {
        page.text(
            "No lubricant rule covers this gas, so none is called suitable: ask the supplier.",
        );
        return;
    }
    page.in_short(|page| {
        let named = |verdict: LubricantVerdict| {
            let named = rules.iter().filter(|rule| rule.verdict == verdict);
            let names: Vec<&str> = named.map(|rule| rule.name.as_str()).collect();
            (!names.is_empty())
                .then(|| format!("{}: {}", lubricant_word(verdict), names.join("; ")))
        };
        let verdicts = [
            LubricantVerdict::Suits,
            LubricantVerdict::Avoid,
            LubricantVerdict::Never,
        ];
        page.text("Lubricant:");
        page.list(verdicts.into_iter().filter_map(named));
    });
    page.rest(|page| {
        page.section("Lubricant");
        page.table(table(&LUBRICANTS, rules.iter().copied()));
    });
}

/// The classes of lubricant with their verdict.
const LUBRICANTS: [Column<LubricantRule>; 3] = [
    on_page("class", |rule| (&rule.name).into()),
    on_page("", |rule| lubricant_word(rule.verdict).into()),
    on_page("why", |rule| {
        format!("{} ({})", rule.reason, rule.confidence).into()
    }),
];

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
    both("~source", "source", |shown| {
        let rule = shown.rule;
        format!("{}; {} ({})", rule.edition, rule.source, rule.confidence).into()
    }),
];
