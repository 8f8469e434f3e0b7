//! The pages of the commands that look after the book itself.

use crate::app::book_backup::BackupReport;
use crate::app::book_path::BookPathReport;
use crate::app::book_restore::RestoreReport;
use crate::render::{Column, Document, Report, Sheet, both, sheet, table};
use crate::store::check::{CheckReport, TableState};

impl Report for BookPathReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.text(self.path.clone());
        let place = if self.is_default {
            "the default place"
        } else {
            "named by --book or RINGWRIGHT_BOOK"
        };
        page.text(match (self.version, self.models, self.notes) {
            (Some(version), Some(models), Some(notes)) => {
                format!("{place}; book version {version}, models: {models}, notes: {notes}")
            }
            _ => format!("{place}; no book there yet"),
        });
        page
    }
}

impl Report for BackupReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.text(format!(
            "{} is copied to {} ({} bytes, checked).",
            self.book, self.copy, self.bytes
        ));
        page.text("Keep copies on another disk than the book.");
        page
    }
}

impl Report for RestoreReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.text(format!("{} now holds what {} holds.", self.book, self.copy));
        page.text(match &self.kept {
            Some(kept) => format!("The former book is kept as {kept}."),
            None => "There was no book there before.".to_owned(),
        });
        page
    }
}

impl Report for CheckReport {
    fn document(&self) -> Document {
        let mut page = Document::new();
        page.heading(1, format!("Book {}", self.path));
        let version = if self.version == self.newest_version {
            format!(
                "Book version {}, the one that this program writes.",
                self.version
            )
        } else {
            format!(
                "Book version {}; this program writes {} and brings the book to it at the next command.",
                self.version, self.newest_version
            )
        };
        page.text(version);
        if self.is_sound() {
            page.text(
                "Sound: every page, every reference between rows, every row and every seal was read and found whole, and the \
                 search of offers agrees with them.",
            );
        } else {
            page.text("NOT sound:");
            page.list(self.faults.iter().cloned());
            page.text("What can be saved:");
            page.list(self.remedies.iter().cloned());
            page.text("The table says what can still be read.");
        }
        for reason in &self.unexamined {
            page.text(format!("NOT examined: {reason}."));
        }
        if let Some(figures) = &self.job_figures {
            page.text(format!(
                "Job records: {}, entries: {}, seal {}. Write these down with the day and keep them outside the book: they stay the same until \
                 the next entry, and change if somebody alters a record together with all its seals.",
                figures.jobs, figures.entries, figures.seal
            ));
        }
        page.in_short(|page| {
            let stopped = self.tables.iter();
            page.table(table(
                &TABLES,
                stopped.filter(|state| state.stopped_by.is_some()),
            ));
        });
        page.rest(|page| {
            page.table(table(&TABLES, &self.tables));
        });
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        Some(sheet(&TABLES, &self.tables))
    }
}

/// How many rows of each table can be read.
const TABLES: [Column<TableState>; 3] = [
    both("table", "table", |state| (&state.table).into()),
    both(">rows that can be read", "readable_rows", |state| {
        state.readable.into()
    }),
    both("stopped by", "stopped_by", |state| {
        state.stopped_by.as_ref().into()
    }),
];
