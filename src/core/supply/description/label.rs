//! Figures that words name: "ID 10 CS 2", "25 mm inside dia 3 mm cross section", "内径20 线径2".

use super::dimension::{Chain, Token};
use super::figure::{Figure, Label};
use super::size::{Pair, Reading, agree, between, of_named, of_three, within};

/// What words name.
#[derive(Debug, Default)]
pub(super) struct Named {
    pub(super) readings: Vec<Reading>,
    /// The figures that are settled by it.
    pub(super) figures: Vec<usize>,
    pub(super) broken: bool,
    pub(super) cord_alone: bool,
}

/// A word and the figure that it names.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Bound {
    /// The place of the word among the tokens.
    word: usize,
    label: Label,
    figure: usize,
}

/// Reads the figures that words name.
pub(super) fn name(tokens: &[Token], figures: &[Figure<'_>], chains: &[Chain]) -> Named {
    if !tokens.iter().any(|token| matches!(token, Token::Label(_))) {
        return Named::default();
    }
    let Some(mut bound) = header(tokens, chains).or_else(|| bind(tokens)) else {
        return Named {
            broken: true,
            ..Named::default()
        };
    };
    let has = |bound: &[Bound], label| bound.iter().any(|b| b.label == label);
    if !has(&bound, Label::Inside) {
        bound.retain(|b| b.label != Label::PerhapsOutside);
    }
    let diameter = has(&bound, Label::Inside)
        || has(&bound, Label::Outside)
        || has(&bound, Label::PerhapsOutside);
    let cord_alone = !diameter && tokens.contains(&Token::Label(Label::Cord));
    if cord_alone {
        bound.retain(|b| b.label != Label::Cord);
    }
    let of = |label: Label| {
        bound
            .iter()
            .find(|b| b.label == label)
            .map(|b| &figures[b.figure])
    };
    let twice = bound.iter().any(|b| {
        of(b.label).is_some_and(|first| {
            let other = &figures[b.figure];
            first.at != other.at && first.nm_or_mm() != other.nm_or_mm()
        })
    });
    let inside = of(Label::Inside);
    let outside = of(Label::Outside).or_else(|| of(Label::PerhapsOutside));
    let section = of(Label::Section).or_else(|| of(Label::Cord));
    let mut named = Named {
        cord_alone,
        broken: twice,
        ..Named::default()
    };
    named.figures = bound.iter().map(|b| b.figure).collect();
    named.readings = match (inside, outside, section) {
        (Some(id), Some(od), Some(section)) => checked(id, od, section),
        (Some(id), None, Some(section)) => of_named(Pair { id, section }),
        (Some(id), Some(od), None) => between(id, od),
        (None, Some(od), Some(section)) => within(od, section),
        (None, None, None) => Vec::new(),
        _ => partnered(&bound, figures, chains, &mut named.figures),
    };
    if named.readings.is_empty() {
        named.figures.clear();
    }
    named
}

fn checked(id: &Figure<'_>, od: &Figure<'_>, section: &Figure<'_>) -> Vec<Reading> {
    if agree(id.nm_or_mm(), od.nm_or_mm(), section.nm_or_mm()) {
        of_named(Pair { id, section })
    } else {
        Vec::new()
    }
}

/// One figure is named and others stand beside it with signs of times: "1 1/4 ID x 1/8".
fn partnered(
    bound: &[Bound],
    figures: &[Figure<'_>],
    chains: &[Chain],
    used: &mut Vec<usize>,
) -> Vec<Reading> {
    let Some(one) = bound.first() else {
        return Vec::new();
    };
    let Some(chain) = chains
        .iter()
        .find(|chain| chain.figures.contains(&one.figure))
    else {
        return Vec::new();
    };
    let others: Vec<&Figure<'_>> = chain
        .figures
        .iter()
        .filter(|f| **f != one.figure)
        .map(|f| &figures[*f])
        .collect();
    used.extend(&chain.figures);
    used.dedup();
    let known = &figures[one.figure];
    match (others.as_slice(), one.label) {
        ([other], Label::Inside) => {
            if other.nm_or_mm() > known.nm_or_mm() {
                between(known, other)
            } else {
                of_named(Pair {
                    id: known,
                    section: other,
                })
            }
        }
        ([other], Label::Section | Label::Cord) => of_named(Pair {
            id: other,
            section: known,
        }),
        ([other], _) => {
            let mut readings = within(known, other);
            readings.extend(between(other, known));
            readings
        }
        ([first, second], _) => of_three([known, first, second]),
        _ => Vec::new(),
    }
}

/// "OD x ID x CS: 8 x 5 x 1.5": as many words as figures, in one order.
fn header(tokens: &[Token], chains: &[Chain]) -> Option<Vec<Bound>> {
    let places: Vec<usize> = (0..tokens.len())
        .filter(|at| matches!(tokens[*at], Token::Label(_)))
        .collect();
    let joined = places.len() > 1
        && places
            .windows(2)
            .all(|two| two[1] == two[0] + 2 && tokens[two[0] + 1] == Token::Times);
    let chain = chains
        .iter()
        .find(|chain| chain.figures.len() == places.len())
        .filter(|_| joined)?;
    let bound = places
        .iter()
        .zip(&chain.figures)
        .filter_map(|(word, figure)| match tokens[*word] {
            Token::Label(label) => Some(Bound {
                word: *word,
                label,
                figure: *figure,
            }),
            _ => None,
        });
    Some(bound.collect())
}

/// Binds each word to the figure before or behind it; `None` where the words can be read in two ways.
fn bind(tokens: &[Token]) -> Option<Vec<Bound>> {
    let behind = towards(tokens, |at| tokens.get(at + 1).copied());
    let before = towards(tokens, |at| {
        at.checked_sub(1).and_then(|p| tokens.get(p)).copied()
    });
    let clash = |one: &Bound| {
        before
            .iter()
            .any(|other| one != other && (one.word == other.word || one.figure == other.figure))
    };
    if !behind.iter().any(clash) {
        let mut all = behind;
        all.extend(
            before
                .iter()
                .filter(|b| !all.contains(b))
                .copied()
                .collect::<Vec<_>>(),
        );
        return Some(all);
    }
    match behind.len().cmp(&before.len()) {
        std::cmp::Ordering::Greater => Some(behind),
        std::cmp::Ordering::Less => Some(before),
        std::cmp::Ordering::Equal => None,
    }
}

fn towards(tokens: &[Token], beside: impl Fn(usize) -> Option<Token>) -> Vec<Bound> {
    let words = tokens.iter().enumerate();
    words
        .filter_map(|(word, token)| match (token, beside(word)) {
            (Token::Label(label), Some(Token::Figure(figure))) => Some(Bound {
                word,
                label: *label,
                figure,
            }),
            _ => None,
        })
        .collect()
}
