//! Takes the answers of a recording: checks each at once and shows it back as it was understood.

use super::answer::{Answer, Asked, fields_of};
use super::part::PartDraft;
use super::question::{Question, caution, written_out};
use super::state::{State, section, with_header};
use super::words::{fault, first_error, noticed, shown_back, taken, told, understood};
use super::{HEADER, NoteRecord};
use crate::app::ring::session_said::Said;
use crate::core::note::{Diagnostic, Entry, PartKind, keyed, position_field, read_note};

impl NoteRecord {
    pub(super) fn answer(&mut self, words: &str, said: &mut Vec<Said>) {
        match self.state.asked {
            Asked::Header(at) => self.answer_header(at, words, said),
            Asked::Vented => self.answer_vented(words, said),
            Asked::Section => self.answer_section(words, said),
            Asked::Part if words.is_empty() => {}
            Asked::Part if words.starts_with('[') => self.answer_section(words, said),
            Asked::Part => self.answer_part(words, said),
            Asked::Field(question) => self.answer_field(question, words, said),
        }
    }

    fn answer_header(&mut self, at: usize, words: &str, said: &mut Vec<Said>) {
        let key = HEADER[at].0;
        let value = match words {
            "" => self.header_default(key),
            _ if is_skip(words) => None,
            _ => Some(words.to_owned()),
        };
        let Some(value) = value else {
            if at < 2 {
                let needed = "this is needed: without it the note is of no unit";
                return said.push(fault(words, needed));
            }
            return self.take(Answer::Header { at, line: None }, said);
        };
        let text = &self.state.text;
        let line = format!("{}\n", keyed(&format!("{key:7}"), &value));
        // The unit is asked for after the model, so it cannot be missed yet.
        let unit = if at == 0 { "unit 1\n" } else { "" };
        let reading = read_note(&format!("{text}{line}{unit}"));
        if let Some(error) = first_error(&reading) {
            return said.push(fault(words, &told(error)));
        }
        said.push(taken(&format!("{key} {value}")));
        if at > 0 {
            let begin = text.len();
            let new = reading.diagnostics.iter();
            said.extend(new.filter(|d| d.span.start >= begin).map(noticed));
        }
        let line = Some(line);
        self.take(Answer::Header { at, line }, said);
    }

    /// Writes a line of the header anew; nothing behind its key takes it out.
    pub(super) fn edit_header(&mut self, at: usize, words: &str, said: &mut Vec<Said>) {
        let key = HEADER[at].0;
        let mut behind = words.splitn(3, ' ').skip(2);
        let value = behind.next().map(str::trim).filter(|value| !is_skip(value));
        let line = value.map(|value| format!("{}\n", keyed(&format!("{key:7}"), value)));
        if line.is_none() && at < 2 {
            let needed = format!("write what it is to be: edit {key} …");
            return said.push(fault(words, &needed));
        }
        let text = with_header(&self.state.text, key, line.as_deref().unwrap_or(""));
        let reading = read_note(&text);
        if let Some(error) = first_error(&reading) {
            return said.push(fault(words, &told(error)));
        }
        let begin = line.as_ref().and_then(|line| text.find(line.as_str()));
        let end = begin.zip(line.as_ref()).map(|(at, line)| at + line.len());
        let of_line = |d: &&Diagnostic| Some(d.span.start) >= begin && Some(d.span.start) < end;
        said.extend(reading.diagnostics.iter().filter(of_line).map(noticed));
        let now = value.unwrap_or("left out");
        said.push(taken(&format!("{key} {now}")));
        self.take(Answer::Header { at, line }, said);
    }

    fn answer_vented(&mut self, words: &str, said: &mut Vec<Said>) {
        if matches!(words.to_lowercase().as_str(), "y" | "yes") {
            return self.take(Answer::Vented, said);
        }
        said.push(Said::Caution("loosen nothing yet: shut the supply, vent until no gas comes, take the unit off, and then write y.".to_owned()));
    }

    fn answer_section(&mut self, words: &str, said: &mut Vec<Said>) {
        let name = words.trim_matches(['[', ']']).trim();
        let name = if name.is_empty() { "body" } else { name };
        let text = format!("{}{}", self.state.text, section(name));
        if let Some(error) = first_error(&read_note(&text)) {
            return said.push(fault(words, &told(error)));
        }
        self.take(Answer::Section(name.to_owned()), said);
    }

    fn answer_part(&mut self, words: &str, said: &mut Vec<Said>) {
        let line = written_out(words);
        let line = if line.starts_with('#') {
            format!("\\{line}")
        } else {
            line
        };
        let part = PartDraft::read(&line);
        let answer = Answer::Part(part);
        let tried = State::of(
            &self.state.text,
            Asked::Part,
            std::slice::from_ref(&answer),
            &[],
        );
        let entry = match tried.entry() {
            Err(message) => return said.push(fault(words, &message)),
            Ok(entry) => entry,
        };
        if entry.kind == PartKind::Other && !entry.kind_stated {
            let message = format!(
                "{:?} names no kind of part that is known: name it as o-ring, nut or lever; or write \"{words} ; kind other\" (to change part 3: edit 3)",
                entry.name
            );
            return said.push(fault(words, &message));
        }
        said.push(taken(&understood(&entry)));
        if let Some(caution) = caution(entry.kind) {
            said.push(Said::Caution(format!("{}: {caution}", entry.name)));
        }
        self.take(answer, said);
    }

    fn answer_field(&mut self, question: Question, words: &str, said: &mut Vec<Said>) {
        let entry = match self.state.entry() {
            Ok(entry) => entry,
            Err(message) => return said.push(fault(words, &message)),
        };
        let answer = match self.field_answer(question, words, &entry) {
            Ok(answer) => answer,
            Err(message) => return said.push(fault(words, &message)),
        };
        let mut next = self.state.clone();
        if let Answer::Field {
            question,
            fields: Some(fields),
        } = &answer
        {
            next.answer_field(*question, fields);
        }
        let entry = match next.entry() {
            Ok(entry) => entry,
            Err(message) => return said.push(fault(words, &message)),
        };
        if let Answer::Field {
            fields: Some(fields),
            ..
        } = &answer
            && !fields.is_empty()
        {
            said.push(taken(&shown_back(question, fields, &entry)));
        }
        self.take(answer, said);
    }

    /// Turns words into the answer to a question about a part.
    fn field_answer(
        &self,
        question: Question,
        words: &str,
        entry: &Entry,
    ) -> Result<Answer, String> {
        let edited = self.state.open.as_ref().is_some_and(|o| o.edited.is_some());
        let words = match words {
            "" if edited => "",
            "" => question.default(entry.kind).unwrap_or(""),
            _ => words,
        };
        let left = |fields| Answer::Field { question, fields };
        if question == Question::OnePlace {
            let near = self.state.near(entry, self.units());
            let joins = matches!(words.to_lowercase().as_str(), "y" | "yes");
            return Ok(match near.filter(|_| joins) {
                Some(near) => Answer::Field {
                    question: Question::Position,
                    fields: Some(vec![position_field(near.position)]),
                },
                None => left(None),
            });
        }
        if words.is_empty() {
            return Ok(left(None));
        }
        if is_skip(words) {
            return Ok(left(Some(Vec::new())));
        }
        let note = read_note(&self.state.text).note;
        fields_of(question, words, entry, &note).map(|fields| left(Some(fields)))
    }
}

/// Tells whether words leave an answer out; the same words do in every dialogue.
fn is_skip(words: &str) -> bool {
    matches!(words.to_lowercase().as_str(), "-" | "skip")
}
