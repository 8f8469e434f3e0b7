//! The pages of the commands that look after the book itself.

use crate::app::book_backup::BackupReport;
use crate::app::book_path::BookPathReport;
use crate::app::book_restore::RestoreReport;
use crate::render::{Cell, Document, Report, Sheet, Table};
use crate::store::check::CheckReport;

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
            page.table(self.tables_table(false));
        });
        page.rest(|page| {
            page.table(self.tables_table(true));
        });
        page
    }

    fn sheet(&self) -> Option<Sheet> {
        let rows = self.tables.iter().map(|state| {
            vec![
                Cell::text(&state.table),
                Cell::Count(i64::try_from(state.readable).unwrap_or(i64::MAX)),
                state.stopped_by.as_ref().map_or(Cell::Empty, Cell::text),
            ]
        });
        Some(Sheet {
            header: vec!["table", "readable_rows", "stopped_by"],
            rows: rows.collect(),
        })
    }
}

impl CheckReport {
    /// How many rows of each table can be read; of sound tables only where all are wanted.
    fn tables_table(&self, all: bool) -> Table {
        let mut table = Table::new(&["table", ">rows that can be read", "stopped by"]);
        let wanted = self
            .tables
            .iter()
            .filter(|state| all || state.stopped_by.is_some());
        for state in wanted {
            table.row([
                state.table.clone(),
                state.readable.to_string(),
                state.stopped_by.clone().unwrap_or_default(),
            ]);
        }
        table
    }
}
