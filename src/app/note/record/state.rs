//! The state of a recording, worked out from its answers.

use super::answer::{Answer, Asked};
use super::part::{PartDraft, part_span};
use super::question::Question;
use super::words::sound;
use super::{HEADER, MARK};
use crate::core::book::{NearPlace, UnitRecord, near_place};
use crate::core::gas::{GasService, OxygenThreshold};
use crate::core::note::{Entry, escaped, read_note};

/// What the note says once the unit is vented.
pub(super) const VENTED: &str = "remark  supply off and vented before it was opened\n";

/// What the answers come to: the note, the part that is open in it, and what is asked next.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct State {
    /// The note without the part that is open.
    pub(super) text: String,
    pub(super) open: Option<OpenPart>,
    pub(super) asked: Asked,
    /// What was said of the ring that is being named, line by line.
    pub(super) lines: Vec<String>,
    /// The part that was completed last, by its number.
    pub(super) saved: Option<usize>,
}

/// A part that is being asked for.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct OpenPart {
    pub(super) part: PartDraft,
    /// The byte of the note where it belongs.
    at: usize,
    /// Its number, where it is asked for anew.
    pub(super) edited: Option<usize>,
}

impl State {
    /// Works the state out: a note, what was asked in it next, and the answers from there.
    pub(super) fn of(text: &str, asked: Asked, answers: &[Answer], units: &[UnitRecord]) -> Self {
        let mut state = Self {
            text: text.to_owned(),
            open: None,
            asked,
            lines: Vec::new(),
            saved: None,
        };
        for answer in answers {
            state.apply(answer, units);
        }
        state
    }

    /// Takes one answer in.
    pub(super) fn apply(&mut self, answer: &Answer, units: &[UnitRecord]) {
        // Of a part that was taken out of a note, that it was complete is no answer.
        if self.open.is_some() && matches!(answer.asked(), Asked::Part | Asked::Section) {
            self.finish();
        }
        match answer {
            Answer::Header { at, line } => {
                let line = line.as_deref().unwrap_or("");
                if self.asked == Asked::Header(*at) {
                    self.text.push_str(line);
                    self.asked = self.after_header(*at);
                } else {
                    self.text = with_header(&self.text, HEADER[*at].0, line);
                }
            }
            Answer::Vented => {
                self.text.push_str(VENTED);
                self.asked = Asked::Section;
            }
            Answer::Section(name) => {
                self.text.push_str(&section(name));
                self.asked = Asked::Part;
            }
            Answer::Part(part) => {
                self.open = Some(OpenPart {
                    part: part.clone(),
                    at: self.text.len(),
                    edited: None,
                });
                self.go_on(None, units);
            }
            Answer::Edit(order) => self.edit(*order, units),
            Answer::Ring(line) => self.lines.push(line.clone()),
            Answer::End => {}
            Answer::Field { question, fields } => {
                if let Some(fields) = fields {
                    self.answer_field(*question, fields);
                    if self.asks_again(*question, fields) {
                        return;
                    }
                }
                self.go_on(Some(*question), units);
            }
        }
    }

    /// Puts what was said to a question into the open part.
    pub(super) fn answer_field(&mut self, question: Question, fields: &[String]) {
        match &mut self.open {
            Some(open) if question == Question::Readings => open.part.answer_ring(fields),
            Some(open) => open.part.answer(question, fields),
            None => {}
        }
    }

    /// Where one dimension of a groove was asked for and another one was said, the first is still to be said.
    fn asks_again(&self, question: Question, fields: &[String]) -> bool {
        let said = |open: &OpenPart| !open.part.said(question).is_empty();
        let is_said = fields.is_empty() || self.open.as_ref().is_none_or(said);
        matches!(question, Question::Groove(_)) && !is_said
    }

    fn after_header(&self, at: usize) -> Asked {
        let header = read_note(&self.text).note.header;
        let gas = header.gas_statement().judge(&OxygenThreshold::default());
        let is_air = header.gas.is_none() || gas == GasService::Air;
        let next = at
            + if HEADER[at].0 == "gas" && is_air {
                2
            } else {
                1
            };
        if next < HEADER.len() {
            Asked::Header(next)
        } else {
            Asked::Vented
        }
    }

    fn edit(&mut self, order: usize, units: &[UnitRecord]) {
        let Some(span) = part_span(&self.text, &read_note(&self.text), order) else {
            return;
        };
        let part = PartDraft::read(&self.text[span.range()]);
        self.text.replace_range(span.range(), "");
        self.open = Some(OpenPart {
            part,
            at: span.start,
            edited: Some(order),
        });
        self.go_on(None, units);
    }

    /// Goes to the first open question behind `after`, or completes the part.
    fn go_on(&mut self, after: Option<Question>, units: &[UnitRecord]) {
        let (Ok(entry), Some(open)) = (self.entry(), &self.open) else {
            return;
        };
        let all = Question::of(&entry);
        let from = after.and_then(|q| all.iter().position(|a| *a == q));
        let from = from.map_or(0, |at| at + 1);
        let is_edited = open.edited.is_some();
        let is_open = |q: &&Question| match q {
            Question::OnePlace => self.near(&entry, units).is_some(),
            _ => q.is_open(&entry, is_edited),
        };
        match all.iter().skip(from).find(is_open) {
            Some(question) => {
                self.asked = Asked::Field(*question);
                self.lines = match question {
                    Question::Readings => open.part.readings(),
                    _ => Vec::new(),
                };
            }
            None => self.finish(),
        }
    }

    fn finish(&mut self) {
        self.saved = self.open.as_ref().map(|open| {
            open.edited
                .unwrap_or_else(|| read_note(&self.text).note.entries.len() + 1)
        });
        self.text = self.whole();
        self.open = None;
        self.lines.clear();
        self.asked = Asked::Part;
    }

    /// Writes the note with the open part in its place.
    pub(super) fn whole(&self) -> String {
        let mut text = self.text.clone();
        if let Some(open) = &self.open {
            text.insert_str(open.at, &open.part.text());
        }
        text
    }

    /// Reads the open part as the note understands it.
    ///
    /// # Errors
    /// Says what is wrong in it.
    pub(super) fn entry(&self) -> Result<Entry, String> {
        const NO_PART: &str = "this names no part: begin with its name, as o-ring, filter or nut";
        let open = self.open.as_ref().ok_or(NO_PART)?;
        let before = read_note(&self.text).note.entries.len();
        let reading = sound(&self.whole())?;
        let at = open.edited.map_or(before, |order| order - 1);
        let mut entries = reading.note.entries;
        if entries.len() != before + 1 {
            return Err(NO_PART.to_owned());
        }
        Ok(entries.swap_remove(at))
    }

    /// Finds a place of another unit that may be this one.
    pub(super) fn near<'u>(&self, entry: &Entry, units: &'u [UnitRecord]) -> Option<NearPlace<'u>> {
        near_place(units, entry, &read_note(&self.text).note.entries)
    }

    /// Says in the note what is asked next, so that the recording goes on there.
    pub(super) fn mark(&self) -> Option<String> {
        let next = match self.asked {
            Asked::Header(at) => HEADER[at].0,
            Asked::Vented => "vented",
            Asked::Section => "section",
            Asked::Field(question) => question.word(),
            Asked::Part => return None,
        };
        let edited = self.open.as_ref().and_then(|open| open.edited);
        let of = edited.map_or_else(String::new, |order| format!(" of part {order}"));
        Some(format!("{MARK}{next}{of}\n"))
    }
}

/// Writes a line of the header in the place of the one that a key has, or behind the unit's where it has none.
pub(super) fn with_header(text: &str, key: &str, line: &str) -> String {
    let head = text.find("\n[").map_or(text.len(), |at| at + 1);
    let begins = |known: &str| {
        let lines = text[..head].split_inclusive('\n').scan(0, |at, line| {
            let start = *at;
            *at += line.len();
            Some((start, line))
        });
        let mut lines = lines;
        lines.find(|(_, line)| line.split_whitespace().next() == Some(known))
    };
    let range = match (begins(key), begins("unit")) {
        (Some((start, old)), _) => start..start + old.len(),
        (None, Some((start, unit))) => start + unit.len()..start + unit.len(),
        (None, None) => head..head,
    };
    let mut text = text.to_owned();
    text.replace_range(range, line);
    text
}

/// Writes the head of a section.
pub(super) fn section(name: &str) -> String {
    format!("\n[{}]\n", escaped(name))
}
