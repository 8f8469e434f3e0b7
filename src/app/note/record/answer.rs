//! What was asked and answered, and how an answer is written as fields of the note.

use super::part::{PartDraft, next_photo, pieces};
use super::question::{Question, measures};
use crate::core::gland::{Duty, GlandDimension};
use crate::core::note::{Entry, Note, condition_of, keyed, position_field};

/// Names what is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Asked {
    Header(usize),
    Vented,
    Section,
    Part,
    Field(Question),
}

/// One answer as what it puts into the note.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Answer {
    /// The line of the header, where it was not left out.
    Header { at: usize, line: Option<String> },
    /// The unit is vented.
    Vented,
    /// A section begins.
    Section(String),
    /// A part begins.
    Part(PartDraft),
    /// Fields in the place of those said before; `None` leaves them.
    Field {
        question: Question,
        fields: Option<Vec<String>>,
    },
    /// A line of the dialogue about a ring.
    Ring(String),
    /// A part is asked for anew, by its number.
    Edit(usize),
    /// The part is complete.
    End,
}

impl Answer {
    /// Returns what it answered.
    pub(super) fn asked(&self) -> Asked {
        match self {
            Self::Header { at, .. } => Asked::Header(*at),
            Self::Vented => Asked::Vented,
            Self::Section(_) => Asked::Section,
            Self::Part(_) | Self::Edit(_) | Self::End => Asked::Part,
            Self::Field { question, .. } => Asked::Field(*question),
            Self::Ring(_) => Asked::Field(Question::Readings),
        }
    }

    /// Says it as it stands in the note.
    pub(super) fn words(&self) -> String {
        let nothing = |what: &str| format!("{what} left out");
        match self {
            Self::Header { line, at } => line.as_ref().map_or_else(
                || nothing(super::HEADER[*at].0),
                |line| line.split_whitespace().collect::<Vec<_>>().join(" "),
            ),
            Self::Vented => "vented".to_owned(),
            Self::Section(name) => format!("[{name}]"),
            Self::Part(part) => part.text().trim_end().to_owned(),
            Self::Field { question, fields } => match fields.as_deref() {
                None | Some([]) => nothing(question.word()),
                Some(fields) => fields.join(" ; "),
            },
            Self::Ring(line) => line.clone(),
            Self::Edit(order) => format!("edit {order}"),
            Self::End => "done".to_owned(),
        }
    }
}

/// Writes an answer as fields of the note; `None` leaves what was said before.
///
/// # Errors
/// Says what to write.
pub(super) fn fields_of(
    question: Question,
    words: &str,
    entry: &Entry,
    note: &Note,
) -> Result<Vec<String>, String> {
    let is_number = words.starts_with(|c: char| c.is_ascii_digit() || c == '.');
    let lower = words.to_lowercase();
    Ok(match question {
        Question::Quantity => match words.trim_start_matches(['x', 'X']).trim() {
            "1" => Vec::new(),
            count if count.parse::<u32>().is_ok() => vec![format!("x{count}")],
            other => return Err(format!("{other:?} is not a count: write a number, as 2")),
        },
        Question::Fate => vec![short(&lower, &["replace", "keep", "inspect"])?],
        Question::Condition if lower == "f" => vec!["rough".to_owned()],
        Question::Condition => {
            let word = short(&lower, &["new", "used", "rough"])?;
            condition_of(&word)
                .ok_or("write new, used or rough (flattened, hard, swollen); other words go behind \"anything else?\"")?;
            vec![word]
        }
        Question::Turns if words.contains("turn") => vec![keyed("turns", words)],
        Question::Turns if is_number && !words.contains(' ') => {
            return Err(format!("write {words} threads, or {words} turns"));
        }
        Question::Turns => vec![keyed("exposed", words)],
        Question::Position => vec![position_field(words)],
        Question::Tool if words == "=" => {
            let last = note.entries.iter().rev().find_map(|e| e.tool.as_ref());
            vec![keyed(
                "tool",
                last.ok_or("no tool was named yet: write it")?,
            )]
        }
        Question::Photo if words == "+" => vec![keyed("photo", &photo_after(note)?)],
        Question::Measures if is_number => {
            let key = measures(entry.kind).split(' ').next().unwrap_or("od");
            pieces(&format!("{key} {words}"))
        }
        Question::Measures => pieces(words),
        Question::Gland => {
            let words = words.strip_prefix("gland ").unwrap_or(words);
            pieces(&format!("gland {words}"))
        }
        Question::Groove(dimension) => vec![dimension_field(dimension, words)],
        Question::Duty => vec![short(&lower, &Duty::ALL.map(|(_, word)| word))?],
        Question::Pressure => {
            let words = words.strip_prefix("pressure ").unwrap_or(words);
            vec![format!("pressure {words}")]
        }
        other => vec![keyed(other.word(), words)],
    })
}

/// Writes a length of a groove; one that names another dimension is that one.
fn dimension_field(asked: GlandDimension, words: &str) -> String {
    let key = words.split(' ').next().unwrap_or("");
    match GlandDimension::from_word(key) {
        Some(_) => words.to_owned(),
        None => format!("{} {words}", asked.word()),
    }
}

fn photo_after(note: &Note) -> Result<String, String> {
    let parts = note.entries.iter().flat_map(|e| &e.photos);
    let last = note.header.photos.iter().chain(parts).last();
    last.and_then(|last| next_photo(last))
        .ok_or_else(|| "no photo with a number was named yet: write its name".to_owned())
}

fn short(lower: &str, known: &[&str]) -> Result<String, String> {
    if lower.len() > 1 && !lower.contains(' ') {
        return Ok(lower.to_owned());
    }
    let found = known.iter().find(|word| word.starts_with(lower));
    found
        .map(|word| (*word).to_owned())
        .ok_or_else(|| format!("write one of {}", known.join(", ")))
}
