//! What a recording asks, and what it shows of the note.

use super::answer::Asked;
use super::part::part_span;
use super::question::Question;
use super::words::{lines_of, noticed, parts_in_words, understood};
use super::{HEADER, NoteRecord};
use crate::app::ring::session_said::Said;
use crate::core::gear::GearKind;
use crate::core::note::{Diagnostic, read_note};
use crate::core::stage::{Step, cautions};

impl NoteRecord {
    /// Says what the dialogue is for, or where it goes on, and asks.
    pub fn greet(&mut self) -> Vec<Said> {
        let mut said = vec![Said::Text("Recording a teardown, part by part; every answer is saved at once. Enter takes what stands in brackets, \"undo\" takes back, \"done\" ends, \"help\" says more.".to_owned())];
        said.extend(
            cautions(Step::Strip)
                .iter()
                .map(|caution| Said::Caution(caution.words().to_owned())),
        );
        let text = self.state.whole();
        if !text.is_empty() {
            let reading = read_note(&text);
            let header = &reading.note.header;
            let parts = reading.note.entries.len();
            said.push(Said::Text(format!(
                "Going on with {} {}: {} so far.",
                header.model,
                header.unit,
                parts_in_words(parts)
            )));
            let last = part_span(&text, &reading, parts);
            said.extend(last.map(|span| lines_of(&text[span.range()])));
        }
        self.ask(&mut said);
        said
    }

    pub(super) fn ask(&mut self, said: &mut Vec<Said>) {
        let prompt = match self.state.asked {
            Asked::Header(at) => {
                let (key, prompt) = HEADER[at];
                let default = self.header_default(key);
                let default = default.as_deref().unwrap_or("leave out");
                if key == "gear" {
                    format!("{prompt} ({}) [{default}]", GearKind::listed())
                } else if at < 2 {
                    prompt.to_owned()
                } else {
                    format!("{prompt} [{default}]")
                }
            }
            Asked::Vented => {
                "Is the supply off, the unit vented and disconnected? Write y.".to_owned()
            }
            Asked::Section => {
                "Which section do you begin with? (inlet, high pressure, piston …) [body]"
                    .to_owned()
            }
            Asked::Part => {
                "What comes off next? Name it before you loosen it (done, undo, edit 3, list, help)."
                    .to_owned()
            }
            Asked::Field(question) => return self.ask_field(question, said),
        };
        said.push(Said::Text(prompt));
    }

    fn ask_field(&mut self, question: Question, said: &mut Vec<Said>) {
        let (Ok(entry), Some(open)) = (self.state.entry(), &self.state.open) else {
            return;
        };
        if question == Question::Readings {
            return self.ask_ring(&entry, said);
        }
        let before = open.edited.map(|_| open.part.said(question).join(" ; "));
        let usual = question.default(entry.kind);
        let default = match before {
            Some(before) if !before.is_empty() => before,
            // A count may stand behind the name.
            Some(_) if question == Question::Quantity => entry.quantity.to_string(),
            Some(_) => "leave out".to_owned(),
            None => usual.unwrap_or("leave out").to_owned(),
        };
        match (question, &entry.gland) {
            (Question::OnePlace, _) => {
                said.extend(self.state.near(&entry, self.units()).map(|near| {
                    Said::Text(format!(
                        "Unit {} has its {} {}.",
                        near.serial, entry.kind, near.position
                    ))
                }));
            }
            (Question::Groove(dimension), Some(gland)) => {
                said.push(Said::Groove(gland.kind, dimension));
            }
            _ => {}
        }
        said.push(Said::Text(question.prompt(&entry, &default)));
    }

    /// Shows the part that was completed last, and what deserves a second look in it.
    pub(super) fn say_saved(&self, said: &mut Vec<Said>) {
        let text = &self.state.text;
        let reading = read_note(text);
        let Some(order) = self.state.saved else {
            return;
        };
        let Some(span) = part_span(text, &reading, order) else {
            return;
        };
        said.push(Said::Text(format!("Saved, part {order}:")));
        said.push(lines_of(&text[span.range()]));
        let own = |d: &&Diagnostic| span.range().contains(&d.span.start);
        said.extend(reading.diagnostics.iter().filter(own).map(noticed));
        if let Some(odds) = reading
            .note
            .entries
            .get(order - 1)
            .and_then(|entry| self.named_in_model(&reading.note, entry))
        {
            said.push(Said::Text(
                "With its groove and the other rings of the model, against its readings alone:"
                    .to_owned(),
            ));
            said.push(odds);
        }
    }

    /// Lists the parts with their numbers.
    pub(super) fn listed(&self) -> Said {
        let entries = read_note(&self.state.whole()).note.entries;
        if entries.is_empty() {
            return Said::Text("No part is recorded yet.".to_owned());
        }
        let lines = entries.iter().enumerate();
        Said::Lines(
            lines
                .map(|(at, entry)| format!("{:3} {}", at + 1, understood(entry)))
                .collect(),
        )
    }

    pub(super) fn header_default(&self, key: &str) -> Option<String> {
        match key {
            "date" => self.with.today.map(|day| day.to_string()),
            "lengths" => Some("mm".to_owned()),
            "gas" => Some("air".to_owned()),
            _ => None,
        }
    }
}
