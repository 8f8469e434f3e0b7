//! What is wrong or doubtful in a note, and where.

use crate::core::quantity::{QuantityError, QuantityErrorKind, Span};
use crate::core::word::words;
use serde::Serialize;

/// Says how grave a diagnostic is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// The text cannot be taken as it stands; nothing of the note is stored unless the user says so.
    Error,
    /// The text is sound, and what it says can hurt somebody: a supply above the rating, enriched gas.
    Danger,
    /// The text is sound, and something in it deserves a second look.
    Warning,
}

words!(Severity {
    Error => "error",
    Danger => "danger",
    Warning => "warning",
});

/// Says what is wrong or doubtful at one place of a note, and what to do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Diagnostic {
    pub severity: Severity,
    pub message: String,
    /// What to do, where the message does not say it already.
    pub remedy: Option<String>,
    /// Bytes of the text.
    pub span: Span,
    /// Line of the first byte, from 1.
    pub line: usize,
    /// Character of that line, from 1.
    pub column: usize,
    /// The text of the marked bytes.
    pub marked: String,
    /// The column of the spreadsheet, where the note came from one.
    pub cell: Option<String>,
}

/// Gathers diagnostics while a text is read.
#[derive(Debug, Default)]
pub(super) struct Diagnostics {
    found: Vec<Found>,
    /// The spreadsheet column being read.
    pub(super) cell: Option<String>,
    /// Whether the note says what a bare length means, or tries to: then a bare length that cannot be read has its error there.
    pub(super) says_lengths: bool,
}

#[derive(Debug)]
struct Found {
    /// Whether a length has no unit: all such have one cause.
    is_bare_length: bool,
    /// What is wrong, before its line and column are counted.
    told: Diagnostic,
}

/// A text with more faults than this is no note; the rest is left unsaid.
const MOST: usize = 200;

impl Diagnostics {
    /// Adds an error with its remedy.
    pub(super) fn error(
        &mut self,
        span: Span,
        message: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        self.add(Severity::Error, span, message.into(), Some(remedy.into()));
    }

    /// Adds a danger with its remedy.
    pub(super) fn danger(
        &mut self,
        span: Span,
        message: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        self.add(Severity::Danger, span, message.into(), Some(remedy.into()));
    }

    /// Adds a warning with its remedy.
    pub(super) fn warning(
        &mut self,
        span: Span,
        message: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        self.add(Severity::Warning, span, message.into(), Some(remedy.into()));
    }

    /// Adds an error whose message says what to do.
    pub(super) fn told(&mut self, span: Span, message: impl Into<String>) {
        self.add(Severity::Error, span, message.into(), None);
    }

    /// Adds the error of a quantity; `span` is where it stands in the text.
    pub(super) fn quantity(&mut self, span: Span, error: &QuantityError) {
        self.told(span, error.to_string());
        if let (Some(last), QuantityErrorKind::NoUnit { declare, .. }) =
            (self.found.last_mut(), &error.kind)
        {
            last.is_bare_length = !declare.is_empty();
        }
    }

    /// Leaves one error of all bare lengths, which have one cause; none where the line that says their unit is wrong.
    fn join_bare_lengths(&mut self) {
        let bare = self.found.iter().filter(|f| f.is_bare_length).count();
        let mut is_told = self.says_lengths;
        self.found
            .retain(|f| !f.is_bare_length || !std::mem::replace(&mut is_told, true));
        let first = self.found.iter_mut().find(|f| f.is_bare_length);
        if let Some(first) = first.filter(|_| bare > 1) {
            first.told.remedy = Some(format!(
                "one line settles this one and {} more: lengths mm, or lengths in, above the first part",
                bare - 1
            ));
        }
    }

    fn add(&mut self, severity: Severity, span: Span, message: String, remedy: Option<String>) {
        let told = Diagnostic {
            severity,
            message,
            remedy,
            span,
            line: 0,
            column: 0,
            marked: String::new(),
            cell: self.cell.clone(),
        };
        self.found.push(Found {
            is_bare_length: false,
            told,
        });
    }

    /// Counts the errors so far.
    pub(super) fn errors(&self) -> usize {
        let is_error = |f: &&Found| f.told.severity == Severity::Error;
        self.found.iter().filter(is_error).count()
    }

    /// Sorts by place and counts lines and columns.
    pub(super) fn finish(mut self, text: &str) -> Vec<Diagnostic> {
        self.found
            .sort_by(|Found { told: a, .. }, Found { told: b, .. }| {
                (a.span, a.severity, &a.message).cmp(&(b.span, b.severity, &b.message))
            });
        self.found
            .dedup_by(|Found { told: a, .. }, Found { told: b, .. }| {
                a.span == b.span && a.message == b.message
            });
        self.join_bare_lengths();
        let lines = LineStarts::of(text);
        let too_many = self.found.len().saturating_sub(MOST);
        self.found.truncate(MOST);
        if let Some(last) = self.found.last_mut().filter(|_| too_many > 0) {
            last.told.severity = Severity::Error;
            last.told.remedy = Some(format!(
                "{too_many} more are not shown; is this a teardown note?"
            ));
        }
        let place = |Found { mut told, .. }: Found| {
            (told.line, told.column) = lines.place(text, told.span.start);
            text.get(told.span.range())
                .unwrap_or("")
                .clone_into(&mut told.marked);
            told
        };
        self.found.into_iter().map(place).collect()
    }
}

/// Knows where the lines of a text begin.
struct LineStarts(Vec<usize>);

impl LineStarts {
    /// Lines end at a line feed, at a carriage return with a line feed, or at a carriage return alone.
    fn of(text: &str) -> Self {
        let bytes = text.as_bytes();
        let ends = (0..bytes.len()).filter(|at| match bytes[*at] {
            b'\n' => true,
            b'\r' => bytes.get(at + 1) != Some(&b'\n'),
            _ => false,
        });
        Self(std::iter::once(0).chain(ends.map(|at| at + 1)).collect())
    }

    fn place(&self, text: &str, byte: usize) -> (usize, usize) {
        let line = self.0.partition_point(|start| *start <= byte).max(1);
        let start = self.0[line - 1];
        let before = text.get(start..byte).unwrap_or("");
        (
            line,
            before.trim_start_matches('\u{feff}').chars().count() + 1,
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_and_columns_count_characters_whatever_ends_a_line() {
        let text = "a\r\nøb\rc\nd";
        let lines = LineStarts::of(text);
        assert_eq!(lines.place(text, 0), (1, 1));
        assert_eq!(lines.place(text, 5), (2, 2));
        assert_eq!(lines.place(text, 7), (3, 1));
        assert_eq!(lines.place(text, 9), (4, 1));
    }

    #[test]
    fn diagnostics_come_out_in_the_order_of_the_text_and_are_cut_at_a_limit() {
        let mut found = Diagnostics::default();
        for at in (0..300).rev() {
            found.error(Span::new(at, at + 1), "wrong", "right it");
        }
        let all = found.finish(&"x".repeat(400));
        assert_eq!(all.len(), MOST);
        assert!(all.is_sorted_by_key(|d| d.span));
        assert!(
            all[MOST - 1]
                .remedy
                .as_deref()
                .is_some_and(|r| r.contains("100 more"))
        );
    }
}
