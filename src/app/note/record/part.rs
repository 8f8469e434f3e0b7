//! A part while it is being recorded, and its place in the text of the note.

use super::question::Question;
use crate::app::ring::session_note::laid_out;
use crate::core::gland::GlandDimension;
use crate::core::measurement::Measurand;
use crate::core::note::{Entry, NoteReading, read_note};
use crate::core::quantity::Span;

/// A part whose questions are still open: its name and its fields, as they stand in the note.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct PartDraft {
    pub(super) name: String,
    pub(super) fields: Vec<Field>,
}

/// One field, and the question that it answers, where there is one.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Field {
    pub(super) question: Option<Question>,
    pub(super) words: String,
}

impl PartDraft {
    /// Reads a line, or the lines of a part; what stands behind a gland on its line belongs to it.
    pub(super) fn read(lines: &str) -> Self {
        let mut part = Self::default();
        for line in lines.lines() {
            let mut in_gland = false;
            for piece in pieces(line) {
                if part.name.is_empty() {
                    part.name = piece;
                    continue;
                }
                in_gland |= piece.starts_with("gland ");
                let question = if in_gland {
                    Some(gland_question(&piece))
                } else {
                    part.question(&piece)
                };
                let words = piece;
                part.fields.push(Field { question, words });
            }
        }
        part
    }

    /// Finds the question that a field answers: that which the part with it answers, and without it does not.
    fn question(&self, field: &str) -> Option<Question> {
        let key = field.split(' ').next().unwrap_or("");
        let without = entry_of(&self.name)?;
        let all = Question::of(&without);
        let is_ring = all.contains(&Question::Readings);
        if is_ring && (Measurand::from_word(key).is_some() || is_looks(field)) {
            return Some(Question::Readings);
        }
        let with = entry_of(&format!("{} ; {field}", self.name))?;
        let said = |q: &Question| q.is_said(&with) && !q.is_said(&without);
        all.into_iter().find(said)
    }

    /// Lists what was said to a question.
    pub(super) fn said(&self, question: Question) -> Vec<String> {
        let own = self.fields.iter().filter(|f| f.question == Some(question));
        own.map(|field| field.words.clone()).collect()
    }

    /// Lists the readings of a ring, without what was concluded from them.
    pub(super) fn readings(&self) -> Vec<String> {
        let mut said = self.said(Question::Readings);
        said.retain(|field| !is_looks(field));
        said
    }

    /// Puts what is said to a question in the place of what was said to it before.
    pub(super) fn answer(&mut self, question: Question, fields: &[String]) {
        if question == Question::Quantity
            && let Some(entry) = entry_of(&self.name)
        {
            // A count behind the name is one that was said.
            let count = self.name.strip_prefix(&entry.name).is_some();
            if count && !fields.is_empty() {
                self.name = entry.name;
            }
        }
        if question == Question::Gland {
            self.fields
                .retain(|f| !f.question.is_some_and(Question::is_of_gland));
        }
        let place = self
            .fields
            .iter()
            .position(|f| f.question == Some(question));
        self.fields.retain(|f| f.question != Some(question));
        let at = place.unwrap_or(self.fields.len()).min(self.fields.len());
        let new = fields.iter().map(|words| Field {
            question: Some(if question.is_of_gland() {
                gland_question(words)
            } else {
                question
            }),
            words: words.clone(),
        });
        drop(self.fields.splice(at..at, new));
    }

    /// Puts the readings of a ring to its part. A condition that was changed among the readings takes the place of the
    /// former; the words of one that was not ("flattened" for rough) stay.
    pub(super) fn answer_ring(&mut self, fields: &[String]) {
        let Some((condition, readings)) = fields.split_first() else {
            return;
        };
        let entry = entry_of(&self.text());
        let said = entry.and_then(|entry| entry.condition);
        if !condition.is_empty() && said.is_none_or(|said| said.value.word() != condition) {
            self.answer(Question::Condition, std::slice::from_ref(condition));
        }
        self.answer(Question::Readings, readings);
    }

    /// Writes the part as it stands in a note; a gland has a line of its own.
    pub(super) fn text(&self) -> String {
        let is_gland = |field: &&Field| field.question.is_some_and(Question::is_of_gland);
        let mut fields = vec![self.name.clone()];
        let others = self.fields.iter().filter(|f| !is_gland(f));
        fields.extend(others.map(|f| f.words.clone()));
        let mut lines = laid_out(&fields);
        let gland: Vec<&str> = self
            .fields
            .iter()
            .filter(is_gland)
            .map(|f| f.words.as_str())
            .collect();
        if !gland.is_empty() {
            lines.push(format!("  {}", gland.join(" ; ")));
        }
        lines.push(String::new());
        lines.join("\n")
    }
}

/// Finds the question that a piece of a gland's line answers.
fn gland_question(piece: &str) -> Question {
    let key = piece.split(' ').next().unwrap_or("");
    if let Some(dimension) = GlandDimension::from_word(key) {
        return Question::Groove(dimension);
    }
    match key {
        "pressure" => Question::Pressure,
        "static" | "moving" | "rotary" | "duty" => Question::Duty,
        _ => Question::Gland,
    }
}

/// Tells whether a field is what the dialogue concluded from the readings.
fn is_looks(field: &str) -> bool {
    field.starts_with("remark looks like ") || field.starts_with("remark no listed size is likely")
}

/// Reads a part by itself.
fn entry_of(part: &str) -> Option<Entry> {
    let note = format!("model M\nunit U\nlengths mm\n[s]\n{part}\n");
    read_note(&note).note.entries.into_iter().next()
}

/// Parts a line at its semicolons, but not at those with a backslash before them.
pub(super) fn pieces(line: &str) -> Vec<String> {
    let mut pieces = vec![String::new()];
    let mut chars = line.chars().peekable();
    while let Some(c) = chars.next() {
        if c == ';' {
            pieces.push(String::new());
            continue;
        }
        if let Some(piece) = pieces.last_mut() {
            piece.push(c);
            if c == '\\' {
                piece.extend(chars.next_if(|c| matches!(c, ';' | '#' | '\\')));
            }
        }
    }
    let trimmed = pieces.iter().map(|piece| piece.trim().to_owned());
    trimmed.filter(|piece| !piece.is_empty()).collect()
}

/// Finds the bytes of a part in a text, by its place in the order from 1. Comments and sections are none of it.
pub(super) fn part_span(text: &str, reading: &NoteReading, order: usize) -> Option<Span> {
    let entry = reading.note.entries.get(order.checked_sub(1)?)?;
    let at = entry.line.checked_sub(1)?;
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    let indent = |line: &str| line.len() - line.trim_start().len();
    let own = indent(lines.get(at)?);
    let is_more = |line: &&&str| {
        !line.trim().is_empty() && !line.trim().starts_with('#') && indent(line) > own
    };
    let more = lines[at + 1..].iter().take_while(is_more).count();
    let start = lines[..at].concat().len();
    Some(Span::new(
        start,
        start + lines[at..=at + more].concat().len(),
    ))
}

/// Tells what the next photo is called: the last number in the name of the last one, and one more.
pub(super) fn next_photo(last: &str) -> Option<String> {
    let end = last.rfind(|c: char| c.is_ascii_digit())? + 1;
    let digits = last[..end].bytes().rev().take_while(u8::is_ascii_digit);
    let start = end - digits.count();
    let number: u64 = last[start..end].parse().ok()?;
    let next = number.checked_add(1)?;
    let width = end - start;
    Some(format!("{}{next:0width$}{}", &last[..start], &last[end..]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use Question as Q;

    #[test]
    fn a_part_reads_back_as_it_was_written_and_knows_what_each_field_answers() {
        let lines = "o-ring ; at piston head ; flattened ; tool a\\; b ; colour black\n  od 16 mm ; remark looks like AS568-014, odds 90 %\n  gland piston ; bore 30 ; groove 25.4 ; static\n";
        let part = PartDraft::read(lines);
        assert_eq!(PartDraft::read(&part.text()), part);
        let questions: Vec<Option<Q>> = part.fields.iter().map(|f| f.question).collect();
        assert_eq!(
            questions,
            [
                Some(Q::Position),
                Some(Q::Condition),
                Some(Q::Tool),
                None,
                Some(Q::Readings),
                Some(Q::Readings),
                Some(Q::Gland),
                Some(Q::Groove(GlandDimension::Bore)),
                Some(Q::Groove(GlandDimension::Groove)),
                Some(Q::Duty),
            ]
        );
    }

    #[test]
    fn a_new_answer_takes_the_place_of_the_former() {
        let mut part = PartDraft::read("shim x2 ; side spring end ; keep\n");
        part.answer(Question::Side, &["side far end".to_owned()]);
        part.answer(Question::Quantity, &["x3".to_owned()]);
        assert_eq!(part.text(), "shim ; side far end ; keep ; x3\n");
    }

    #[test]
    fn the_next_photo_counts_on_and_keeps_its_noughts() {
        assert_eq!(next_photo("IMG_0099.jpg").as_deref(), Some("IMG_0100.jpg"));
        assert_eq!(next_photo("clip.jpg"), None);
    }
}
