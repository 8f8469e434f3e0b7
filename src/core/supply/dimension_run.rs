//! Numbers, units and labels that stand together in a description: "9.25 ID x 1.78 CS mm".

use super::bare_size::{begins_unit, is_letter};
use crate::core::quantity::{Length, LengthUnit, parse_dimension};
use crate::core::sizes::is_times;

/// One piece of a run of dimensions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Piece<'t> {
    /// A number as written.
    Number(&'t str),
    /// The sign between two dimensions.
    Times,
    /// A unit as it is understood: "mm" or "in".
    Unit(&'static str),
    /// Which dimension a number is.
    Label(Label),
}

/// Names a dimension.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Label {
    /// Inside diameter.
    Id,
    /// Outside diameter.
    Od,
    /// Cross-section.
    Section,
}

/// Parts a word in capitals into pieces; `None` where anything else stands in it.
pub(super) fn pieces(word: &str) -> Option<Vec<Piece<'_>>> {
    let mut found = Vec::new();
    let mut rest = word;
    while !rest.is_empty() {
        let (piece, length) = first_piece(rest)?;
        found.push(piece);
        rest = &rest[length..];
    }
    let dots = found
        .windows(2)
        .any(|two| matches!(two, [Piece::Number(_), Piece::Number(_)]));
    (!found.is_empty() && !dots).then_some(found)
}

/// Tells whether a text in capitals begins with a number and a sign of times, unit or label right behind it.
pub(super) fn begins_dimension(text: &str) -> bool {
    let behind = number_length(text).map(|length| text[length..].trim_start());
    let piece = behind.and_then(first_piece).map(|(piece, _)| piece);
    piece.is_some_and(|piece| !matches!(piece, Piece::Number(_)))
}

fn first_piece(text: &str) -> Option<(Piece<'_>, usize)> {
    const WORDS: [(&str, Piece<'static>); 16] = [
        ("MM", Piece::Unit("mm")),
        ("INCHES", Piece::Unit("in")),
        ("INCH", Piece::Unit("in")),
        ("IN.", Piece::Unit("in")),
        ("IN", Piece::Unit("in")),
        ("\"", Piece::Unit("in")),
        ("ID", Piece::Label(Label::Id)),
        ("I.D.", Piece::Label(Label::Id)),
        ("OD", Piece::Label(Label::Od)),
        ("O.D.", Piece::Label(Label::Od)),
        ("CS", Piece::Label(Label::Section)),
        ("C/S", Piece::Label(Label::Section)),
        ("C.S.", Piece::Label(Label::Section)),
        ("THK", Piece::Label(Label::Section)),
        ("X", Piece::Times),
        ("*", Piece::Times),
    ];
    if let Some(length) = number_length(text) {
        return Some((Piece::Number(&text[..length]), length));
    }
    if let Some(length) = text
        .chars()
        .next()
        .filter(|c| *c == '×')
        .map(char::len_utf8)
    {
        return Some((Piece::Times, length));
    }
    if let Some(rest) = text.strip_prefix(['=', ':']) {
        // "ID=9.25": the sign belongs to the label before it.
        let (piece, length) = first_piece(rest)?;
        return Some((piece, length + 1));
    }
    WORDS
        .iter()
        .find(|(word, _)| text.starts_with(word))
        .map(|(word, piece)| (*piece, word.len()))
}

/// The bytes of a number at the start: digits with one decimal mark, a fraction, or a whole with a fraction ("1-1/16").
fn number_length(text: &str) -> Option<usize> {
    let digits = |from: usize| text[from..].bytes().take_while(u8::is_ascii_digit).count();
    let whole = digits(0);
    let mark = text.as_bytes().get(whole).copied();
    match mark {
        Some(b'.' | b',') if digits(whole + 1) > 0 => {
            let end = whole + 1 + digits(whole + 1);
            // A second mark is no number.
            let more = text
                .as_bytes()
                .get(end)
                .is_some_and(|b| matches!(b, b'.' | b','));
            (!more).then_some(end)
        }
        Some(b'/') if whole > 0 && digits(whole + 1) > 0 => Some(whole + 1 + digits(whole + 1)),
        Some(b'-') if whole > 0 && digits(whole + 1) > 0 => {
            let slash = whole + 1 + digits(whole + 1);
            let fraction = text.as_bytes().get(slash) == Some(&b'/') && digits(slash + 1) > 0;
            fraction
                .then(|| slash + 1 + digits(slash + 1))
                .or(Some(whole))
        }
        _ => (whole > 0).then_some(whole),
    }
}

/// "X+3/32", "CM": a dimension that could not be read, or a unit that is none here.
pub(super) fn goes_on(word: &str) -> bool {
    let mut letters = word.chars();
    let times = letters.next().is_some_and(is_times);
    times && letters.next().is_some_and(|c| !is_letter(c)) || begins_unit(word)
}

/// "1/16±0.5": a fraction that may belong to the whole number before it.
pub(super) fn begins_fraction(word: &str) -> bool {
    let rest = word.trim_start_matches(|c: char| c.is_ascii_digit());
    rest.len() < word.len() && rest.starts_with('/')
}

fn run_unit(run: &[Piece<'_>]) -> Result<Option<&'static str>, ()> {
    let mut units = run.iter().filter_map(|p| match p {
        Piece::Unit(unit) => Some(*unit),
        _ => None,
    });
    let first = units.next();
    if units.all(|unit| Some(unit) == first) {
        Ok(first)
    } else {
        Err(())
    }
}

/// Writes a run as a designation, "ID x section unit"; `None` where it is no ring's dimensions.
pub(super) fn run_text(run: &[Piece<'_>]) -> Option<String> {
    let unit = run_unit(run)
        .ok()?
        .map(|u| format!(" {u}"))
        .unwrap_or_default();
    let numbers: Vec<&str> = run
        .iter()
        .filter_map(|p| {
            if let Piece::Number(n) = p {
                Some(*n)
            } else {
                None
            }
        })
        .collect();
    let times = run.iter().filter(|p| **p == Piece::Times).count();
    let labels: Vec<Label> = run
        .iter()
        .filter_map(|p| {
            if let Piece::Label(l) = p {
                Some(*l)
            } else {
                None
            }
        })
        .collect();
    if labels.is_empty() {
        let parted = times + 1 == numbers.len() && (2..=3).contains(&numbers.len());
        let begins = matches!(run.first(), Some(Piece::Number(_)));
        return (parted && begins).then(|| format!("{}{unit}", numbers.join(" x ")));
    }
    if labels.len() != numbers.len() {
        return None;
    }
    let of = |label: Label| {
        labels
            .iter()
            .position(|l| *l == label)
            .map(|at| numbers[at])
    };
    match (of(Label::Id), of(Label::Od), of(Label::Section)) {
        (Some(id), None, Some(section)) if labels.len() == 2 => {
            Some(format!("{id} x {section}{unit}"))
        }
        (Some(id), Some(od), Some(section)) if labels.len() == 3 => {
            Some(format!("{id} x {od} x {section}{unit}"))
        }
        _ => None,
    }
}

/// The lengths of a part that is no ring; a run without unit has none.
pub(super) fn run_lengths(run: &[Piece<'_>]) -> Vec<Length> {
    let unit = match run_unit(run) {
        Ok(Some("mm")) => LengthUnit::Mm,
        Ok(Some(_)) => LengthUnit::In,
        _ => return Vec::new(),
    };
    run.iter()
        .filter_map(|piece| match piece {
            Piece::Number(number) => parse_dimension(number, Some(unit)).ok(),
            _ => None,
        })
        .map(|typed| typed.value.nominal)
        .collect()
}
