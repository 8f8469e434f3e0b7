//! Reads the text of a note.

use super::draft::Draft;
use super::lexer::{self, Line, fields};
use super::part_name::PartName;
use super::piece::Piece;
use super::reading::{NoteReading, Unreviewed};
use super::vocabulary::{self, Context};
use crate::core::quantity::{LengthUnit, Span, parse_pressure};

/// A text longer than this is no note.
const MOST_BYTES: usize = 1 << 20;

/// Reads the text of a note; it never fails as a whole.
///
/// A line that cannot be read becomes a diagnostic, and reading goes on with the next.
///
/// ```
/// use ringwright::core::note::{PartKind, read_note};
/// let reading = read_note("model Tarn\nunit 1\nlengths mm\ndate 2026-03-14\n\n[inlet]\nclip ; replace ; od 14.0\n");
/// assert!(reading.is_sound());
/// assert_eq!(reading.note.entries[0].kind, PartKind::Clip);
/// ```
pub fn read_note(text: &str) -> NoteReading {
    let mut parser = Parser {
        text,
        ..Parser::default()
    };
    let out = &mut parser.read.reader.diagnostics;
    if text.len() > MOST_BYTES {
        out.error(
            Span::new(0, 0),
            "this text is longer than a note can be (1 MiB)",
            "check the file",
        );
        return parser.read.review(text);
    }
    for line in lexer::lines(text, out) {
        parser.read_line(&line);
    }
    parser.read.review(text)
}

#[derive(Default)]
struct Parser<'t> {
    text: &'t str,
    /// What was read so far; its closing comments wait for the line that they belong to.
    read: Unreviewed,
    section: String,
    in_parts: bool,
    /// Indent of the part above; deeper lines belong to it.
    part_indent: Option<usize>,
}

impl Parser<'_> {
    fn read_line(&mut self, line: &Line) {
        self.read.closing_comments.extend(line.comment.clone());
        let body = &self.text[line.body.range()];
        if body.is_empty() {
            return self.warn_of_hidden_part(line);
        }
        if body.starts_with('[') {
            return self.read_section(line);
        }
        if !self.in_parts && self.read_header(line) {
            return;
        }
        self.in_parts = true;
        self.read_part_line(line);
    }

    /// A part named "#5-40 screw" would vanish as a comment.
    fn warn_of_hidden_part(&mut self, line: &Line) {
        let looks_like_part = line.comment.as_ref().is_some_and(|c| c.contains(';'))
            && self.text[line.body.end..]
                .strip_prefix('#')
                .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()));
        if looks_like_part {
            self.read.reader.diagnostics.warning(
                Span::new(line.body.end, line.body.end + 1),
                "this line is a comment, because it begins with #",
                r"where it is a part, begin it with \#, or put the thread behind: thread",
            );
        }
    }

    fn read_section(&mut self, line: &Line) {
        self.in_parts = true;
        self.part_indent = None;
        let body = &self.text[line.body.range()];
        let Some(close) = body.rfind(']') else {
            return self.read.reader.diagnostics.error(
                line.body,
                "the head of this section is not closed",
                "end it with ], as in [inlet]",
            );
        };
        let inside = Span::new(line.body.start + 1, line.body.start + close);
        Piece::tidied(self.text, inside)
            .text()
            .clone_into(&mut self.section);
        let behind = Span::new(line.body.start + close + 1, line.body.end);
        if !self.text[behind.range()].trim().is_empty() {
            self.read.reader.diagnostics.error(
                behind,
                "something stands behind the head of this section",
                "put the part on the next line",
            );
        }
    }

    /// Reads a line of the header; returns false where the line begins the parts.
    fn read_header(&mut self, line: &Line) -> bool {
        let piece = Piece::tidied(self.text, line.body);
        self.read.reader.context = Context::Header;
        if let Some(keyed) = vocabulary::split_key(Context::Header, &piece) {
            let read = &mut self.read;
            read.header.set(&keyed, &mut read.reader);
            read.header
                .header
                .comments
                .append(&mut read.closing_comments);
            return true;
        }
        let has_fields = fields(self.text, line.body).len() > 1;
        if has_fields || PartName::read(&piece).kind.is_some() {
            return false;
        }
        let first = piece.text().split(' ').next().unwrap_or("");
        let meant = vocabulary::nearest(&[Context::Header], first);
        if let Some(key) = meant.and_then(|meant| vocabulary::whole(Context::Header, meant)) {
            let span = piece.place(Span::new(0, first.len()));
            self.read.header.meant(key, span);
            if key == "lengths" {
                self.read.reader.lengths = Some(LengthUnit::Mm);
            }
        }
        if parse_pressure(piece.text()).is_ok() {
            self.read.reader.diagnostics.error(
                piece.span(),
                format!("{:?} does not say which pressure it is", piece.text()),
                "write supply before it, or rated where the unit bears it",
            );
            return true;
        }
        let reader = &mut self.read.reader;
        reader.unknown_word(&piece, meant, "a line of the header", || {
            let keys = vocabulary::keys(Context::Header).join(", ");
            format!("write one of {keys}; parts begin below a section such as [inlet]")
        });
        true
    }

    fn read_part_line(&mut self, line: &Line) {
        let errors = self.read.reader.diagnostics.errors();
        let pieces = fields(self.text, line.body);
        let above = self.part_indent.filter(|indent| line.indent > *indent);
        match (above, self.read.drafts.last_mut()) {
            (Some(_), Some(draft)) => draft.read_fields(&pieces, &mut self.read.reader),
            _ => self.begin_part(line, &pieces),
        }
        let faulty = self.read.reader.diagnostics.errors() > errors;
        if let Some(draft) = self.read.drafts.last_mut() {
            draft.faulty |= faulty;
            draft.entry.comments.append(&mut self.read.closing_comments);
        }
    }

    fn begin_part(&mut self, line: &Line, pieces: &[Piece]) {
        self.part_indent = Some(line.indent);
        let Some((name, rest)) = pieces.split_first() else {
            return;
        };
        let kind = rest
            .iter()
            .filter_map(|piece| vocabulary::split_key(Context::Part, piece))
            .find(|keyed| keyed.key == "kind")
            .map(|keyed| keyed.value);
        let mut draft = Draft::begin(name, kind.as_ref(), &mut self.read.reader);
        draft.entry.line = line.number;
        self.section.clone_into(&mut draft.entry.section);
        draft.read_fields(rest, &mut self.read.reader);
        self.read.drafts.push(draft);
    }
}
