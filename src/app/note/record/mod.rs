//! Records a teardown in a dialogue: one line in, what to say out, and the text of the note after each line.
//!
//! The record neither reads nor writes: [`NoteRecord::hear`] takes a line, and [`NoteRecord::text`] is what is to be saved
//! after it. It holds a note and the answers from there, and its state is worked out from them ([`state`]), so that taking an
//! answer back is to leave the last one out. A note is taken apart into the answers that it was made of ([`resume`]): where a
//! recording stopped, and where more is taken back than was answered in this sitting. The text is a teardown note at every
//! moment. While a part or the header is unfinished, a comment at its end says what is asked next.

mod answer;
mod part;
mod prompt;
mod question;
mod reply;
mod resume;
mod ring;
mod state;
mod words;

use self::answer::{Answer, Asked};
use self::question::{Question, help};
use self::resume::Recorded;
use self::state::State;
use self::words::{fault, parts_in_words};
use crate::app::ring::identify::RingNamer;
use crate::app::ring::model_rings::ModelRings;
use crate::app::ring::session::RingSession;
use crate::app::ring::session_said::Said;
use crate::core::book::{ModelName, UnitRecord};
use crate::core::note::{Diagnostic, read_note};
use crate::core::quantity::Date;
use std::cell::OnceCell;

const MARK: &str = "# not finished, next: ";
/// A line longer than this is no answer.
const LONGEST: usize = 1000;
/// What is asked of the unit as a whole.
const HEADER: [(&str, &str); 12] = [
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

/// Finds what a book knows of a model, so that one place is not recorded under two names and its rings are weighed together.
pub type FindModel = Box<dyn Fn(&ModelName) -> ModelRings>;

/// What a teardown is recorded with.
pub struct Recorder {
    /// Names the rings.
    pub namer: RingNamer,
    pub today: Option<Date>,
    /// Finds the other units of the model.
    pub model: FindModel,
}

/// Says how a recording ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ending {
    /// The note is complete.
    Done,
    /// It goes on later.
    Later,
}

/// One teardown while it is recorded.
pub struct NoteRecord {
    with: Recorder,
    model: OnceCell<ModelRings>,
    /// The note as far as it is not taken apart, what was asked next in it, and the answers from there.
    recorded: Recorded,
    /// Answers that were taken back, the last one first to be given again.
    undone: Vec<Answer>,
    state: State,
    ring: Option<RingSession>,
    ending: Option<Ending>,
}

impl NoteRecord {
    /// Begins a note, or goes on with one that was begun.
    ///
    /// # Errors
    /// Fails with what is wrong in a text that is no sound note.
    pub fn new(text: &str, with: Recorder) -> Result<Self, Vec<Diagnostic>> {
        let recorded = Recorded::resumed(text)?;
        let mut record = Self {
            with,
            model: OnceCell::new(),
            state: State::of("", recorded.asked, &[], &[]),
            recorded,
            undone: Vec::new(),
            ring: None,
            ending: None,
        };
        record.refold();
        Ok(record)
    }

    /// Returns the text of the note, to be saved after every line.
    pub fn text(&self) -> String {
        let mut state = self.state.clone();
        if let Some(fields) = self.ring.as_ref().map(RingSession::fields) {
            state.answer_field(Question::Readings, &fields);
        }
        let mut text = state.whole();
        if !text.is_empty() {
            text.push_str(&state.mark().unwrap_or_default());
        }
        text
    }

    /// Tells how the dialogue has ended, once it has.
    pub fn ending(&self) -> Option<Ending> {
        self.ending
    }

    /// Counts the parts so far in words.
    pub fn parts(&self) -> String {
        parts_in_words(read_note(&self.text()).note.entries.len())
    }

    /// Takes one line and answers it.
    pub fn hear(&mut self, line: &str) -> Vec<Said> {
        let mut said = Vec::new();
        let words = line.trim();
        let lower = words.to_lowercase();
        if line.len() > LONGEST || words.chars().any(char::is_control) {
            said.push(fault(
                line,
                "this line is too long, or holds signs that cannot be seen: type it again",
            ));
        } else if let Some(order) = lower.strip_prefix("edit ") {
            self.edit(words, order.trim(), &mut said);
        } else {
            match lower.as_str() {
                "quit" => self.ending = Some(Ending::Later),
                "undo" | "back" => self.undo(&mut said),
                "redo" => self.redo(&mut said),
                "list" => said.push(self.listed()),
                _ if self.ring.is_some() => return self.hear_ring(words),
                "help" | "?" => said.push(Said::Lines(help())),
                "done" if matches!(self.state.asked, Asked::Field(_)) => {
                    self.take(Answer::End, &mut said);
                }
                "done" => self.ending = Some(Ending::Done),
                _ => self.answer(words, &mut said),
            }
        }
        if self.ending.is_none() {
            self.ask(&mut said);
        }
        said
    }

    /// Takes an answer that was checked, and shows what completes a part.
    fn take(&mut self, answer: Answer, said: &mut Vec<Said>) {
        self.undone.clear();
        if matches!(answer, Answer::Header { .. }) {
            self.model = OnceCell::new();
        }
        let was_open = self.state.open.is_some();
        self.recorded.answers.push(answer);
        self.step();
        if was_open && self.state.open.is_none() {
            self.say_saved(said);
        }
    }

    /// Works the state out anew.
    fn refold(&mut self) {
        self.ring = None;
        let Recorded {
            text,
            asked,
            answers,
        } = &self.recorded;
        let state = State::of(text, *asked, answers, self.units());
        self.state = state;
    }

    /// Takes the last answer into the state.
    fn step(&mut self) {
        if let Some(answer) = self.recorded.answers.last() {
            let mut state = self.state.clone();
            state.apply(answer, self.units());
            self.state = state;
        }
    }

    fn units(&self) -> &[UnitRecord] {
        self.model().units()
    }

    fn model(&self) -> &ModelRings {
        self.model.get_or_init(|| {
            let header = read_note(&self.recorded.text).note.header;
            let mut answers = self.recorded.answers.iter().rev();
            let typed = answers.find_map(|answer| match answer {
                Answer::Header { at: 0, line } => line.clone(),
                _ => None,
            });
            let typed = read_note(&typed.unwrap_or_default()).note.header;
            let name = if typed.model.is_empty() {
                header
            } else {
                typed
            };
            (self.with.model)(&ModelName {
                maker: name.maker,
                name: name.model,
            })
        })
    }

    fn undo(&mut self, said: &mut Vec<Said>) {
        let answers = &mut self.recorded.answers;
        if answers.is_empty() {
            let unfolded = Recorded::unfolded(&self.recorded.text);
            let Some(former) = unfolded else {
                return said.push(Said::Text("There is nothing to take back here.".to_owned()));
            };
            self.recorded = former;
        }
        if let Some(gone) = self.recorded.answers.pop() {
            said.push(Said::Text(format!("Taken back: {}.", gone.words())));
            self.undone.push(gone);
        }
        self.refold();
    }

    fn redo(&mut self, said: &mut Vec<Said>) {
        let Some(answer) = self.undone.pop() else {
            return said.push(Said::Text("There is nothing to give back.".to_owned()));
        };
        said.push(Said::Text(format!("Given back: {}.", answer.words())));
        self.recorded.answers.push(answer);
        self.refold();
    }

    fn edit(&mut self, words: &str, order: &str, said: &mut Vec<Said>) {
        let parts = read_note(&self.state.text).note.entries.len();
        let number = order.parse().ok().filter(|n| (1..=parts).contains(n));
        let key = order.split(' ').next().unwrap_or("");
        let header = HEADER.iter().position(|(known, _)| *known == key);
        let message = match (number, header) {
            _ if self.state.open.is_some() => {
                "finish this part first: done, and then edit another".to_owned()
            }
            (Some(order), _) => return self.take(Answer::Edit(order), said),
            (None, Some(at)) => match self.edit_header(at, words, said) {
                Ok(()) => return,
                Err(message) => message,
            },
            (None, None) => format!(
                "this note has {}: write edit with the number of one, as list shows them, or with a line of the head, as edit date 2026-03-14",
                parts_in_words(parts)
            ),
        };
        said.push(fault(words, &message));
    }
}
