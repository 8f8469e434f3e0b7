//! The page of the notes in the book, and of one note.

use crate::app::note_list::NoteList;
use crate::app::note_show::NoteShown;
use crate::core::count::counted;
use crate::core::provenance::from_words;
use crate::render::{Cell, Document, Report, Sheet, Table};
use crate::store::Acceptance;

impl Report for NoteList {
    fn document(&self) -> Document {
        let mut page = Document::new();
        if self.notes.is_empty() {
            page.text("No notes yet: add one with `ringwright note add FILE`.");
        }
        let mut table = Table::new(&[
            "model", "unit", "date", ">parts", ">rings", "added", "remark",
        ]);
        for note in &self.notes {
            let mut remarks = Vec::new();
            if note.unread_lines > 0 {
                remarks.push(format!(
                    "{} left out",
                    counted(note.unread_lines as usize, "error", "errors")
                ));
            }
            if let Some(moment) = &note.replaced_at {
                remarks.push(format!("replaced {moment}"));
            }
            remarks.extend(whose(note.from_shop.as_slice(), note.accepted.as_ref()));
            table.row([
                note.model.clone(),
                note.unit.clone(),
                note.date.map_or_else(String::new, |date| date.to_string()),
                note.parts.to_string(),
                note.rings.to_string(),
                note.added_at.clone(),
                remarks.join("; "),
            ]);
        }
        page.table(table);
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let count = |n: usize| Cell::Count(i64::try_from(n).unwrap_or(i64::MAX));
        let rows = self.notes.iter().map(|note| {
            vec![
                Cell::text(&note.model),
                Cell::text(&note.unit),
                note.date
                    .map_or(Cell::Empty, |date| Cell::text(date.to_string())),
                count(note.parts),
                count(note.rings),
                Cell::Count(i64::from(note.unread_lines)),
                Cell::text(&note.added_at),
                note.replaced_at.as_ref().map_or(Cell::Empty, Cell::text),
                note.from_shop.as_ref().map_or(Cell::Empty, Cell::text),
                note.accepted
                    .as_ref()
                    .map_or(Cell::Empty, |accepted| Cell::text(&accepted.by)),
            ]
        });
        Some(Sheet {
            header: vec![
                "model",
                "unit",
                "date",
                "parts",
                "rings",
                "errors_left_out",
                "added_at",
                "replaced_at",
                "from_shop",
                "accepted_by",
            ],
            rows: rows.collect(),
        })
    }
}

/// Says whose note it is, where it is not our own, and whether it counts as ours.
fn whose(shops: &[String], accepted: Option<&Acceptance>) -> Option<String> {
    let shop = from_words(shops);
    (!shop.is_empty()).then(|| match accepted {
        Some(accepted) => format!("{shop}, accepted by {} {}", accepted.by, accepted.at),
        None => format!("{shop}, not accepted here"),
    })
}

impl NoteShown {
    /// Says whose note it is, where it is not our own, and whether it counts as ours.
    pub fn whose(&self) -> Option<String> {
        whose(self.from_shop.as_slice(), self.accepted.as_ref())
    }
}

impl Report for NoteShown {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(1, format!("{}, unit {}", self.model, self.unit));
        if let Some(words) = self.whose() {
            page.caution(format!("This note is {words}."));
        }
        for line in self.canonical.lines() {
            page.text(line);
        }
        page
    }
}
