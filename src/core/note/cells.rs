//! Splits the text of a spreadsheet file into cells that know where they stand.

use super::diagnostic::Diagnostics;
use super::piece::{Piece, PieceBuilder, is_hidden};
use crate::core::quantity::Span;

/// A row of a note in CSV, by its columns.
#[derive(Debug)]
pub(super) struct Row {
    /// The line on which the row begins, from 1.
    pub(super) line: usize,
    /// The cells, blank ones too.
    pub(super) cells: Vec<Cell>,
}

/// One cell: its lines, tidied. A blank cell has one empty line.
#[derive(Debug)]
pub(super) struct Cell {
    pub(super) lines: Vec<Piece>,
}

impl Cell {
    /// Returns the whole cell as one piece, line breaks as spaces.
    pub(super) fn piece(&self) -> &Piece {
        // Cells of several lines are asked for their lines; the first line stands for the others in messages.
        &self.lines[0]
    }

    /// Tells whether the cell says nothing.
    pub(super) fn is_blank(&self) -> bool {
        self.lines.iter().all(Piece::is_empty)
    }
}

/// Splits a text into rows of cells (RFC 4180; comma, semicolon or tab between the cells, found from the first line).
///
/// A first line `sep=;` names the mark. An apostrophe at the start of a cell is removed: spreadsheets put it before
/// texts that they would otherwise take for a number or a formula.
pub(super) fn rows(text: &str, diagnostics: &mut Diagnostics) -> Vec<Row> {
    let mut scanner = Scanner::new(text, diagnostics);
    let mut rows = Vec::new();
    while scanner.at < text.len() {
        let row = scanner.row();
        if !row.cells.iter().all(Cell::is_blank) {
            rows.push(row);
        }
    }
    rows
}

struct Scanner<'t> {
    text: &'t str,
    at: usize,
    line: usize,
    mark: char,
    diagnostics: &'t mut Diagnostics,
}

impl<'t> Scanner<'t> {
    fn new(text: &'t str, diagnostics: &'t mut Diagnostics) -> Self {
        let at = text
            .strip_prefix('\u{feff}')
            .map_or(0, |rest| text.len() - rest.len());
        let first = text[at..].split(['\n', '\r']).next().unwrap_or("");
        let named = first
            .strip_prefix("sep=")
            .filter(|rest| rest.chars().count() == 1)
            .and_then(|rest| rest.chars().next());
        let mut scanner = Self {
            text,
            at,
            line: 1,
            mark: named.unwrap_or_else(|| most_frequent_mark(first)),
            diagnostics,
        };
        if named.is_some() {
            scanner.at += first.len();
            scanner.end_line();
        }
        scanner
    }

    fn row(&mut self) -> Row {
        let line = self.line;
        let mut cells = vec![self.cell()];
        while self.text[self.at..].starts_with(self.mark) {
            self.at += self.mark.len_utf8();
            cells.push(self.cell());
        }
        self.end_line();
        Row { line, cells }
    }

    /// Steps over the end of a line.
    fn end_line(&mut self) {
        let rest = &self.text[self.at..];
        if rest.starts_with("\r\n") {
            self.at += 2;
        } else if let Some(c) = rest.chars().next() {
            self.at += c.len_utf8();
        }
        self.line += 1;
    }

    fn cell(&mut self) -> Cell {
        let mut builder = CellBuilder::new(self.at);
        let rest = &self.text[self.at..];
        let blanks = rest.len() - rest.trim_start_matches(' ').len();
        if rest[blanks..].starts_with('"') {
            self.at += blanks;
            self.quoted(&mut builder);
        }
        while let Some(c) = self.text[self.at..].chars().next() {
            if c == self.mark || c == '\n' || c == '\r' {
                break;
            }
            self.take(c, &mut builder);
        }
        builder.finish()
    }

    /// Reads a cell in quotes; a quote that does not close the cell (`"3/8" x 1/16"`) stands for itself.
    fn quoted(&mut self, builder: &mut CellBuilder) {
        let open = self.at;
        self.at += 1;
        while let Some(c) = self.text[self.at..].chars().next() {
            let after = self.text[self.at + c.len_utf8()..].chars().next();
            match (c, after) {
                ('"', Some('"')) => {
                    builder.push('"', self.at, self.at + 2);
                    self.at += 2;
                }
                ('"', None | Some('\n' | '\r')) => {
                    self.at += 1;
                    return;
                }
                ('"', Some(next)) if next == self.mark => {
                    self.at += 1;
                    return;
                }
                _ => self.take(c, builder),
            }
        }
        self.diagnostics.error(
            Span::new(open, open + 1),
            "this cell begins with a quotation mark and never ends",
            "close it, or write the mark twice where it is part of the text",
        );
    }

    fn take(&mut self, c: char, builder: &mut CellBuilder) {
        let end = self.at + c.len_utf8();
        if c == '\n' || (c == '\r' && !self.text[end..].starts_with('\n')) {
            self.line += 1;
        }
        if c == '\u{fffd}' || (is_hidden(c) && c != '\n' && c != '\r') {
            self.diagnostics.error(
                Span::new(self.at, end),
                format!(
                    "a character that cannot be read stands here (U+{:04X})",
                    u32::from(c)
                ),
                "save the file as UTF-8, and write the cell anew",
            );
        }
        builder.push(c, self.at, end);
        self.at = end;
    }
}

/// Builds the lines of one cell.
struct CellBuilder {
    lines: Vec<Piece>,
    line: PieceBuilder,
    begun: bool,
}

impl CellBuilder {
    fn new(at: usize) -> Self {
        Self {
            lines: Vec::new(),
            line: PieceBuilder::new(at),
            begun: false,
        }
    }

    fn push(&mut self, c: char, from: usize, to: usize) {
        if c == '\n' || c == '\r' {
            let line = std::mem::replace(&mut self.line, PieceBuilder::new(to)).finish();
            if !line.is_empty() {
                self.lines.push(line);
            }
            return;
        }
        // The apostrophe of a spreadsheet is no part of the text.
        if !self.begun && c == '\'' {
            self.begun = true;
            return;
        }
        self.begun |= !c.is_whitespace();
        self.line.push(c, from, to);
    }

    fn finish(mut self) -> Cell {
        let last = std::mem::take(&mut self.line).finish();
        if self.lines.is_empty() || !last.is_empty() {
            self.lines.push(last);
        }
        Cell { lines: self.lines }
    }
}

/// Finds the mark between cells: the one that the head line holds most of.
fn most_frequent_mark(first: &str) -> char {
    let count = |mark: char| first.matches(mark).count();
    let mut best = ',';
    for mark in [';', '\t'] {
        if count(mark) > count(best) {
            best = mark;
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Vec<Vec<String>> {
        let mut diagnostics = Diagnostics::default();
        rows(text, &mut diagnostics)
            .iter()
            .map(|row| {
                let cell = |c: &Cell| {
                    let lines: Vec<&str> = c.lines.iter().map(Piece::text).collect();
                    lines.join("|")
                };
                row.cells.iter().map(cell).collect()
            })
            .collect()
    }

    #[test]
    fn marks_quotes_apostrophes_and_line_ends_are_read() {
        assert_eq!(
            read("\u{feff}a,b\r\n'-012,\"x, \"\"y\"\"\"\r\n"),
            [["a", "b"], ["-012", "x, \"y\""]]
        );
        assert_eq!(read("a;b\n1,5;2\n"), [["a", "b"], ["1,5", "2"]]);
        assert_eq!(read("sep=\t\na\tb\n\n"), [["a", "b"]]);
        assert_eq!(read("a,b\n\"one\ntwo\",3"), [["a", "b"], ["one|two", "3"]]);
        assert_eq!(
            read("a,b\n\"3/8\" x 1/16\",3"),
            [["a", "b"], ["3/8\" x 1/16", "3"]]
        );
    }

    #[test]
    fn a_cell_that_never_ends_is_reported() {
        let mut diagnostics = Diagnostics::default();
        rows("a,b\n\"x,y\nz", &mut diagnostics);
        assert_eq!(diagnostics.finish("a,b\n\"x,y\nz")[0].line, 2);
    }
}
