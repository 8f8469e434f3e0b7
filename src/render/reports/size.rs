//! The page of one ring size.

use super::material;
use crate::app::size::{OpenTable, SizeMatch, SizeReport};
use crate::core::quantity::Length;
use crate::render::{Cell, Document, Report, Sheet, Table, fixed, inch3, mm2};

const HEADER: [&str; 8] = [
    "standard",
    "code",
    "id_mm",
    "id_tol_mm",
    "cs_mm",
    "cs_tol_mm",
    "source",
    "confidence",
];

impl Report for SizeReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(1, format!("Ring {}", self.typed));
        for found in &self.matches {
            page.heading(2, found.code.clone());
            page.table(match_table(found));
        }
        page.list(self.warnings.iter().cloned());
        if !self.equivalents.is_empty() {
            page.heading(2, "The same ring, and near ones");
            let mut table = Table::new(&[
                "code",
                ">ID mm",
                ">section mm",
                ">ID differs",
                ">section differs",
                "grade",
            ]);
            for near in &self.equivalents {
                table.row([
                    near.code.clone(),
                    mm2(near.id),
                    mm2(near.section),
                    signed(near.delta_id),
                    signed(near.delta_section),
                    near.grade.word().to_owned(),
                ]);
            }
            page.table(table);
            page.text("\"near\" means an inside diameter within 3 % and a section within 4 %.");
        }
        page.cautions(&self.cautions);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        Some(Sheet {
            header: HEADER.to_vec(),
            rows: self.matches.iter().map(match_cells).collect(),
        })
    }
}

fn match_cells(found: &SizeMatch) -> Vec<Cell> {
    let tolerance = |t: Option<Length>| Cell::number(t.map(Length::mm_rounded));
    vec![
        Cell::text(&found.standard),
        Cell::text(&found.code),
        Cell::Number(found.id.mm_rounded()),
        tolerance(found.id_tolerance),
        Cell::Number(found.section.mm_rounded()),
        tolerance(found.section_tolerance),
        Cell::text(&found.source),
        Cell::text(found.confidence.word()),
    ]
}

fn match_table(found: &SizeMatch) -> Table {
    let mut table = Table::new(&["", "value"]);
    let mut line = |name: &str, value: String| {
        table.row([name.to_owned(), value]);
    };
    line("family", found.standard.clone());
    line("inside diameter", both_units(found.id, found.id_tolerance));
    line(
        "section",
        both_units(found.section, found.section_tolerance),
    );
    line(
        "ISO 3601-1 class B",
        format!(
            "ID ±{} mm, section ±{} mm",
            mm2(found.class_b_id),
            mm2(found.class_b_section)
        ),
    );
    line("material", material_words(found));
    line(
        "read as",
        format!("{} ({})", found.understood, found.reading_confidence),
    );
    line(
        "source of the size",
        format!("{} ({})", found.source, found.confidence),
    );
    table
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
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(1, "Listed ring sizes");
        let mut table = Table::new(&["code", ">ID mm", ">±", ">section mm", ">±", "known"]);
        let tolerance = |t: Option<Length>| t.map_or_else(|| "-".to_owned(), mm2);
        for size in &self.sizes {
            table.row([
                size.code.clone(),
                mm2(size.id),
                tolerance(size.id_tolerance),
                mm2(size.section),
                tolerance(size.section_tolerance),
                size.confidence.word().to_owned(),
            ]);
        }
        page.table(table);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let tolerance = |t: Option<Length>| Cell::number(t.map(Length::mm_rounded));
        let rows = self.sizes.iter().map(|size| {
            vec![
                Cell::text(size.standard.name()),
                Cell::text(&size.code),
                Cell::Number(size.id.mm_rounded()),
                tolerance(size.id_tolerance),
                Cell::Number(size.section.mm_rounded()),
                tolerance(size.section_tolerance),
                Cell::text(&size.source),
                Cell::text(size.confidence.word()),
            ]
        });
        Some(Sheet {
            header: HEADER.to_vec(),
            rows: rows.collect(),
        })
    }
}
