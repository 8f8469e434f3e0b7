//! The forms that a report can take: a terminal page, JSON, CSV, Markdown.
//!
//! A report is a plain struct of the application. Its JSON is the struct itself (serde); its page is a [`Document`] of
//! blocks that every page form renders; its CSV is a [`Sheet`] of typed cells. A new form of page is one new file beside
//! [`text()`]; a new report is one new file under `reports`.

mod column;
mod diagnostics;
mod document;
mod markdown;
mod number;
pub mod page;
mod reports;
mod scan_picture;
pub mod sheets;
mod spreadsheet;
mod text;
mod visible;
mod words;

use crate::core::word::words;
pub use column::{Column, both, in_rows, on_page, sheet, table};
pub use diagnostics::{counted, marked_lines};
pub use document::{Behind, Block, DECISION, Depth, Document, Head, LISTING, Table};
pub use markdown::markdown;
pub use number::{fixed, inch3, mm2, mm3, percent_of, rounded};
pub use reports::{FoundRows, groove_picture, note_csv, said_text};
pub use scan_picture::{scan_png, scan_svg};
pub use spreadsheet::{Cell, Sheet, csv, notice};
pub use text::text;
use visible::visible_json;
pub use visible::{visible, visible_page};

/// Names the forms in which a command can answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A page of text.
    Table,
    Json,
    /// Rows as CSV.
    Csv,
    Md,
}

words!(Form {
    Table => "table",
    Json => "json",
    Csv => "csv",
    Md => "md",
});

impl Form {
    /// Tells whether it gives rows alone, which say no caution.
    pub fn is_rows(self) -> bool {
        match self {
            Self::Csv => true,
            Self::Table | Self::Json | Self::Md => false,
        }
    }
}

/// Gives a report its page and its rows; its JSON comes from serde.
pub trait Report: serde::Serialize {
    /// Lays the report out as blocks, and gives the rows that make a table of it, where it has any.
    fn lay_out(&self, page: &mut Document);

    /// Makes the report's page.
    fn document(&self) -> Document {
        let mut page = Document::default();
        self.lay_out(&mut page);
        page
    }
}

/// Renders a page for a screen: where it is longer than it may be, what matters least goes, and a line says that there is more.
fn screen(mut page: Document, depth: Depth, width: u16) -> String {
    loop {
        let shown = page.clone().shown(depth);
        let words = text(&shown, width);
        let fits = shown.room.is_none_or(|room| words.lines().count() <= room);
        if fits || !page.tighten() {
            return words;
        }
    }
}

/// Renders a report in a form, for a page of `width` columns.
///
/// # Errors
/// Returns `None` where the report has no such form (CSV of a report without rows).
pub fn render(report: &impl Report, form: Form, depth: Depth, width: u16) -> Option<String> {
    match form {
        Form::Table => Some(screen(report.document(), depth, width)),
        Form::Md => Some(markdown(&report.document().shown(Depth::Full))),
        Form::Csv => report.document().rows.as_ref().map(csv),
        Form::Json => serde_json::to_string_pretty(report).ok().map(|mut json| {
            json.push('\n');
            visible_json(&json)
        }),
    }
}
