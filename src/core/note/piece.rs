//! A tidied part of a text that knows where each of its bytes stands in that text.

use crate::core::quantity::Span;

/// A part of a text with single spaces, without escapes, and the place of every byte in the text it came from.
///
/// Quantities are read from the tidied text; [`Piece::place`] leads what they find back to the bytes that a person
/// wrote.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Piece {
    text: String,
    /// For each byte of `text`, the source bytes of the character it belongs to.
    origin: Vec<(usize, usize)>,
    /// Where the piece stands in the source when it is empty.
    empty_at: usize,
}

/// Builds a piece character by character.
#[derive(Debug, Default)]
pub(super) struct PieceBuilder {
    piece: Piece,
    space: Option<(usize, usize)>,
}

impl PieceBuilder {
    /// Begins a piece at a byte of the source.
    pub(super) fn new(at: usize) -> Self {
        let mut builder = Self::default();
        builder.piece.empty_at = at;
        builder
    }

    /// Adds the character that stands at `from..to` of the source; white space becomes one space, and what cannot be
    /// seen is left out.
    pub(super) fn push(&mut self, c: char, from: usize, to: usize) {
        if is_hidden(c) && !c.is_whitespace() {
            return;
        }
        if c.is_whitespace() {
            self.space.get_or_insert((from, to)).1 = to;
            return;
        }
        if let Some(space) = self.space.take().filter(|_| !self.piece.is_empty()) {
            self.piece.add(' ', space.0, space.1);
        }
        self.piece.add(c, from, to);
    }

    /// Ends the piece.
    pub(super) fn finish(self) -> Piece {
        self.piece
    }
}

impl Piece {
    /// Tidies the bytes `span` of a text: white space becomes single spaces, `\;`, `\#` and `\\` lose the backslash.
    pub(super) fn tidied(text: &str, span: Span) -> Self {
        let mut builder = PieceBuilder::new(span.start);
        let inside = text.get(span.range()).unwrap_or("");
        let mut chars = inside.char_indices().peekable();
        while let Some((at, c)) = chars.next() {
            let at = span.start + at;
            match chars.peek() {
                Some((_, next @ (';' | '#' | '\\'))) if c == '\\' => {
                    builder.push(*next, at, at + 2);
                    chars.next();
                }
                _ => builder.push(c, at, at + c.len_utf8()),
            }
        }
        builder.finish()
    }

    /// Returns the tidied text.
    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// Tells whether nothing is left.
    pub(super) fn is_empty(&self) -> bool {
        self.text.is_empty()
    }

    /// Returns where the whole piece stands in the source.
    pub(super) fn span(&self) -> Span {
        self.place(Span::new(0, self.text.len()))
    }

    /// Leads a span of the tidied text back to the source.
    pub(super) fn place(&self, span: Span) -> Span {
        let start = self
            .origin
            .get(span.start)
            .map_or(self.empty_at, |(from, _)| *from);
        let last = span.end.checked_sub(1).and_then(|at| self.origin.get(at));
        let end = last
            .filter(|_| span.end > span.start)
            .map_or(start, |(_, to)| *to);
        Span::new(start, end)
    }

    /// Returns a part of the piece, without the space around it.
    pub(super) fn part(&self, range: std::ops::Range<usize>) -> Self {
        let inside = self.text.get(range.clone()).unwrap_or("");
        let start = range.start + (inside.len() - inside.trim_start().len());
        let end = start + inside.trim().len();
        let before = start.checked_sub(1).and_then(|at| self.origin.get(at));
        Self {
            text: inside.trim().to_owned(),
            origin: self.origin.get(start..end).unwrap_or_default().to_vec(),
            empty_at: before.map_or(self.empty_at, |(_, to)| *to),
        }
    }

    fn add(&mut self, c: char, from: usize, to: usize) {
        self.text.push(c);
        self.origin.resize(self.text.len(), (from, to));
        self.empty_at = to;
    }

    /// Splits at the first occurrence of a word with spaces around it, whatever its case.
    pub(super) fn split_at_word(&self, word: &str) -> Option<(Self, Self)> {
        let mut from = 0;
        while let Some(found) = self.text[from..].find(' ') {
            let at = from + found;
            let begin = at + 1;
            let end = self.text[begin..]
                .find(' ')
                .map_or(self.text.len(), |n| begin + n);
            if self.text[begin..end].eq_ignore_ascii_case(word) {
                return Some((self.part(0..at), self.part(end..self.text.len())));
            }
            from = begin;
        }
        None
    }
}

/// Tells whether a character is a control or steers the direction or joining of text without being seen.
pub(super) fn is_hidden(c: char) -> bool {
    (c.is_control() && c != '\t')
        || matches!(c, '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{2028}' | '\u{2029}' | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn whole(text: &str) -> Piece {
        Piece::tidied(text, Span::new(0, text.len()))
    }

    #[test]
    fn spaces_become_single_and_places_are_kept() {
        let text = " od \u{a0} 16,0\tmm ";
        let piece = whole(text);
        assert_eq!(piece.text(), "od 16,0 mm");
        let place = piece.place(Span::new(3, 7));
        assert_eq!(&text[place.range()], "16,0");
        assert_eq!(&text[piece.span().range()], "od \u{a0} 16,0\tmm");
        let unit = piece.part(7..10);
        assert_eq!((unit.text(), &text[unit.span().range()]), ("mm", "mm"));
    }

    #[test]
    fn escapes_lose_their_backslash() {
        let text = r"one \; two \# three \\ four \n";
        assert_eq!(whole(text).text(), r"one ; two # three \ four \n");
    }

    #[test]
    fn a_word_splits_only_where_it_stands_alone() {
        let piece = whole("byte 12 mm BY caliper");
        let (left, right) = piece.split_at_word("by").expect("splits");
        assert_eq!((left.text(), right.text()), ("byte 12 mm", "caliper"));
        assert!(whole("by caliper").split_at_word("by").is_none());
    }

    proptest::proptest! {
        #[test]
        fn every_place_lies_inside_the_text_on_character_boundaries(text in "[ \\\\;#\u{a0}\u{2009}a-cøµ\u{1f527}]{0,16}", a in 0_usize..17, b in 0_usize..17) {
            let piece = whole(&text);
            let boundaries: Vec<usize> = (0..=piece.text().len()).filter(|i| piece.text().is_char_boundary(*i)).collect();
            let start = boundaries[a % boundaries.len()];
            let end = boundaries[b % boundaries.len()];
            let place = piece.place(Span::new(start, end));
            proptest::prop_assert!(text.get(place.range()).is_some());
            let part = piece.part(start.min(end)..start.max(end));
            proptest::prop_assert!(text.get(part.span().range()).is_some());
        }
    }
}
