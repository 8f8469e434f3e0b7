//! Takes the answers of a recording: checks each at once and shows it back as it was understood.

use super::answer::{Answer, Asked, fields_of};
use super::part::PartDraft;
use super::question::{Question, caution, written_out};
use super::state::{State, section, with_header};
use super::words::{fault, noticed, shown_back, sound, taken, understood};
use super::{HEADER, NoteRecord};
use crate::app::ring::session_said::Said;
use crate::core::note::{Diagnostic, Entry, PartKind, keyed, position_field, read_note};

/// Says why an answer was not taken.
type Taken = Result<(), String>;

impl NoteRecord {
    pub(super) fn answer(&mut self, words: &str, said: &mut Vec<Said>) {
        let taken = match self.state.asked {
            Asked::Header(at) => self.answer_header(at, words, said),
            Asked::Vented => {
                self.answer_vented(words, said);
                Ok(())
            }
            Asked::Section => self.answer_section(words, said),
            Asked::Part if words.is_empty() => Ok(()),
            Asked::Part if words.starts_with('[') => self.answer_section(words, said),
            Asked::Part => self.answer_part(words, said),
            Asked::Field(question) => self.answer_field(question, words, said),
        };
        if let Err(message) = taken {
            said.push(fault(words, &message));
        }
    }

    fn answer_header(&mut self, at: usize, words: &str, said: &mut Vec<Said>) -> Taken {
        let key = HEADER[at].0;
        let value = match words {
            "" => self.header_default(key),
            _ if is_skip(words) => None,
            _ => Some(words.to_owned()),
        };
        let Some(value) = value else {
            if at < 2 {
                return Err("this is needed: without it the note is of no unit".to_owned());
            }
            self.take(Answer::Header { at, line: None }, said);
            return Ok(());
        };
        let text = &self.state.text;
        let line = format!("{}\n", keyed(&format!("{key:7}"), &value));
        // The unit is asked for after the model, so it cannot be missed yet.
        let unit = if at == 0 { "unit 1\n" } else { "" };
        let reading = sound(&format!("{text}{line}{unit}"))?;
        said.push(taken(&format!("{key} {value}")));
        if at > 0 {
            let begin = text.len();
            let new = reading.diagnostics.iter();
            said.extend(new.filter(|d| d.span.start >= begin).map(noticed));
        }
        let line = Some(line);
        self.take(Answer::Header { at, line }, said);
        Ok(())
    }

    /// Writes a line of the header anew; nothing behind its key takes it out.
    pub(super) fn edit_header(&mut self, at: usize, words: &str, said: &mut Vec<Said>) -> Taken {
        let key = HEADER[at].0;
        let mut behind = words.splitn(3, ' ').skip(2);
        let value = behind.next().map(str::trim).filter(|value| !is_skip(value));
        let line = value.map(|value| format!("{}\n", keyed(&format!("{key:7}"), value)));
        if line.is_none() && at < 2 {
            return Err(format!("write what it is to be: edit {key} …"));
        }
        let text = with_header(&self.state.text, key, line.as_deref().unwrap_or(""));
        let reading = sound(&text)?;
        let begin = line.as_ref().and_then(|line| text.find(line.as_str()));
        let end = begin.zip(line.as_ref()).map(|(at, line)| at + line.len());
        let of_line = |d: &&Diagnostic| Some(d.span.start) >= begin && Some(d.span.start) < end;
        said.extend(reading.diagnostics.iter().filter(of_line).map(noticed));
        let now = value.unwrap_or("left out");
        said.push(taken(&format!("{key} {now}")));
        self.take(Answer::Header { at, line }, said);
        Ok(())
    }

    fn answer_vented(&mut self, words: &str, said: &mut Vec<Said>) {
        if matches!(words.to_lowercase().as_str(), "y" | "yes") {
            return self.take(Answer::Vented, said);
        }
        said.push(Said::Caution("loosen nothing yet: shut the supply, vent until no gas comes, take the unit off, and then write y.".to_owned()));
    }

    fn answer_section(&mut self, words: &str, said: &mut Vec<Said>) -> Taken {
        let name = words.trim_matches(['[', ']']).trim();
        let name = if name.is_empty() { "body" } else { name };
        sound(&format!("{}{}", self.state.text, section(name)))?;
        self.take(Answer::Section(name.to_owned()), said);
        Ok(())
    }

    fn answer_part(&mut self, words: &str, said: &mut Vec<Said>) -> Taken {
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
        let entry = tried.entry()?;
        if entry.kind == PartKind::Other && !entry.kind_stated {
            return Err(format!(
                "{:?} names no kind of part that is known: name it as o-ring, nut or lever; or write \"{words} ; kind other\" (to change part 3: edit 3)",
                entry.name
            ));
        }
        said.push(taken(&understood(&entry)));
        if let Some(caution) = caution(entry.kind) {
            said.push(Said::Caution(format!("{}: {caution}", entry.name)));
        }
        self.take(answer, said);
        Ok(())
    }

    fn answer_field(&mut self, asked: Question, words: &str, said: &mut Vec<Said>) -> Taken {
        let (question, fields) = self.field_answer(asked, words, &self.state.entry()?)?;
        let mut next = self.state.clone();
        if let Some(fields) = &fields {
            next.answer_field(question, fields);
        }
        let entry = next.entry()?;
        if let Some(fields) = fields.as_ref().filter(|fields| !fields.is_empty()) {
            said.push(taken(&shown_back(asked, fields, &entry)));
        }
        self.take(Answer::Field { question, fields }, said);
        Ok(())
    }

    /// Turns words into fields of a part, and names the question that they answer; no fields leave what was said before.
    fn field_answer(
        &self,
        question: Question,
        words: &str,
        entry: &Entry,
    ) -> Result<(Question, Option<Vec<String>>), String> {
        let edited = self.state.open.as_ref().is_some_and(|o| o.edited.is_some());
        let words = match words {
            "" if edited => "",
            "" => question.default(entry.kind).unwrap_or(""),
            _ => words,
        };
        if question == Question::OnePlace {
            let near = self.state.near(entry, self.units());
            let joins = matches!(words.to_lowercase().as_str(), "y" | "yes");
            return Ok(match near.filter(|_| joins) {
                Some(near) => (
                    Question::Position,
                    Some(vec![position_field(near.position)]),
                ),
                None => (question, None),
            });
        }
        let fields = match words {
            "" => None,
            _ if is_skip(words) => Some(Vec::new()),
            _ => {
                let note = read_note(&self.state.text).note;
                Some(fields_of(question, words, entry, &note)?)
            }
        };
        Ok((question, fields))
    }
}

/// Tells whether words leave an answer out; the same words do in every dialogue.
fn is_skip(words: &str) -> bool {
    matches!(words.to_lowercase().as_str(), "-" | "skip")
}
