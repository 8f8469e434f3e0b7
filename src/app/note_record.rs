//! Records a teardown in a dialogue: one line in, what to say out, and the text of the note after each line.
//!
//! The record neither reads nor writes: [`NoteRecord::hear`] takes a line, and [`NoteRecord::text`] is what is to be saved
//! after it. The text is a teardown note at every moment. While a part or the header is unfinished, a comment at its end
//! says what is asked next, so that the dialogue goes on there.

use super::identify::RingNamer;
use super::note_record_part::{PartDraft, next_photo, without_last};
use super::note_record_question::{Question, caution, help, measures, written_out};
use super::ring_session::{RingSession, SessionStart};
use super::session_said::Said;
use crate::core::measurement::Measurand;
use crate::core::note::{
    Diagnostic, Entry, NoteReading, Severity, escaped, keyed, position_field, read_note,
};
use crate::core::quantity::{Date, Span};

const MARK: &str = "# not finished, next: ";
/// A line longer than this is no answer.
const LONGEST: usize = 1000;
/// What is asked of the unit as a whole.
const HEADER: [(&str, &str); 11] = [
    ("model", "Maker and model?"),
    (
        "unit",
        "Serial number, or any name that tells it from its siblings?",
    ),
    ("date", "Day of the teardown?"),
    ("lengths", "What does a bare number mean, mm or in?"),
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
    namer: RingNamer,
    today: Option<Date>,
    state: State,
    /// States before each answer of the part, or of the header, for "undo".
    history: Vec<State>,
    ring: Option<RingSession>,
    last_tool: Option<String>,
    over: bool,
}

#[derive(Debug, Clone, PartialEq)]
struct State {
    /// The note without the part that is unfinished.
    text: String,
    part: Option<PartDraft>,
    asked: Asked,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Asked {
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
        let mut said = vec![
            Said::Text("Recording a teardown, part by part; every answer is saved at once. Enter takes what stands in brackets, \"undo\" takes back, \"done\" ends, \"help\" says more.".to_owned()),
            Said::Caution("breathing gas is life support. Shut the supply, vent, and take the unit off it before anything is loosened. Local codes and licensed practice come first; a competent person decides.".to_owned()),
        ];
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
        if let Some(part) = &self.state.part {
            let further = self.ring.as_ref().map(RingSession::fields);
            text.push_str(&part.text(&further.unwrap_or_default()));
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
                said.extend(new.map(|d| Said::Warning(told(d))));
            }
            next.text.push_str(&line);
        } else if at < 2 {
            return said.push(fault(
                words,
                "this is needed: without it the note is of no unit",
            ));
        }
        let is_air = read_note(&next.text)
            .note
            .header
            .gas
            .is_none_or(|gas| gas == "air");
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
        match first_error(&read_note(&text)) {
            Some(error) => said.push(fault(name, &told(error))),
            None => {
                self.state.text = text;
                self.state.asked = Asked::Part;
                self.history.clear();
            }
        }
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
    fn trial(&self, part: &PartDraft) -> Result<Entry, String> {
        let before = read_note(&self.state.text).note.entries.len();
        let reading = read_note(&format!("{}{}", self.state.text, part.text(&[])));
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
    fn go_on(&mut self, entry: &Entry, after: Option<Question>, said: &mut Vec<Said>) {
        let all = Question::of(entry.kind);
        let from = after.and_then(|q| all.iter().position(|a| *a == q));
        let open = all[from.map_or(0, |at| at + 1)..]
            .iter()
            .find(|q| !q.is_answered(entry));
        match open {
            Some(question) => self.state.asked = Asked::Field(*question),
            None => self.finish_part(said),
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

    /// Writes an answer as fields of the note.
    fn fields_of(
        &self,
        question: Question,
        words: &str,
        entry: &Entry,
    ) -> Result<Vec<String>, String> {
        let words = match words {
            "-" => return Ok(Vec::new()),
            "" => match question.default(entry.kind) {
                Some(default) => default,
                None => return Ok(Vec::new()),
            },
            _ => words,
        };
        let is_number = words.starts_with(|c: char| c.is_ascii_digit() || c == '.');
        Ok(match question {
            Question::Quantity if words == "1" => Vec::new(),
            Question::Quantity => vec![format!("x{}", words.trim_start_matches('x'))],
            Question::Fate => vec![short(words, &["replace", "keep", "inspect"])?],
            Question::Condition => vec![match words {
                "f" | "F" => "rough".to_owned(),
                _ => short(words, &["new", "used", "rough"])?,
            }],
            Question::Turns if words.contains("turn") => vec![keyed("turns", words)],
            Question::Turns if is_number && !words.contains(' ') => {
                return Err(format!("write {words} threads, or {words} turns"));
            }
            Question::Turns => vec![keyed("exposed", words)],
            Question::Position => vec![position_field(words)],
            Question::Tool if words == "=" => {
                let tool = self
                    .last_tool
                    .as_ref()
                    .ok_or("no tool was named yet in this sitting: write it")?;
                vec![keyed("tool", tool)]
            }
            Question::Photo if words == "+" => vec![keyed("photo", &self.next_photo()?)],
            Question::Measures if is_number => {
                let key = measures(entry.kind).split(' ').next().unwrap_or("od");
                PartDraft::read(&format!("x;{key} {words}")).fields
            }
            Question::Measures => PartDraft::read(&format!("x;{words}")).fields,
            Question::Gland => {
                let words = words.strip_prefix("gland ").unwrap_or(words);
                PartDraft::read(&format!("x;gland {words}")).fields
            }
            other => vec![keyed(other.word(), words)],
        })
    }

    fn next_photo(&self) -> Result<String, String> {
        let note = read_note(&self.state.text).note;
        let photos = note
            .header
            .photos
            .iter()
            .chain(note.entries.iter().flat_map(|e| &e.photos));
        photos
            .last()
            .and_then(|last| next_photo(last))
            .ok_or_else(|| "no photo with a number was named yet: write its name".to_owned())
    }

    fn finish_part(&mut self, said: &mut Vec<Said>) {
        let Some(part) = self.state.part.take() else {
            return;
        };
        let begin = self.state.text.len();
        let lines = part.text(&[]);
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
        said.extend(new.map(|d| Said::Warning(told(d))));
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
            return said.push(lines_of(&part.text(&[])));
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

    fn ask(&mut self, said: &mut Vec<Said>) {
        let prompt = match self.state.asked {
            Asked::Header(at) => {
                let (key, prompt) = HEADER[at];
                let default = self.header_default(key);
                let default = default.as_deref().unwrap_or("leave out");
                if at < 2 {
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

    /// Begins naming the ring, with the readings that the part has already.
    fn ask_ring(&mut self, entry: &Entry, said: &mut Vec<Said>) {
        let mut session = RingSession::new(SessionStart {
            namer: self.namer.clone(),
            condition: entry
                .condition
                .as_ref()
                .map(|c| c.value)
                .unwrap_or_default(),
            polymer: entry.polymer.as_ref().map(|p| p.value),
            declared: read_note(&self.state.text).note.header.lengths,
        });
        let mut last = session.greet().split_off(1);
        if let Some(part) = &mut self.state.part {
            part.fields.retain(|field| {
                let key = field.split(' ').next().unwrap_or("");
                if field.starts_with("remark looks like ")
                    || field.starts_with("remark no listed size is likely")
                {
                    return false;
                }
                if Measurand::from_word(key).is_none() {
                    return true;
                }
                let heard = session.hear(field);
                let refused = heard.iter().any(|s| matches!(s, Said::Fault { .. }));
                last = heard;
                refused
            });
        }
        said.push(Said::Text(format!(
            "{}: its readings, one a line; Enter alone ends them.",
            entry.name
        )));
        said.extend(last);
        self.ring = Some(session);
    }

    fn hear_ring(&mut self, words: &str) -> Vec<Said> {
        let Some(mut session) = self.ring.take() else {
            return Vec::new();
        };
        let mut said = if words.is_empty() {
            session.end()
        } else {
            session.hear(words)
        };
        said.retain(|s| !matches!(s, Said::Note(_)));
        if !session.is_over() {
            self.ring = Some(session);
            return said;
        }
        let Some(mut part) = self.state.part.clone() else {
            return said;
        };
        let mut fields = session.fields();
        if !fields.is_empty() {
            let condition = fields.remove(0);
            if let Some(old) = part
                .fields
                .iter_mut()
                .find(|f| matches!(f.as_str(), "new" | "used" | "rough"))
            {
                *old = condition;
            }
        }
        let mut before = self.state.clone();
        part.fields.extend(fields);
        before.part = Some(part.clone());
        match self.trial(&part) {
            Err(message) => said.push(fault(words, &message)),
            Ok(entry) => {
                self.history.push(before);
                self.state.part = Some(part);
                self.go_on(&entry, Some(Question::Readings), &mut said);
            }
        }
        self.ask(&mut said);
        said
    }
}

/// Takes a text up where its recording stopped.
fn resumed(text: &str) -> Result<State, Vec<Diagnostic>> {
    let mut text = text
        .trim_start_matches('\u{feff}')
        .replace("\r\n", "\n")
        .replace('\r', "\n");
    let mut next = None;
    let last = text.trim_end().rfind('\n').map_or(0, |at| at + 1);
    if let Some(word) = text[last..].trim_end().strip_prefix(MARK) {
        next = Some(word.to_owned());
        text.truncate(last);
    }
    if !(text.is_empty() || text.ends_with('\n')) {
        text.push('\n');
    }
    let reading = read_note(&text);
    let at = |key: &str| {
        HEADER
            .iter()
            .position(|(k, _)| *k == key)
            .map(Asked::Header)
    };
    let open = next.as_deref().and_then(|word| match word {
        "vented" => Some(Asked::Vented),
        "section" => Some(Asked::Section),
        word if reading.note.entries.is_empty() => at(word),
        word => Question::from_word(word).map(Asked::Field),
    });
    let is_begun = text.trim().is_empty() || open == Some(Asked::Header(1));
    if !is_begun && !reading.is_sound() {
        return Err(reading.diagnostics);
    }
    let has_parts = !reading.note.entries.is_empty() || text.lines().any(|l| l.starts_with('['));
    let mut state = State {
        asked: open.unwrap_or(match has_parts {
            _ if text.trim().is_empty() => Asked::Header(0),
            true => Asked::Part,
            false => Asked::Vented,
        }),
        text,
        part: None,
    };
    if let Asked::Field(_) = state.asked
        && let Some((rest, lines)) = without_last(&state.text, &reading)
    {
        state.text = rest;
        state.part = Some(PartDraft::read(&lines));
    }
    Ok(state)
}

fn short(words: &str, known: &[&str]) -> Result<String, String> {
    let lower = words.to_lowercase();
    if lower.len() > 1 {
        return Ok(lower);
    }
    let found = known.iter().find(|word| word.starts_with(&lower));
    found
        .map(|word| (*word).to_owned())
        .ok_or_else(|| format!("write one of {}", known.join(", ")))
}

fn first_error(reading: &NoteReading) -> Option<&Diagnostic> {
    reading
        .diagnostics
        .iter()
        .find(|d| d.severity == Severity::Error)
}

fn told(diagnostic: &Diagnostic) -> String {
    match &diagnostic.remedy {
        Some(remedy) => format!("{}: {remedy}", diagnostic.message),
        None => diagnostic.message.clone(),
    }
}

fn fault(line: &str, message: &str) -> Said {
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
