//! What the pieces of a text mean: gases, shares, figures, and the words that join them.

use super::gas_name::{Behind, GasName};
use super::gas_word::{Meaning, WordRole, phrases};
use super::lexeme::{Figure, Lexeme, Mark, Piece, lexemes};
use super::measured::{measured_end, unit_end};
use crate::core::quantity::Span;

/// Says what one term is.
#[derive(Debug, Clone)]
pub(super) enum TermKind {
    /// A gas of the list.
    Gas(&'static GasName),
    /// A share, 0 to 1: each figure that the words allow, as the two ends of a range.
    Share(Vec<f64>),
    /// A number that is neither a share nor a quantity.
    Number(Figure),
    /// A date or a quantity with its unit.
    Measured,
    /// Words that may stand beside some gases.
    Beside(&'static str),
    /// A word of the grammar.
    Role(WordRole),
    /// A mark that is not used up.
    Mark(Mark),
    /// A word that is not known.
    Unknown(String),
}

/// One term and where it stands.
#[derive(Debug, Clone)]
pub(super) struct Term {
    pub(super) kind: TermKind,
    pub(super) span: Span,
}

/// Reads the terms of a text.
pub(super) fn terms(text: &str) -> Vec<Term> {
    let lexemes = lexemes(text);
    let mut found: Vec<Term> = Vec::new();
    let mut at = 0;
    while at < lexemes.len() {
        let (kind, end) = term_at(&lexemes, at, takes_figure(&found));
        let span = Span::new(lexemes[at].span.start, lexemes[end - 1].span.end);
        found.push(Term { kind, span });
        at = end;
    }
    bounded(found)
}

/// Tells whether a figure that comes next stands directly behind a name that takes one, or behind the figures of such a name.
fn takes_figure(terms: &[Term]) -> bool {
    let joins = |term: &&Term| {
        matches!(
            term.kind,
            TermKind::Mark(Mark::Equals | Mark::Dash | Mark::Open | Mark::Slash | Mark::PlusMinus)
                | TermKind::Number(_)
        )
    };
    let name = terms.iter().rev().find(|term| !joins(term));
    name.is_some_and(|term| match term.kind {
        TermKind::Gas(gas) => gas.behind.is_some_and(|behind| behind != Behind::Grade),
        _ => false,
    })
}

fn term_at(lexemes: &[Lexeme], at: usize, behind_name: bool) -> (TermKind, usize) {
    if let Some((meaning, end)) = phrase_at(lexemes, at) {
        let kind = match meaning {
            Meaning::Gas(gas) => TermKind::Gas(gas),
            Meaning::Beside(words) => TermKind::Beside(words),
            Meaning::Role(role) => TermKind::Role(role),
        };
        return (kind, end);
    }
    match &lexemes[at].piece {
        Piece::Word(word) => (TermKind::Unknown(word.clone()), at + 1),
        Piece::Number(figure) => {
            if let Some((share, end)) = share_at(lexemes, at) {
                return (TermKind::Share(share), end);
            }
            // A figure behind a code is its share, unless its own unit follows: "EAN-36 - 200 bar", "nitrox 200 bar".
            let measured = match (figure.glued, behind_name) {
                (true, _) => None,
                (false, true) => unit_end(lexemes, at + 1),
                (false, false) => measured_end(lexemes, at),
            };
            match measured {
                Some(end) => (TermKind::Measured, end),
                None => (TermKind::Number(*figure), at + 1),
            }
        }
        Piece::Mark(mark) => (marked(*mark), at + 1),
    }
}

/// Turns marks that stand for a word into it.
fn marked(mark: Mark) -> TermKind {
    match mark {
        Mark::Plus | Mark::Line => TermKind::Role(WordRole::Blend),
        Mark::Less => TermKind::Role(WordRole::Most),
        Mark::Greater => TermKind::Role(WordRole::Least),
        other => TermKind::Mark(other),
    }
}

/// Finds the longest known phrase that begins at a lexeme; a dash or a full stop inside it is passed over ("oil-free").
fn phrase_at(lexemes: &[Lexeme], at: usize) -> Option<(Meaning, usize)> {
    let Piece::Word(_) = lexemes[at].piece else {
        return None;
    };
    phrases().iter().find_map(|phrase| {
        let mut next = at;
        for (index, expected) in phrase.words.iter().enumerate() {
            if index > 0 && is_inside_a_word(lexemes, next) {
                next += 1;
            }
            if !is_word(lexemes.get(next)?, expected) {
                return None;
            }
            next += 1;
        }
        Some((phrase.meaning, next))
    })
}

/// A dash or a full stop without spaces beside it; with one it parts what stands before from what follows.
fn is_inside_a_word(lexemes: &[Lexeme], at: usize) -> bool {
    let (Some(before), Some(mark), Some(after)) =
        (lexemes.get(at - 1), lexemes.get(at), lexemes.get(at + 1))
    else {
        return false;
    };
    matches!(mark.piece, Piece::Mark(Mark::Dash | Mark::Stop))
        && before.span.end == mark.span.start
        && mark.span.end == after.span.start
}

fn is_word(lexeme: &Lexeme, expected: &str) -> bool {
    match &lexeme.piece {
        Piece::Word(word) => word == expected,
        Piece::Number(figure) => figure.decimals == 0 && expected.parse() == Ok(figure.value),
        Piece::Mark(_) => false,
    }
}

/// Finds the word of the grammar that begins at a lexeme.
pub(super) fn role_at(lexemes: &[Lexeme], at: usize) -> Option<(WordRole, usize)> {
    if at >= lexemes.len() {
        return None;
    }
    match phrase_at(lexemes, at)? {
        (Meaning::Role(role), end) => Some((role, end)),
        _ => None,
    }
}

/// Reads a share with its per cent sign: `32 %`, `21-40 %`, `93 ± 3 %`.
fn share_at(lexemes: &[Lexeme], at: usize) -> Option<(Vec<f64>, usize)> {
    const PERCENT: f64 = 100.0;
    let number = |at: usize| match lexemes.get(at)?.piece {
        Piece::Number(figure) => Some(figure.value),
        _ => None,
    };
    let first = number(at)?;
    let signed = per_cent_end(lexemes, at + 1);
    let joint = signed.unwrap_or(at + 1);
    // Behind a stroke a figure ends a pair ("trimix 50/20 - 21 % oxygen"); it begins no range.
    let ends_pair = at > 0 && lexemes[at - 1].piece == Piece::Mark(Mark::Slash);
    let next = lexemes.get(joint).filter(|_| !ends_pair);
    let joined = match next.map(|l| &l.piece) {
        Some(Piece::Mark(mark @ (Mark::Dash | Mark::PlusMinus))) => Some(*mark),
        Some(Piece::Word(word)) if word == "to" => Some(Mark::Dash),
        _ => None,
    };
    let second = joined.and_then(|mark| {
        let end = per_cent_end(lexemes, joint + 2)?;
        Some((mark, number(joint + 1)?, end))
    });
    let (figures, end) = match (second, signed) {
        (Some((Mark::PlusMinus, spread, end)), _) => (vec![first - spread, first + spread], end),
        (Some((_, last, end)), _) => (vec![first, last], end),
        (None, Some(end)) => (vec![first], end),
        (None, None) => return None,
    };
    let fits = |figure: &f64| (0.0..=PERCENT).contains(figure);
    figures
        .iter()
        .all(fits)
        .then(|| (figures.iter().map(|f| f / PERCENT).collect(), end))
}

fn per_cent_end(lexemes: &[Lexeme], at: usize) -> Option<usize> {
    if let Some(Piece::Mark(Mark::Percent)) = lexemes.get(at).map(|l| &l.piece) {
        return Some(at + 1);
    }
    match role_at(lexemes, at)? {
        (WordRole::PerCent, end) => Some(end),
        _ => None,
    }
}

/// Applies "up to" and "at least" to the share behind them; beside a quantity ("max. working pressure 200 bar", "200 bar max")
/// they say nothing.
fn bounded(terms: Vec<Term>) -> Vec<Term> {
    let mut found: Vec<Term> = Vec::with_capacity(terms.len());
    for mut term in terms {
        let bound = found
            .iter()
            .rposition(|term| !is_between(term))
            .filter(|at| is_bound(&found[*at]));
        if let Some(at) = bound {
            let least = matches!(found[at].kind, TermKind::Role(WordRole::Least));
            match &mut term.kind {
                TermKind::Share(figures) => {
                    figures.push(if least { 1.0 } else { 0.0 });
                    found.truncate(at);
                }
                TermKind::Measured => found.truncate(at),
                _ => {}
            }
        }
        found.push(term);
    }
    let behind_quantity = |at: usize| at > 0 && matches!(found[at - 1].kind, TermKind::Measured);
    let said = (0..found.len()).filter(|at| !(is_bound(&found[*at]) && behind_quantity(*at)));
    said.map(|at| found[at].clone()).collect()
}

/// Words and marks that may stand between a bound and its figure.
fn is_between(term: &Term) -> bool {
    matches!(
        term.kind,
        TermKind::Mark(Mark::Stop | Mark::Equals) | TermKind::Role(WordRole::Neutral)
    )
}

fn is_bound(term: &Term) -> bool {
    matches!(term.kind, TermKind::Role(WordRole::Most | WordRole::Least))
}
