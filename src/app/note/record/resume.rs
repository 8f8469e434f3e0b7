//! Takes a note apart into the answers that it was made of: where a recording stopped, and to take them back.

use super::answer::{Answer, Asked};
use super::part::{PartDraft, part_span};
use super::question::Question;
use super::state::VENTED;
use super::{HEADER, MARK};
use crate::core::note::{Diagnostic, Entry, NoteReading, read_note};

/// A note as far as it stands, what was asked next in it, and the answers from there.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Recorded {
    pub(super) text: String,
    pub(super) asked: Asked,
    pub(super) answers: Vec<Answer>,
}

impl Recorded {
    /// Takes a text up where its recording stopped.
    ///
    /// # Errors
    /// Fails with what is wrong in a text that is no sound note.
    pub(super) fn resumed(text: &str) -> Result<Self, Vec<Diagnostic>> {
        let mut text = text
            .trim_start_matches('\u{feff}')
            .replace("\r\n", "\n")
            .replace('\r', "\n");
        let last = text.trim_end().rfind('\n').map_or(0, |at| at + 1);
        let mark = text[last..]
            .trim_end()
            .strip_prefix(MARK)
            .map(str::to_owned);
        if mark.is_some() {
            text.truncate(last);
        }
        if !(text.is_empty() || text.ends_with('\n')) {
            text.push('\n');
        }
        let reading = read_note(&text);
        let (word, edited) = match mark.as_deref().and_then(|m| m.split_once(" of part ")) {
            Some((word, order)) => (Some(word), order.parse::<usize>().ok()),
            None => (mark.as_deref(), None),
        };
        let open = word.and_then(|word| asked(word, reading.note.entries.is_empty()));
        let is_begun = text.trim().is_empty() || open == Some(Asked::Header(1));
        if !is_begun && !reading.is_sound() {
            return Err(reading.diagnostics);
        }
        let has_parts = !reading.note.entries.is_empty() || has_section(&text);
        let usual = match has_parts {
            _ if text.trim().is_empty() => Asked::Header(0),
            true => Asked::Part,
            false => Asked::Vented,
        };
        let whole = |asked| Self {
            text: text.clone(),
            asked,
            answers: Vec::new(),
        };
        Ok(match (open, edited) {
            (Some(Asked::Field(next)), Some(order)) => {
                let entry = order
                    .checked_sub(1)
                    .and_then(|at| reading.note.entries.get(at));
                let mut recorded = whole(Asked::Part);
                if let Some(entry) = entry {
                    recorded.answers.push(Answer::Edit(order));
                    let left = asked_before(entry, next).map(|question| Answer::Field {
                        question,
                        fields: None,
                    });
                    recorded.answers.extend(left);
                }
                recorded
            }
            (Some(Asked::Field(next)), None) => {
                last_part(&text, &reading, Some(next)).unwrap_or_else(|| whole(Asked::Part))
            }
            (open, _) => whole(open.unwrap_or(usual)),
        })
    }

    /// Takes the last answers out of a note: those of its last part, or its last section or line.
    pub(super) fn unfolded(text: &str) -> Option<Self> {
        let reading = read_note(text);
        let said = |line: &&str| !line.trim().is_empty() && !line.trim_start().starts_with('#');
        let last = text.lines().rev().find(said)?;
        let is_in_part = reading.note.entries.last().is_some_and(|entry| {
            let behind = text.lines().skip(entry.line);
            !behind.into_iter().any(|line| line.starts_with('['))
        });
        if is_in_part {
            return last_part(text, &reading, None);
        }
        let start = text.rfind(last)?;
        // Comments behind the line stay.
        let behind = text[start + last.len()..].trim_start_matches('\n');
        let rest = format!("{}{behind}", &text[..start]);
        let answer = if last.starts_with('[') {
            Answer::Section(last.trim_matches(['[', ']']).trim().to_owned())
        } else if last == VENTED.trim_end() {
            Answer::Vented
        } else {
            let at = HEADER
                .iter()
                .position(|(key, _)| last.split(' ').next() == Some(*key))?;
            let line = Some(format!("{last}\n"));
            Answer::Header { at, line }
        };
        let asked = match answer.asked() {
            Asked::Section if has_section(&rest) => Asked::Part,
            asked => asked,
        };
        let text = match answer {
            Answer::Section(_) => format!("{}\n", rest.trim_end_matches('\n')),
            _ => rest,
        };
        Some(Self {
            text,
            asked,
            answers: vec![answer],
        })
    }
}

fn has_section(text: &str) -> bool {
    text.lines().any(|line| line.starts_with('['))
}

fn asked(word: &str, is_header: bool) -> Option<Asked> {
    match word {
        "vented" => Some(Asked::Vented),
        "section" => Some(Asked::Section),
        _ if is_header => HEADER
            .iter()
            .position(|(key, _)| *key == word)
            .map(Asked::Header),
        _ => Question::from_word(word).map(Asked::Field),
    }
}

/// Lists what is asked of a part before a question; a question between two places is not counted.
fn asked_before(entry: &Entry, next: Question) -> impl Iterator<Item = Question> {
    let all = Question::of(entry).into_iter();
    all.take_while(move |q| *q != next)
        .filter(|q| *q != Question::OnePlace)
}

/// Takes the last part out of a text as the answers that it was made of; `next` is what was to be asked, `None` where the part is
/// complete: then its last answer is that behind which nothing was said.
fn last_part(text: &str, reading: &NoteReading, next: Option<Question>) -> Option<Recorded> {
    let entry = reading.note.entries.last()?;
    let span = part_span(text, reading, reading.note.entries.len())?;
    let whole = PartDraft::read(&text[span.range()]);
    let questions: Vec<Question> = if let Some(next) = next {
        asked_before(entry, next).collect()
    } else {
        let mut all = Question::of(entry);
        all.retain(|q| *q != Question::OnePlace);
        let said = all.iter().rposition(|q| !whole.said(*q).is_empty());
        all[..said.map_or(0, |at| at + 1)].to_vec()
    };
    let mut name = whole.clone();
    let is_answer = |q: Option<Question>| q.is_some_and(|q| questions.contains(&q));
    name.fields.retain(|field| !is_answer(field.question));
    let readings = whole.readings();
    if next == Some(Question::Readings) {
        name.fields.retain(|field| field.question != next);
    }
    let mut answers = vec![Answer::Part(name)];
    for question in questions {
        let said = whole.said(question);
        let mut fields = (!said.is_empty()).then_some(said);
        if question == Question::Readings && fields.is_some() {
            let condition = entry.condition.as_ref().map_or("", |c| c.value.word());
            let condition = condition.to_owned();
            answers.extend(readings.iter().cloned().map(Answer::Ring));
            fields = fields.map(|said| [vec![condition], said].concat());
        }
        answers.push(Answer::Field { question, fields });
    }
    if next == Some(Question::Readings) {
        answers.extend(readings.into_iter().map(Answer::Ring));
    }
    let mut rest = text.to_owned();
    rest.replace_range(span.range(), "");
    Some(Recorded {
        text: rest,
        asked: Asked::Part,
        answers,
    })
}
