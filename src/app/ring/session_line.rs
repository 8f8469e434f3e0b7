//! One line of a dialogue at the bench: a reading or a word of command.

use super::session_said::{Ask, Said};
use crate::core::measurement::{Condition, Measurand, Reading};
use crate::core::note::condition_of;
use crate::core::quantity::{LengthUnit, QuantityErrorKind, Span};

/// What a line says.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Heard {
    Nothing,
    Reading(NewReading),
    Command(Command),
}

/// A reading with the place of its method in the line.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct NewReading {
    pub(in crate::app) reading: Reading,
    pub(super) method_span: Option<Span>,
}

/// Names what can be asked of the dialogue.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Command {
    Undo,
    Done,
    Skip,
    Odds,
    Help,
    Condition(Condition),
    Unit(LengthUnit),
    Have(Vec<(String, Span)>),
}

/// Says what cannot be taken of a line.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LineFault {
    span: Span,
    message: String,
}

impl LineFault {
    pub(in crate::app) fn new(span: Span, message: impl Into<String>) -> Self {
        Self {
            span,
            message: message.into(),
        }
    }

    pub(in crate::app) fn said(self, line: &str) -> Said {
        Said::Fault {
            line: line.to_owned(),
            span: self.span,
            message: self.message,
        }
    }
}

/// The words that are understood, for "did you mean".
const WORDS: [&str; 18] = [
    "undo",
    "done",
    "skip",
    "odds",
    "help",
    "unit",
    "have",
    "condition",
    "new",
    "used",
    "rough",
    "od",
    "id",
    "cs",
    "width",
    "cut",
    "mass",
    "end",
];
/// A line longer than this is no reading.
const LONGEST: usize = 400;

/// Reads a line; a bare number answers the question that was asked.
pub(super) fn hear_line(
    line: &str,
    asked: Option<&Ask>,
    declared: Option<LengthUnit>,
) -> Result<Heard, LineFault> {
    let text = line.trim();
    let start = line.len() - line.trim_start().len();
    if text.is_empty() {
        return Ok(Heard::Nothing);
    }
    if text.len() > LONGEST {
        let span = Span::new(start, start + text.len());
        return Err(LineFault::new(
            span,
            "this line is too long for a reading: write one reading a line",
        ));
    }
    let end = text
        .find(|c: char| c.is_whitespace() || matches!(c, ':' | '='))
        .unwrap_or(text.len());
    let first = text[..end].to_lowercase();
    let rest_at = start + end + skip(&text[end..]);
    let rest = line[rest_at..].trim_end();
    if let Some(measurand) = Measurand::from_word(&first) {
        // The method that was asked for is meant where the very dimension is named.
        let method = asked
            .filter(|ask| ask.measurand == measurand)
            .map(|ask| ask.method.as_str());
        return reading(line, rest_at, measurand, method, declared);
    }
    if let Some(heard) = command(&first, rest, rest_at) {
        return heard.map(Heard::Command);
    }
    let is_number = first.starts_with(|c: char| c.is_ascii_digit() || ".,øØ⌀-+".contains(c));
    match asked {
        Some(ask) if is_number => {
            let method = Some(ask.method.as_str());
            reading(line, start, ask.measurand, method, declared)
        }
        None if is_number => Err(LineFault::new(
            Span::new(start, start + text.len()),
            "no dimension is asked for: say which one this is, as \"od 12.85 mm by caliper\"",
        )),
        _ => Err(unknown(&first, Span::new(start, start + end))),
    }
}

/// Counts the bytes of space and one mark behind a key.
fn skip(text: &str) -> usize {
    let inner = text.trim_start();
    let inner = inner.strip_prefix([':', '=']).unwrap_or(inner);
    text.len() - inner.trim_start().len()
}

fn unknown(word: &str, span: Span) -> LineFault {
    let near = WORDS
        .iter()
        .map(|known| (strsim::osa_distance(known, word), *known))
        .min()
        .filter(|(distance, known)| *distance <= 1 + known.len() / 5 && word.len() > 1);
    let hint = near.map_or_else(String::new, |(_, known)| {
        format!(" (did you mean {known:?}?)")
    });
    LineFault::new(
        span,
        format!(
            "{word:?} is not understood{hint}: write a reading, as \"od 12.85 mm by caliper\", or undo, skip, odds, help, done"
        ),
    )
}

fn command(first: &str, rest: &str, rest_at: usize) -> Option<Result<Command, LineFault>> {
    let rest_span = Span::new(rest_at, rest_at + rest.len());
    let alone = |command: Command| {
        if rest.is_empty() {
            Ok(command)
        } else {
            Err(LineFault::new(
                rest_span,
                format!("{first:?} stands alone: take the rest of the line out"),
            ))
        }
    };
    Some(match first {
        "undo" | "back" => alone(Command::Undo),
        "done" | "end" | "stop" | "quit" | "exit" => alone(Command::Done),
        "skip" | "-" => alone(Command::Skip),
        "odds" => alone(Command::Odds),
        "help" | "?" => alone(Command::Help),
        "condition" => condition_of(rest).map(Command::Condition).ok_or_else(|| {
            LineFault::new(
                rest_span,
                "write condition new, condition used or condition rough",
            )
        }),
        "unit" => match LengthUnit::from_word(rest) {
            Some(unit @ (LengthUnit::Mm | LengthUnit::In)) => Ok(Command::Unit(unit)),
            _ => Err(LineFault::new(rest_span, "write unit mm or unit in")),
        },
        "have" => Ok(Command::Have(words(rest, rest_at))),
        word => alone(Command::Condition(condition_of(word)?)),
    })
}

/// Splits a list of methods; "all" and an empty list stand for every one.
fn words(rest: &str, rest_at: usize) -> Vec<(String, Span)> {
    let mut found = Vec::new();
    let mut at = 0;
    for word in rest.split([' ', ',', ';', '\t']) {
        if !word.is_empty() {
            let span = Span::new(rest_at + at, rest_at + at + word.len());
            found.push((word.to_lowercase(), span));
        }
        at += word.len() + 1;
    }
    if matches!(found.as_slice(), [(word, _)] if word == "all") {
        found.clear();
    }
    found
}

/// Reads a reading that begins at byte `at`; its typed text is made to stand alone, with unit and method.
fn reading(
    line: &str,
    at: usize,
    measurand: Measurand,
    asked_method: Option<&str>,
    declared: Option<LengthUnit>,
) -> Result<Heard, LineFault> {
    let text = line[at..].trim_end();
    let (values, method) = match text.split_once(" by ") {
        Some((values, method)) => (values, Some(method.trim())),
        None => (text, None),
    };
    let parsed = Reading::parse(measurand, values, declared).map_err(|error| {
        let span = error.span.shifted(at);
        if matches!(error.kind, QuantityErrorKind::NoUnit { .. }) {
            let message =
                "this number has no unit: write it, as 12.85 mm or .506 in, or say once: unit mm";
            return LineFault::new(span, message);
        }
        LineFault::new(span, error.to_string())
    })?;
    let method_span = method.map(|method| {
        let begin = at + text.len() - method.len();
        Span::new(begin, begin + method.len())
    });
    let method = method.or(asked_method).unwrap_or("").to_lowercase();
    let mut typed = values.trim().replace(';', " ");
    if measurand != Measurand::Mass && Reading::parse(measurand, &typed, None).is_err() {
        let unit = declared.unwrap_or(LengthUnit::Mm);
        typed = format!("{typed} {}", unit.symbol());
    }
    if !method.is_empty() {
        typed = format!("{typed} by {method}");
    }
    Ok(Heard::Reading(NewReading {
        reading: Reading {
            method,
            typed,
            ..parsed
        },
        method_span,
    }))
}
