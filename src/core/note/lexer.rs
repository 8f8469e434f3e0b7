//! Splits the text of a note into lines and fields.

use super::diagnostic::Diagnostics;
use super::piece::{Piece, is_hidden};
use crate::core::quantity::Span;

/// One line of a note: what it says, how far it is indented, and the comment at its end.
#[derive(Debug)]
pub(super) struct Line {
    /// Number of the line, from 1.
    pub(super) number: usize,
    /// Columns of white space before the first character; a tab leads to the next multiple of eight.
    pub(super) indent: usize,
    /// Bytes of what the line says, without comment and without the space around it.
    pub(super) body: Span,
    /// The comment, without its `#`.
    pub(super) comment: Option<String>,
}

const TAB_COLUMNS: usize = 8;

/// Splits a text into lines; a line ends at a line feed, a carriage return or both.
///
/// A comment begins with `#` at the start of a line, or with a `#` that has white space on both sides or ends the line;
/// `#5-40` inside a line is the name of a thread. Hidden characters are reported.
pub(super) fn lines(text: &str, diagnostics: &mut Diagnostics) -> Vec<Line> {
    let mut lines = Vec::new();
    let mut at = text
        .strip_prefix('\u{feff}')
        .map_or(0, |rest| text.len() - rest.len());
    let mut number = 0;
    while at < text.len() {
        let end = text[at..].find(['\n', '\r']).map_or(text.len(), |n| at + n);
        number += 1;
        report_hidden(text, Span::new(at, end), diagnostics);
        lines.push(line(text, number, Span::new(at, end)));
        at = if text[end..].starts_with("\r\n") {
            end + 2
        } else {
            end + 1
        };
    }
    lines
}

fn line(text: &str, number: usize, span: Span) -> Line {
    let raw = &text[span.range()];
    let indent = indent_columns(raw);
    let start = span.start + (raw.len() - raw.trim_start().len());
    let hash = comment_start(text, Span::new(start, span.end));
    let body_end = hash.unwrap_or(span.end);
    let body = text[start..body_end.max(start)].trim_end();
    let comment = hash.map(|at| {
        let words: Vec<&str> = text[at + 1..span.end].split_whitespace().collect();
        words.join(" ")
    });
    Line {
        number,
        indent,
        body: Span::new(start, start + body.len()),
        comment,
    }
}

fn indent_columns(raw: &str) -> usize {
    let mut columns = 0;
    for c in raw.chars().take_while(|c| c.is_whitespace()) {
        columns = if c == '\t' {
            (columns / TAB_COLUMNS + 1) * TAB_COLUMNS
        } else {
            columns + 1
        };
    }
    columns
}

/// Finds the `#` that begins a comment.
fn comment_start(text: &str, span: Span) -> Option<usize> {
    let inside = &text[span.range()];
    if inside.starts_with('#') {
        return Some(span.start);
    }
    let mut before = ' ';
    for (at, c) in inside.char_indices() {
        let after = inside[at + c.len_utf8()..].chars().next();
        if c == '#' && before.is_whitespace() && after.is_none_or(char::is_whitespace) {
            return Some(span.start + at);
        }
        before = c;
    }
    None
}

/// Splits a line's body at every `;` that has no backslash before it; empty fields are left out, except a first one.
pub(super) fn fields(text: &str, body: Span) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let mut start = body.start;
    let mut escaped = false;
    for (at, c) in text[body.range()].char_indices() {
        if c == ';' && !escaped {
            pieces.push(Piece::tidied(text, Span::new(start, body.start + at)));
            start = body.start + at + 1;
        }
        escaped = c == '\\' && !escaped;
    }
    pieces.push(Piece::tidied(text, Span::new(start, body.end)));
    let mut first = true;
    pieces.retain(|piece| std::mem::take(&mut first) || !piece.is_empty());
    pieces
}

/// Reports characters that cannot be seen: they came in by copying, and would make two alike words differ.
fn report_hidden(text: &str, span: Span, diagnostics: &mut Diagnostics) {
    for (at, c) in text[span.range()].char_indices() {
        let at = span.start + at;
        if c == '\u{fffd}' {
            diagnostics.error(
                Span::new(at, at + c.len_utf8()),
                "a character was lost here, because the file is not UTF-8",
                "save the file as UTF-8 text, and write the character anew",
            );
        } else if is_hidden(c) {
            diagnostics.error(
                Span::new(at, at + c.len_utf8()),
                format!(
                    "there is an invisible character here (U+{:04X})",
                    u32::from(c)
                ),
                "delete it, or type the line again",
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn split(text: &str) -> Vec<(usize, usize, String, Option<String>)> {
        let mut diagnostics = Diagnostics::default();
        lines(text, &mut diagnostics)
            .into_iter()
            .map(|l| {
                (
                    l.number,
                    l.indent,
                    text[l.body.range()].to_owned(),
                    l.comment,
                )
            })
            .collect()
    }

    #[test]
    fn lines_end_in_every_way_and_indents_count_columns() {
        let found = split("\u{feff}a\r\n\tb ; c\r  d\n\n# all\n");
        let bodies: Vec<&str> = found.iter().map(|l| l.2.as_str()).collect();
        assert_eq!(bodies, ["a", "b ; c", "d", "", ""]);
        assert_eq!(
            found.iter().map(|l| l.1).collect::<Vec<_>>(),
            [0, 8, 2, 0, 0]
        );
        assert_eq!(found[4].3.as_deref(), Some("all"));
    }

    #[test]
    fn a_hash_inside_a_word_is_no_comment() {
        let found = split("screw ; thread #5-40 # two of them\nscrew \\# 3");
        assert_eq!(found[0].2, "screw ; thread #5-40");
        assert_eq!(found[0].3.as_deref(), Some("two of them"));
        assert_eq!(found[1].2, "screw \\# 3");
    }

    #[test]
    fn fields_part_at_semicolons_but_not_at_escaped_ones() {
        let text = "ring ;; remark a\\; b ;";
        let found = fields(text, Span::new(0, text.len()));
        let texts: Vec<&str> = found.iter().map(Piece::text).collect();
        assert_eq!(texts, ["ring", "remark a; b"]);
        let empty = fields("; keep", Span::new(0, 6));
        assert_eq!(empty.len(), 2);
        assert!(empty[0].is_empty());
    }

    #[test]
    fn hidden_characters_are_reported_where_they_stand() {
        let mut diagnostics = Diagnostics::default();
        let text = "fil\u{200b}ter\u{7}";
        lines(text, &mut diagnostics);
        let found = diagnostics.finish(text);
        assert_eq!(found.len(), 2);
        assert_eq!((found[0].line, found[0].column), (1, 4));
    }
}
