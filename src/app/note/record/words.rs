//! The words of a recording.

use super::question::Question;
use crate::app::ring::session_said::Said;
use crate::core::count::counted;
use crate::core::note::{Diagnostic, Entry, NoteReading, Severity, read_note};
use crate::core::quantity::Span;

pub(super) fn taken(words: &str) -> Said {
    Said::Text(format!("Taken: {words}."))
}

/// Says a part as it is understood.
pub(super) fn understood(entry: &Entry) -> String {
    let name = &entry.name;
    let mut words = vec![if name.eq_ignore_ascii_case(entry.kind.word()) {
        name.clone()
    } else {
        format!("{name} ({})", entry.kind)
    }];
    if entry.quantity > 1 {
        words.push(format!("x{}", entry.quantity));
    }
    let fate = entry.fate.word().to_owned();
    words.extend([entry.position.clone(), fate]);
    words.retain(|word| !word.is_empty());
    words.join(", ")
}

/// Says an answer as it is understood: a length of a groove with its unit, everything else as it stands in the note.
pub(super) fn shown_back(question: Question, fields: &[String], entry: &Entry) -> String {
    let length = match (question, &entry.gland) {
        (Question::Groove(dimension), Some(gland)) => gland
            .dimension(dimension)
            .map(|length| format!("{} {} mm", dimension.word(), length.nominal.mm_rounded())),
        _ => None,
    };
    length.unwrap_or_else(|| fields.join(" ; "))
}

/// Reads a note.
///
/// # Errors
/// Says what is wrong in it first.
pub(super) fn sound(text: &str) -> Result<NoteReading, String> {
    let reading = read_note(text);
    let mut wrong = reading.diagnostics.iter();
    match wrong.find(|d| d.severity == Severity::Error) {
        Some(error) => Err(told(error)),
        None => Ok(reading),
    }
}

pub(super) fn noticed(diagnostic: &Diagnostic) -> Said {
    match diagnostic.severity {
        Severity::Danger => Said::Caution(told(diagnostic)),
        Severity::Error | Severity::Warning => Said::Warning(told(diagnostic)),
    }
}

pub(super) fn told(diagnostic: &Diagnostic) -> String {
    match &diagnostic.remedy {
        Some(remedy) => format!("{}: {remedy}", diagnostic.message),
        None => diagnostic.message.clone(),
    }
}

pub(super) fn fault(line: &str, message: &str) -> Said {
    let span = Span::new(0, line.len());
    Said::Fault {
        line: line.to_owned(),
        span,
        message: message.to_owned(),
    }
}

pub(super) fn lines_of(text: &str) -> Said {
    Said::Lines(text.lines().map(str::to_owned).collect())
}

pub(super) fn parts_in_words(parts: usize) -> String {
    counted(parts, "part", "parts")
}
