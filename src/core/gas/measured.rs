//! Figures that are plainly no share of oxygen: dates, and quantities with their unit.

use super::gas_word::WordRole;
use super::lexeme::{Lexeme, Mark, Piece};
use super::term::role_at;
use crate::core::quantity::{Date, LengthUnit, parse_mass, parse_pressure, parse_temperature};

/// Years that gear and its labels bear.
const YEARS: std::ops::RangeInclusive<f64> = 1900.0..=2099.0;

/// Returns where a date or a quantity that begins at a lexeme ends.
pub(super) fn measured_end(lexemes: &[Lexeme], at: usize) -> Option<usize> {
    date_end(lexemes, at).or_else(|| quantity_end(lexemes, at))
}

fn whole(lexemes: &[Lexeme], at: usize) -> Option<f64> {
    match lexemes.get(at)?.piece {
        Piece::Number(figure) if figure.decimals == 0 && !figure.glued => Some(figure.value),
        _ => None,
    }
}

fn is_mark(lexemes: &[Lexeme], at: usize, marks: &[Mark]) -> bool {
    matches!(lexemes.get(at).map(|l| &l.piece), Some(Piece::Mark(mark)) if marks.contains(mark))
}

/// Reads 21/03/24, 2024-03-21, 03/2019 and a year alone.
fn date_end(lexemes: &[Lexeme], at: usize) -> Option<usize> {
    const CENTURY: f64 = 2000.0;
    let first = whole(lexemes, at)?;
    let parted = |at| is_mark(lexemes, at, &[Mark::Slash, Mark::Dash]);
    let second = whole(lexemes, at + 2).filter(|_| parted(at + 1));
    let third = whole(lexemes, at + 4).filter(|_| second.is_some() && parted(at + 3));
    if let (Some(second), Some(third)) = (second, third) {
        let full = |year: f64| if year < 100.0 { year + CENTURY } else { year };
        let day_first = is_day(full(third), second, first) || is_day(full(third), first, second);
        return (day_first || is_day(first, second, third)).then_some(at + 5);
    }
    if second.is_some_and(|year| YEARS.contains(&year)) && (1.0..=12.0).contains(&first) {
        return Some(at + 3);
    }
    (YEARS.contains(&first) && quantity_end(lexemes, at).is_none()).then_some(at + 1)
}

fn is_day(year: f64, month: f64, day: f64) -> bool {
    let small = |number: f64| (1.0..=31.0).contains(&number);
    #[allow(
        clippy::cast_possible_truncation,
        reason = "the ranges are checked first"
    )]
    let date = || Date::new(year as i16, month as i8, day as i8);
    YEARS.contains(&year) && small(month) && small(day) && date().is_some()
}

/// Reads `200 bar`, `150-200 bar`, `2 x 12 l`: every figure before the unit belongs to it.
fn quantity_end(lexemes: &[Lexeme], at: usize) -> Option<usize> {
    let Piece::Number(_) = lexemes.get(at)?.piece else {
        return None;
    };
    if let Some(end) = unit_end(lexemes, at + 1) {
        return Some(end);
    }
    let joined = is_mark(
        lexemes,
        at + 1,
        &[Mark::Dash, Mark::Gap, Mark::Slash, Mark::Times],
    ) || matches!(lexemes.get(at + 1).map(|l| &l.piece), Some(Piece::Word(w)) if w == "x" || w == "to");
    if joined {
        quantity_end(lexemes, at + 2)
    } else {
        None
    }
}

/// Returns where a unit ends that begins at a lexeme.
pub(super) fn unit_end(lexemes: &[Lexeme], at: usize) -> Option<usize> {
    if let Some((WordRole::Unit, end)) = role_at(lexemes, at) {
        return Some(end);
    }
    let Piece::Word(word) = &lexemes.get(at)?.piece else {
        return None;
    };
    let one = format!("1 {word}");
    let is_unit = parse_pressure(&one).is_ok()
        || parse_temperature(&one).is_ok()
        || parse_mass(&one).is_ok()
        || LengthUnit::from_word(word).is_some();
    is_unit.then_some(at + 1)
}
