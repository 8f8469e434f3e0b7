//! The pages of models, and of names that are not in the book.

use super::parts_list::elsewhere_words;
use crate::app::model::list::{ModelLine, ModelList};
use crate::app::model::show::{ModelPart, ModelShown};
use crate::core::book::PartsUnit;
use crate::core::provenance::with_shops;
use crate::render::{
    Cell, Column, Document, LISTING, Report, both, in_rows, on_page, sheet, table,
};
use crate::store::NotFound;

impl Report for NotFound {
    fn lay_out(&self, page: &mut Document) {
        let columns: [Column<(&Self, &String)>; 3] = [
            in_rows("not_found", |(report, _)| report.what.into()),
            in_rows("asked", |(report, _)| (&report.asked).into()),
            in_rows("near", |(_, near)| (*near).into()),
        ];
        let rows: Vec<_> = self.near.iter().map(|near| (self, near)).collect();
        page.rows(sheet(&columns, &rows));
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
    }
}

impl Report for ModelList {
    fn lay_out(&self, page: &mut Document) {
        if self.models.is_empty() {
            page.text("No models yet: add a note with `ringwright note add FILE`.");
        }
        page.listed(&MODELS, &self.models);
    }
}

const MODELS: [Column<ModelLine>; 5] = [
    both("model", "model", |one| {
        Cell::shown(with_shops(&one.model, &one.from_shops), &one.model)
    }),
    both(">units", "units", |one| one.units.into()),
    both(">parts", "parts", |one| one.parts.into()),
    both("newest note", "newest_note", |one| one.newest.into()),
    in_rows("from_shops", |one| (&one.from_shops).into()),
];

impl Report for ModelShown {
    fn lay_out(&self, page: &mut Document) {
        page.rows(sheet(&PARTS, &self.parts));
        page.title(format!("Model {}", self.model));
        page.table(table(&UNITS, &self.units));
        page.list(self.warnings.iter().cloned());
        page.section("What the units agree on");
        let mut agreed = table(&PARTS, &self.parts);
        let agree = self
            .parts
            .iter()
            .map(|part| agreement(part, self.units.len()));
        agreed.and("units", agree);
        page.table(agreed);
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
            page.section("What they disagree on");
            page.brief(disputes);
        }
        page.cautions(&self.cautions);
        page.fits(LISTING);
    }
}

const PARTS: [Column<ModelPart>; 11] = [
    both("section", "section", |part| (&part.section).into()),
    on_page("part", |part| (&part.part).into()),
    both("where", "position", |part| (&part.position).into()),
    in_rows("part", |part| (&part.part).into()),
    both("size", "size", |part| (&part.size).into()),
    both("~how sure", "how_sure", |part| {
        Cell::shown(with_shops(&part.how_sure, &part.rests_on), &part.how_sure)
    }),
    in_rows("units_recorded", |part| part.units_recorded.into()),
    in_rows("units_agree", |part| (&part.units_agree).into()),
    in_rows("conflicts", |part| {
        let words: Vec<String> = part.conflicts.iter().map(|c| c.words.clone()).collect();
        (&words).into()
    }),
    in_rows("rests_on", |part| (&part.rests_on).into()),
    in_rows("other_shops_say", |part| {
        let others: Vec<String> = part.elsewhere.iter().map(elsewhere_words).collect();
        (&others).into()
    }),
];

fn agreement(part: &ModelPart, units: usize) -> String {
    let have = format!("in {} of {units}", part.units_recorded);
    if part.units_agree.is_empty() {
        have
    } else {
        format!("{have}, {} agree", part.units_agree.len())
    }
}

/// The recorded units of a model.
pub(super) const UNITS: [Column<PartsUnit>; 8] = [
    on_page("unit", |unit| {
        let counts = unit.counts_as_ours && !unit.from_shops.is_empty();
        let counts = if counts { "accepted" } else { "" };
        let serial = with_shops(&unit.serial, &unit.from_shops);
        format!("{serial} {counts}").trim().into()
    }),
    on_page("kind of gear", |unit| {
        unit.gear.map(|gear| gear.to_string()).into()
    }),
    on_page("variant", |unit| unit.variant.as_ref().into()),
    on_page("date", |unit| unit.date.into()),
    on_page("gas", |unit| unit.gas.as_ref().into()),
    on_page("supply", |unit| unit.supply.as_ref().into()),
    on_page("rated", |unit| unit.rated.as_ref().into()),
    on_page(">parts", |unit| unit.parts.into()),
];
