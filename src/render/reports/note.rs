//! The page of a checked note.

use crate::app::note_check::{NoteCheck, PartLine};
use crate::core::note::{Fate, Note, sheet};
use crate::render::{Cell, Document, Report, Sheet, Table, counted, csv};

const HEADER: [&str; 9] = [
    "place", "line", "column", "cell", "severity", "message", "remedy", "marked", "sound",
];

impl Report for NoteCheck {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(1, format!("Note {}", self.place));
        page.text(self.unit_words());
        let mut table = Table::new(&["", "section", "part", "where", "fate", "measured", "gland"]);
        for part in &self.parts {
            table.row(part_cells(part));
        }
        page.table(table);
        let faults = self.diagnostics.iter().map(|d| {
            let remedy = d
                .remedy
                .as_deref()
                .map_or(String::new(), |r| format!(": {r}"));
            format!(
                "{} in line {}, column {}: {}{remedy}",
                d.severity.word(),
                d.line,
                d.column,
                d.message
            )
        });
        page.list(faults);
        page.text(self.verdict_words());
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let rows = self.diagnostics.iter().map(|d| {
            let count = |n: usize| Cell::Count(i64::try_from(n).unwrap_or(i64::MAX));
            let optional = |text: &Option<String>| text.as_deref().map_or(Cell::Empty, Cell::text);
            vec![
                Cell::text(&self.place),
                count(d.line),
                count(d.column),
                optional(&d.cell),
                Cell::text(d.severity.word()),
                Cell::text(&d.message),
                optional(&d.remedy),
                Cell::text(&d.marked),
                Cell::text(if self.sound { "yes" } else { "no" }),
            ]
        });
        Some(Sheet {
            header: HEADER.to_vec(),
            rows: rows.collect(),
        })
    }
}

impl NoteCheck {
    fn unit_words(&self) -> String {
        let maker = self
            .maker
            .as_ref()
            .map_or(String::new(), |m| format!("{m} "));
        let date = self
            .date
            .map_or(String::new(), |d| format!(", taken apart on {d}"));
        let gear = self.gear.map_or(String::new(), |gear| format!(" ({gear})"));
        format!("{maker}{}, unit {}{gear}{date}.", self.model, self.unit)
    }

    /// Says in one line what was found and what follows.
    pub fn verdict_words(&self) -> String {
        let count = |fate: Fate| -> u32 {
            let parts = self.parts.iter().filter(|p| p.fate == fate);
            parts.map(|p| p.quantity).sum()
        };
        let parts: u32 = self.parts.iter().map(|p| p.quantity).sum();
        let found = counted(self.errors, self.warnings);
        let plural = if parts == 1 { "" } else { "s" };
        if self.sound {
            return format!(
                "Sound, {found}: {parts} part{plural}, {} to replace, {} to inspect, {} to keep.",
                count(Fate::Replace),
                count(Fate::Inspect),
                count(Fate::Keep)
            );
        }
        let faulty = self.parts.iter().filter(|p| p.faulty).count();
        format!(
            "{found} in {}; part lines read in full: {} of {}. Nothing is stored until they are mended.",
            self.place,
            self.parts.len() - faulty,
            self.parts.len()
        )
    }
}

fn part_cells(part: &PartLine) -> [String; 7] {
    let count = if part.quantity == 1 {
        String::new()
    } else {
        format!(" x{}", part.quantity)
    };
    let fault = if part.faulty {
        " (not read in full)"
    } else {
        ""
    };
    [
        part.order.to_string(),
        part.section.clone(),
        format!("{}{count}{fault}", part.name),
        part.position.clone(),
        part.fate.word().to_owned(),
        part.measured.join("; "),
        part.gland.clone().unwrap_or_default(),
    ]
}

/// Writes a note as CSV with one row a part, which [`read_sheet`](crate::core::note::read_sheet) reads back.
///
/// A dash number gets an apostrophe in front, so that a spreadsheet keeps it whole.
pub fn note_csv(note: &Note) -> String {
    let laid_out = sheet(note);
    let cell = |text: String| {
        if text.is_empty() {
            Cell::Empty
        } else {
            Cell::Text(text)
        }
    };
    let rows = laid_out.rows.into_iter();
    csv(&Sheet {
        header: laid_out.header,
        rows: rows
            .map(|row| row.into_iter().map(cell).collect())
            .collect(),
    })
}
