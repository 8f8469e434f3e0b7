//! Words, numbers and marks of a text that names a gas.

use super::gas_word::is_formula;
use crate::core::quantity::Span;

/// Names a mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Mark {
    Percent,
    Slash,
    Plus,
    /// A dash that joins: no space beside it.
    Dash,
    /// A dash with a space beside it, which parts as a comma does.
    Gap,
    Comma,
    Stop,
    Line,
    Open,
    Close,
    Equals,
    PlusMinus,
    Less,
    Greater,
    Times,
    Question,
    Other,
}

/// What one piece of the text is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Piece {
    /// A word in lower case.
    Word(String),
    /// A number, as it was typed (thousands commas taken out).
    Number(Figure),
    Mark(Mark),
}

/// A number with what its writing tells.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Figure {
    pub(super) value: f64,
    /// How many decimals it has.
    pub(super) decimals: usize,
    /// Whether it stands in one word with the letters before it.
    pub(super) glued: bool,
}

/// One piece of the text and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Lexeme {
    pub(super) piece: Piece,
    pub(super) span: Span,
}

/// A character in lower case, with the bytes that it came from.
#[derive(Debug, Clone, Copy)]
struct Letter {
    c: char,
    start: usize,
    end: usize,
}

/// Splits a text into its pieces.
pub(super) fn lexemes(text: &str) -> Vec<Lexeme> {
    let letters: Vec<Letter> = letters(text);
    let mut reader = Reader {
        letters: &letters,
        at: 0,
        found: Vec::new(),
    };
    while reader.at < letters.len() {
        reader.step();
    }
    reader.found
}

fn letters(text: &str) -> Vec<Letter> {
    let mut letters = Vec::with_capacity(text.len());
    for (start, c) in text.char_indices() {
        let end = start + c.len_utf8();
        let plain = match c {
            '₀'..='₉' => char::from_digit(u32::from(c) - u32::from('₀'), 10).unwrap_or(c),
            _ => c,
        };
        letters.extend(plain.to_lowercase().map(|c| Letter { c, start, end }));
    }
    letters
}

struct Reader<'l> {
    letters: &'l [Letter],
    at: usize,
    found: Vec<Lexeme>,
}

impl Reader<'_> {
    fn char_at(&self, at: usize) -> Option<char> {
        self.letters.get(at).map(|letter| letter.c)
    }

    fn end_while(&self, from: usize, holds: impl Fn(char) -> bool) -> usize {
        let rest = self.letters[from..].iter();
        from + rest.take_while(|letter| holds(letter.c)).count()
    }

    fn push(&mut self, piece: Piece, end: usize) {
        let span = Span::new(self.letters[self.at].start, self.letters[end - 1].end);
        self.found.push(Lexeme { piece, span });
        self.at = end;
    }

    fn step(&mut self) {
        let c = self.letters[self.at].c;
        if c.is_ascii_digit() {
            self.number();
        } else if c.is_alphanumeric() {
            self.word();
        } else {
            match mark(c) {
                Some(Mark::Dash) => self.dash(),
                Some(mark) => self.push(Piece::Mark(mark), self.at + 1),
                None => self.at += 1,
            }
        }
    }

    /// Reads a dash by what stands beside it: "->" is an arrow.
    fn dash(&mut self) {
        let beside = |c: Option<char>| c.is_some_and(|c| !c.is_whitespace());
        let before = self.at.checked_sub(1).and_then(|at| self.char_at(at));
        let after = self.char_at(self.at + 1);
        if after == Some('>') {
            self.push(Piece::Mark(Mark::Plus), self.at + 2);
        } else if beside(before) && beside(after) {
            self.push(Piece::Mark(Mark::Dash), self.at + 1);
        } else {
            self.push(Piece::Mark(Mark::Gap), self.at + 1);
        }
    }

    /// Reads a number: decimals behind a point, or behind a comma where only one digit follows (two figures "20,40" are not
    /// taken for one); a comma before exactly three digits parts thousands.
    fn number(&mut self) {
        let digit = |c: char| c.is_ascii_digit();
        let mut end = self.end_while(self.at, digit);
        let mut decimals = 0;
        let glued = self.at > 0 && self.letters[self.at - 1].c.is_alphabetic();
        while self.char_at(end) == Some(',') && self.end_while(end + 1, digit) == end + 4 {
            end += 4;
        }
        let mark = self.char_at(end);
        if matches!(mark, Some('.' | ',')) {
            let after = self.end_while(end + 1, digit);
            let count = after - end - 1;
            if count == 1 || (count > 0 && mark == Some('.')) {
                (end, decimals) = (after, count);
            }
        }
        let typed: String = self.letters[self.at..end].iter().map(|l| l.c).collect();
        let whole = end - if decimals > 0 { decimals + 1 } else { 0 };
        let (front, back) = typed.split_at(whole - self.at);
        let plain = front.replace(',', "") + &back.replace(',', ".");
        let figure = Figure {
            value: plain.parse().unwrap_or(f64::INFINITY),
            decimals,
            glued,
        };
        self.push(Piece::Number(figure), end);
    }

    /// Reads a word: with its digits where it is a known formula, else its letters alone; letters parted by full stops
    /// ("p.s.i.") are one word, and an apostrophe inside a word ("don't") is passed over.
    fn word(&mut self) {
        if let Some((word, end)) = self.dotted() {
            return self.push(Piece::Word(word), end);
        }
        let text = |letters: &[Letter]| -> String {
            let kept = letters.iter().map(|l| l.c);
            kept.filter(|c| !is_apostrophe(*c)).collect()
        };
        let run = self.end_while(self.at, char::is_alphanumeric);
        let formula = text(&self.letters[self.at..run]);
        if formula.contains(|c: char| c.is_ascii_digit()) && is_formula(&formula) {
            return self.push(Piece::Word(formula), run);
        }
        let end = self.end_while(self.at, |c| {
            is_apostrophe(c) || (c.is_alphanumeric() && !c.is_ascii_digit())
        });
        let word = text(&self.letters[self.at..end]);
        self.push(Piece::Word(word), end);
    }

    fn dotted(&self) -> Option<(String, usize)> {
        let single = |at: usize| {
            let c = self.char_at(at).filter(|c| c.is_alphabetic())?;
            (self.char_at(at + 1) == Some('.')).then_some(c)
        };
        let mut word = String::new();
        let mut at = self.at;
        while let Some(c) = single(at) {
            word.push(c);
            at += 2;
        }
        let last = self.char_at(at).filter(|c| c.is_alphabetic());
        let alone = self.char_at(at + 1).is_none_or(|c| !c.is_alphanumeric());
        match last {
            Some(c) if alone && !word.is_empty() => Some((format!("{word}{c}"), at + 1)),
            None if word.chars().count() > 1 => Some((word, at)),
            _ => None,
        }
    }
}

const fn is_apostrophe(c: char) -> bool {
    matches!(c, '\'' | '’')
}

/// Returns the mark that a character is; quotation marks, degree signs and spaces say nothing.
fn mark(c: char) -> Option<Mark> {
    Some(match c {
        '%' => Mark::Percent,
        '/' | '\\' => Mark::Slash,
        '+' | '&' | '→' => Mark::Plus,
        '-' | '‐' | '–' | '—' | '−' => Mark::Dash,
        ',' | ';' | '|' => Mark::Comma,
        '.' | '!' => Mark::Stop,
        '\n' => Mark::Line,
        '(' | '[' | '{' => Mark::Open,
        ')' | ']' | '}' => Mark::Close,
        ':' | '=' => Mark::Equals,
        '±' => Mark::PlusMinus,
        '<' | '≤' => Mark::Less,
        '>' | '≥' => Mark::Greater,
        '×' | '*' => Mark::Times,
        '?' => Mark::Question,
        '"' | '“' | '”' | '„' | '\'' | '’' | '‘' | '°' | 'º' | '@' => return None,
        c if c.is_whitespace() => return None,
        _ => Mark::Other,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pieces(text: &str) -> Vec<Piece> {
        lexemes(text).into_iter().map(|l| l.piece).collect()
    }

    fn word(text: &str) -> Piece {
        Piece::Word(text.to_owned())
    }

    #[test]
    fn formulas_stay_whole_and_codes_part_from_their_figures() {
        assert_eq!(pieces("O₂"), [word("o2")]);
        let figure = Figure {
            value: 32.0,
            decimals: 0,
            glued: true,
        };
        assert_eq!(pieces("EAN32"), [word("ean"), Piece::Number(figure)]);
        assert_eq!(pieces("p.s.i."), [word("psi")]);
        assert_eq!(pieces("don't"), [word("dont")]);
    }

    #[test]
    fn a_comma_parts_thousands_or_one_decimal_and_nothing_else() {
        let values = |text: &str| -> Vec<f64> {
            let numbers = pieces(text).into_iter().filter_map(|piece| match piece {
                Piece::Number(figure) => Some(figure.value),
                _ => None,
            });
            numbers.collect()
        };
        assert_eq!(values("3,000 psi"), [3000.0]);
        assert_eq!(values("32,5 %"), [32.5]);
        assert_eq!(values("21,40 %"), [21.0, 40.0]);
        assert_eq!(values("20.95 %"), [20.95]);
    }
}
