//! The page of one ring size.

use super::material;
use crate::app::ring::size::{NearRing, OpenRow, OpenTable, SizeMatch, SizeReport};
use crate::core::quantity::Length;
use crate::render::{
    Cell, Column, Document, Report, Table, both, fixed, in_rows, inch3, mm2, on_page, sheet, table,
};

const MATCHES: [Column<SizeMatch>; 8] = [
    in_rows("standard", |found| (&found.standard).into()),
    in_rows("code", |found| (&found.code).into()),
    in_rows("id_mm", |found| found.id.into()),
    in_rows("id_tol_mm", |found| found.id_tolerance.into()),
    in_rows("cs_mm", |found| found.section.into()),
    in_rows("cs_tol_mm", |found| found.section_tolerance.into()),
    in_rows("source", |found| (&found.source).into()),
    in_rows("confidence", |found| found.confidence.into()),
];

const NEAR: [Column<NearRing>; 6] = [
    on_page("code", |near| (&near.code).into()),
    on_page(">ID mm", |near| near.size.id.into()),
    on_page(">section mm", |near| near.size.section.into()),
    on_page(">ID differs", |near| signed(near.delta_id).into()),
    on_page(">section differs", |near| signed(near.delta_section).into()),
    on_page("grade", |near| near.grade.word().into()),
];

fn tolerance(tolerance: Option<Length>) -> Cell {
    tolerance.map_or_else(|| Cell::shown("-", Cell::Empty), Cell::from)
}

const LISTED: [Column<OpenRow>; 8] = [
    in_rows("standard", |size| size.standard.name().into()),
    both("code", "code", |size| (&size.code).into()),
    both(">ID mm", "id_mm", |size| size.id.into()),
    both(">±", "id_tol_mm", |size| tolerance(size.id_tolerance)),
    both(">section mm", "cs_mm", |size| size.section.into()),
    both(">±", "cs_tol_mm", |size| tolerance(size.section_tolerance)),
    in_rows("source", |size| (&size.source).into()),
    both("known", "confidence", |size| size.confidence.into()),
];

impl Report for SizeReport {
    fn lay_out(&self, page: &mut Document) {
        page.rows(sheet(&MATCHES, &self.matches));
        page.title(format!("Ring {}", self.typed));
        for found in &self.matches {
            page.section(found.code.clone());
            page.table(match_table(found));
        }
        page.list(self.warnings.iter().cloned());
        if !self.equivalents.is_empty() {
            page.section("The same ring, and near ones");
            page.table(table(&NEAR, &self.equivalents));
            page.text("\"near\" means an inside diameter within 3 % and a section within 4 %.");
        }
        page.cautions(&self.cautions);
    }
}

fn match_table(found: &SizeMatch) -> Table {
    let [class_b_id, class_b] = [found.class_b_id, found.class_b_section].map(mm2);
    let read_as = format!("{} ({})", found.understood, found.reading_confidence);
    let source = format!("{} ({})", found.source, found.confidence);
    let section = both_units(found.section, found.section_tolerance);
    let facts = [
        ("family", found.standard.clone()),
        ("inside diameter", both_units(found.id, found.id_tolerance)),
        ("section", section),
        (
            "ISO 3601-1 class B",
            format!("ID ±{class_b_id} mm, section ±{class_b} mm"),
        ),
        ("material", material_words(found)),
        ("read as", read_as),
        ("source of the size", source),
    ];
    Table::facts("value", facts)
}

fn both_units(length: Length, tolerance: Option<Length>) -> String {
    let plus = |t: String| format!(" ±{t}");
    format!(
        "{}{} mm ({}{} in)",
        mm2(length),
        tolerance.map(mm2).map_or(String::new(), plus),
        inch3(length),
        tolerance.map(inch3).map_or(String::new(), plus),
    )
}

fn material_words(found: &SizeMatch) -> String {
    let words = material(found.polymer, found.hardness);
    if words.is_empty() {
        "not named".to_owned()
    } else {
        words
    }
}

fn signed(length: Length) -> String {
    let text = fixed(length.mm(), 2);
    if text.starts_with('-') || text == "0.00" {
        text
    } else {
        format!("+{text}")
    }
}

impl Report for OpenTable {
    fn lay_out(&self, page: &mut Document) {
        page.title("Listed ring sizes");
        page.listed(&LISTED, &self.sizes);
    }
}
