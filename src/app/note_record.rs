//! Records a teardown in a dialogue: one line in, what to say out, and the text of the note after each line.
//!
//! The record neither reads nor writes: [`NoteRecord::hear`] takes a line, and [`NoteRecord::text`] is what is to be saved
//! after it. The text is a teardown note at every moment. While a part or the header is unfinished, a comment at its end
//! says what is asked next, so that the dialogue goes on there.

use super::identify::RingNamer;
use super::note_record_part::{PartDraft, without_last};
use super::note_record_question::{Question, caution, help, written_out};
use super::note_record_resume::resumed;
use super::ring_session::RingSession;
use super::session_said::Said;
use crate::core::gas::{GasService, OxygenThreshold};
use crate::core::gear::GearKind;
use crate::core::note::{Diagnostic, Entry, NoteReading, Severity, escaped, keyed, read_note};
use crate::core::quantity::{Date, Span};
use crate::core::stage::{Step, cautions};

pub(super) const MARK: &str = "# not finished, next: ";
/// A line longer than this is no answer.
const LONGEST: usize = 1000;
/// What is asked of the unit as a whole.
pub(super) const HEADER: [(&str, &str); 12] = [
    ("model", "Maker and model?"),
    (
        "unit",
        "Serial number, or any name that tells it from its siblings?",
    ),
    ("date", "Day of the teardown?"),
    ("lengths", "What does a bare number mean, mm or in?"),
    ("gear", "What kind of gear is it?"),
    ("gas", "Which gas is it used with?"),
    ("oxygen", "Share of oxygen in it? (as 32 %)"),
    ("supply", "Greatest supply pressure? (as 200 bar)"),
    ("rated", "Pressure rating marked on it? (as 232 bar)"),
    ("by", "Who takes it apart?"),
    (
        "found",
        "Seen or measured before it is opened: leaks, pressures? (lost once it is open)",
    ),
    ("photo", "Name of the photo of the whole unit?"),
];

/// Holds one teardown while it is recorded.
#[derive(Debug)]
pub struct NoteRecord {
    pub(super) namer: RingNamer,
    today: Option<Date>,
    pub(super) state: State,
    /// States before each answer of the part, or of the header, for "undo".
    pub(super) history: Vec<State>,
    pub(super) ring: Option<RingSession>,
    pub(super) last_tool: Option<String>,
    over: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct State {
    /// The note without the part that is unfinished.
    pub(super) text: String,
    pub(super) part: Option<PartDraft>,
    pub(super) asked: Asked,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Asked {
    Header(usize),
    Vented,
    Section,
    Part,
    Field(Question),
}

impl NoteRecord {
    /// Begins a note, or goes on with one that was begun.
    ///
    /// # Errors
    /// Fails with what is wrong in a text that is no sound note.
    pub fn new(text: &str, namer: RingNamer, today: Option<Date>) -> Result<Self, Vec<Diagnostic>> {
        let state = resumed(text)?;
        Ok(Self {
            namer,
            today,
            state,
            history: Vec::new(),
            ring: None,
            last_tool: None,
            over: false,
        })
    }

    /// Says what the dialogue is for, or where it goes on, and asks.
    pub fn greet(&mut self) -> Vec<Said> {
        let mut said = vec![Said::Text("Recording a teardown, part by part; every answer is saved at once. Enter takes what stands in brackets, \"undo\" takes back, \"done\" ends, \"help\" says more.".to_owned())];
        said.extend(
            cautions(Step::Strip)
                .iter()
                .map(|words| Said::Caution((*words).to_owned())),
        );
        let reading = read_note(&self.text());
        if !self.state.text.is_empty() {
            let header = &reading.note.header;
            said.push(Said::Text(format!(
                "Going on with {} {}: {} so far.",
                header.model,
                header.unit,
                counted(reading.note.entries.len())
            )));
            if let Some((_, lines)) = without_last(&self.text(), &reading) {
                said.push(lines_of(&lines));
            }
        }
        self.ask(&mut said);
        said
    }

    /// Returns the text of the note, to be saved after every line.
    pub fn text(&self) -> String {
        let mut text = self.state.text.clone();
        if let Some(part) = self.part_so_far() {
            text.push_str(&part.text());
        }
        let next = match self.state.asked {
            _ if text.is_empty() => return text,
            Asked::Header(at) => HEADER[at].0,
            Asked::Vented => "vented",
            Asked::Section => "section",
            Asked::Field(question) => question.word(),
            Asked::Part => return text,
        };
        format!("{text}{MARK}{next}\n")
    }

    /// Tells whether the dialogue has ended.
    pub fn is_over(&self) -> bool {
        self.over
    }

    /// Counts the parts so far.
    pub fn parts(&self) -> usize {
        read_note(&self.text()).note.entries.len()
    }

    /// Takes one line and answers it.
    pub fn hear(&mut self, line: &str) -> Vec<Said> {
        let mut said = Vec::new();
        let words = line.trim();
        if line.len() > LONGEST || words.chars().any(char::is_control) {
            said.push(fault(
                line,
                "this line is too long, or holds signs that cannot be seen: type it again",
            ));
            self.ask(&mut said);
            return said;
        }
        let lower = words.to_lowercase();
        match lower.as_str() {
            "quit" => {
                self.over = true;
                return said;
            }
            "undo" if self.ring.as_ref().is_none_or(|ring| !ring.can_undo()) => {
                self.undo(&mut said);
            }
            _ if self.ring.is_some() => return self.hear_ring(words),
            "help" | "?" => said.push(Said::Lines(help())),
            "done" => self.done(&mut said),
            _ => self.answer(words, &mut said),
        }
        if !self.over {
            self.ask(&mut said);
        }
        said
    }

    fn answer(&mut self, words: &str, said: &mut Vec<Said>) {
        match self.state.asked {
            Asked::Header(at) => self.answer_header(at, words, said),
            Asked::Vented => self.answer_vented(words, said),
            Asked::Section => {
                let name = if words.is_empty() { "body" } else { words };
                self.section(name, said);
            }
            Asked::Part => self.answer_part(words, said),
            Asked::Field(question) => self.answer_field(question, words, said),
        }
    }

    fn done(&mut self, said: &mut Vec<Said>) {
        match self.state.asked {
            Asked::Field(_) => self.finish_part(said),
            _ => self.over = true,
        }
    }

    fn header_default(&self, key: &str) -> Option<String> {
        match key {
            "date" => self.today.map(|day| day.to_string()),
            "lengths" => Some("mm".to_owned()),
            "gas" => Some("air".to_owned()),
            _ => None,
        }
    }

    fn answer_header(&mut self, at: usize, words: &str, said: &mut Vec<Said>) {
        let key = HEADER[at].0;
        let value = match words {
            "" => self.header_default(key),
            "-" => None,
            _ => Some(words.to_owned()),
        };
        let mut next = self.state.clone();
        if let Some(value) = value {
            let line = format!("{}\n", keyed(&format!("{key:7}"), &value));
            // The unit is asked for after the model, so it cannot be missed yet.
            let unit = if at == 0 { "unit 1\n" } else { "" };
            let reading = read_note(&format!("{}{line}{unit}", next.text));
            if let Some(error) = first_error(&reading) {
                return said.push(fault(words, &told(error)));
            }
            let begin = next.text.len();
            let new = reading.diagnostics.iter().filter(|d| d.span.start >= begin);
            if at > 0 {
                said.extend(new.map(noticed));
            }
            next.text.push_str(&line);
        } else if at < 2 {
            return said.push(fault(
                words,
                "this is needed: without it the note is of no unit",
            ));
        }
        let header = read_note(&next.text).note.header;
        let gas = header.gas_statement().judge(&OxygenThreshold::default());
        let is_air = header.gas.is_none() || gas == GasService::Air;
        let step = if HEADER[at].0 == "gas" && is_air {
            2
        } else {
            1
        };
        next.asked = if at + step < HEADER.len() {
            Asked::Header(at + step)
        } else {
            Asked::Vented
        };
        self.change(next);
    }

    fn answer_vented(&mut self, words: &str, said: &mut Vec<Said>) {
        if !matches!(words.to_lowercase().as_str(), "y" | "yes") {
            return said.push(Said::Caution("loosen nothing yet: shut the supply, vent until no gas comes, take the unit off, and then write y.".to_owned()));
        }
        let mut next = self.state.clone();
        next.text
            .push_str("remark  supply off and vented before it was opened\n");
        next.asked = Asked::Section;
        self.change(next);
    }

    fn section(&mut self, name: &str, said: &mut Vec<Said>) {
        let name = name.trim_start_matches('[').trim_end_matches(']').trim();
        let text = format!("{}\n[{}]\n", self.state.text, escaped(name));
        if let Some(error) = first_error(&read_note(&text)) {
            return said.push(fault(name, &told(error)));
        }
        self.state.text = text;
        self.state.asked = Asked::Part;
        self.history.clear();
    }

    fn answer_part(&mut self, words: &str, said: &mut Vec<Said>) {
        if words.is_empty() {
            return;
        }
        if words.starts_with('[') {
            return self.section(words, said);
        }
        if words.eq_ignore_ascii_case("list") {
            let lines = self.state.text.lines().map(str::to_owned).collect();
            return said.push(Said::Lines(lines));
        }
        let line = written_out(words);
        let line = if line.starts_with('#') {
            format!("\\{line}")
        } else {
            line
        };
        let part = PartDraft::read(&line);
        match self.trial(&part) {
            Err(message) => said.push(fault(words, &message)),
            Ok(entry) => {
                if let Some(caution) = caution(entry.kind) {
                    said.push(Said::Caution(format!("{}: {caution}", entry.name)));
                }
                self.history.clear();
                self.state.part = Some(part);
                self.go_on(&entry, None, said);
            }
        }
    }

    /// Reads the note with the part; returns the part as it is understood.
    pub(super) fn trial(&self, part: &PartDraft) -> Result<Entry, String> {
        let before = read_note(&self.state.text).note.entries.len();
        let reading = read_note(&format!("{}{}", self.state.text, part.text()));
        if let Some(error) = first_error(&reading) {
            return Err(told(error));
        }
        let mut entries = reading.note.entries;
        match entries.pop() {
            Some(entry) if entries.len() == before => Ok(entry),
            _ => {
                Err("this names no part: begin with its name, as o-ring, filter or nut".to_owned())
            }
        }
    }

    /// Goes to the first open question behind `after`, or finishes the part.
    pub(super) fn go_on(&mut self, entry: &Entry, after: Option<Question>, said: &mut Vec<Said>) {
        let all = Question::of(entry.kind);
        let from = after.and_then(|q| all.iter().position(|a| *a == q));
        let open = all[from.map_or(0, |at| at + 1)..]
            .iter()
            .find(|q| !q.is_answered(entry));
        if let Some(question) = open {
            self.state.asked = Asked::Field(*question);
        } else {
            self.finish_part(said);
        }
    }

    fn answer_field(&mut self, question: Question, words: &str, said: &mut Vec<Said>) {
        let Some(part) = self.state.part.clone() else {
            return;
        };
        let mut next = part.clone();
        let entry = match self.trial(&part) {
            Ok(entry) => entry,
            Err(message) => return said.push(fault(words, &message)),
        };
        match self.fields_of(question, words, &entry) {
            Ok(fields) => next.fields.extend(fields),
            Err(message) => return said.push(fault(words, &message)),
        }
        match self.trial(&next) {
            Err(message) => said.push(fault(words, &message)),
            Ok(entry) => {
                if question == Question::Tool && entry.tool.is_some() {
                    self.last_tool.clone_from(&entry.tool);
                }
                self.history.push(self.state.clone());
                self.state.part = Some(next);
                self.go_on(&entry, Some(question), said);
            }
        }
    }

    fn finish_part(&mut self, said: &mut Vec<Said>) {
        let Some(part) = self.state.part.take() else {
            return;
        };
        let begin = self.state.text.len();
        let lines = part.text();
        self.state.text.push_str(&lines);
        self.state.asked = Asked::Part;
        self.history.clear();
        let reading = read_note(&self.state.text);
        said.push(Said::Text(format!(
            "Saved, part {}:",
            reading.note.entries.len()
        )));
        said.push(lines_of(&lines));
        let new = reading.diagnostics.iter().filter(|d| d.span.start >= begin);
        said.extend(new.map(noticed));
    }

    fn undo(&mut self, said: &mut Vec<Said>) {
        self.ring = None;
        if let Some(former) = self.history.pop() {
            self.state = former;
            return said.push(Said::Text("Taken back.".to_owned()));
        }
        if let Some(part) = self.state.part.take() {
            self.state.asked = Asked::Part;
            said.push(Said::Text("Taken back, the whole part:".to_owned()));
            return said.push(lines_of(&part.text()));
        }
        let reading = read_note(&self.state.text);
        let last =
            without_last(&self.state.text, &reading).filter(|_| self.state.asked == Asked::Part);
        let Some((rest, lines)) = last else {
            return said.push(Said::Text("There is nothing to take back.".to_owned()));
        };
        let left = read_note(&rest);
        if left.is_sound() && left.note.entries.len() + 1 == reading.note.entries.len() {
            self.state.text = rest;
            said.push(Said::Text("Taken back, the last part:".to_owned()));
            said.push(lines_of(&lines));
        } else {
            said.push(Said::Text(
                "The last part cannot be taken out here: edit the file.".to_owned(),
            ));
        }
    }

    fn change(&mut self, next: State) {
        self.history.push(std::mem::replace(&mut self.state, next));
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
                "What comes off next? Name it before you loosen it (done, undo, help).".to_owned()
            }
            Asked::Field(question) => {
                let Some(Ok(entry)) = self.state.part.as_ref().map(|part| self.trial(part)) else {
                    return;
                };
                if question == Question::Readings {
                    return self.ask_ring(&entry, said);
                }
                question.prompt(&entry)
            }
        };
        said.push(Said::Text(prompt));
    }
}

pub(super) fn first_error(reading: &NoteReading) -> Option<&Diagnostic> {
    reading
        .diagnostics
        .iter()
        .find(|d| d.severity == Severity::Error)
}

fn noticed(diagnostic: &Diagnostic) -> Said {
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

fn lines_of(text: &str) -> Said {
    Said::Lines(text.lines().map(str::to_owned).collect())
}

fn counted(parts: usize) -> String {
    if parts == 1 {
        "1 part".to_owned()
    } else {
        format!("{parts} parts")
    }
}
