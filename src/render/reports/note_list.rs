//! The page of the notes in the book, and of one note.

use crate::app::note_list::{NoteLine, NoteList};
use crate::app::note_show::NoteShown;
use crate::core::count::counted;
use crate::core::provenance::from_words;
use crate::render::{Column, Document, Report, Sheet, both, in_rows, on_page, sheet, table};
use crate::store::Acceptance;

impl Report for NoteList {
    fn document(&self) -> Document {
        let mut page = Document::new();
        if self.notes.is_empty() {
            page.text("No notes yet: add one with `ringwright note add FILE`.");
        }
        page.table(table(&NOTES, &self.notes));
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        Some(sheet(&NOTES, &self.notes))
    }
}

const NOTES: [Column<NoteLine>; 11] = [
    both("model", "model", |note| (&note.model).into()),
    both("unit", "unit", |note| (&note.unit).into()),
    both("date", "date", |note| note.date.into()),
    both(">parts", "parts", |note| note.parts.into()),
    both(">rings", "rings", |note| note.rings.into()),
    in_rows("errors_left_out", |note| note.unread_lines.into()),
    both("added", "added_at", |note| (&note.added_at).into()),
    on_page("remark", |note| {
        let left_out = counted(note.unread_lines as usize, "error", "errors");
        let left_out = (note.unread_lines > 0).then(|| format!("{left_out} left out"));
        let replaced = note.replaced_at.as_ref();
        let replaced = replaced.map(|moment| format!("replaced {moment}"));
        let whose = whose(note.from_shop.as_slice(), note.accepted.as_ref());
        let remarks = [left_out, replaced, whose].into_iter().flatten();
        remarks.collect::<Vec<_>>().join("; ").into()
    }),
    in_rows("replaced_at", |note| note.replaced_at.as_ref().into()),
    in_rows("from_shop", |note| note.from_shop.as_ref().into()),
    in_rows("accepted_by", |note| {
        note.accepted.as_ref().map(|one| &one.by).into()
    }),
];

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
