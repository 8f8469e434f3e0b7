//! Names a ring in a dialogue at the bench: one line in, what to say out.
//!
//! The session neither reads nor prints: [`RingSession::hear`] takes a line and returns what is to be said, so that a
//! terminal, a pipe and a test hold the same dialogue.

use super::identify::{RingAnswer, RingNamer};
use super::question::RingQuestion;
use super::session_line::{Command, Heard, LineFault, NewReading, hear_line};
use super::session_note::{note_fields, note_lines};
use super::session_said::{Advice, Ask, OddsRow, OddsSaid, Said};
use crate::core::identification::NextReading;
use crate::core::measurement::{Measurand, Reading};
use crate::core::quantity::{LengthUnit, Span};

/// One dialogue about one ring.
#[derive(Debug)]
pub struct RingSession {
    namer: RingNamer,
    state: State,
    /// States before each line that changed something, for "undo".
    history: Vec<State>,
    /// Odds before the last change.
    before: Option<RingAnswer>,
    answer: Option<RingAnswer>,
    asked: Option<Ask>,
    over: bool,
}

/// What the user said so far.
#[derive(Debug, Clone)]
struct State {
    question: RingQuestion,
    declared: Option<LengthUnit>,
    /// Methods that the user has; all of them where empty.
    have: Vec<String>,
    /// What the user will not measure.
    skipped: Vec<Measurand>,
}

/// A reading that is expected to tell less than this is not asked for.
const LEAST_BITS: f64 = 0.05;
/// With odds of the first ring from here on, one may stop: one such answer in twenty is wrong at most.
const SURE: f64 = 0.95;
/// What is measured first, best first: a diameter and the section decide most rings.
const FIRST: [Measurand; 3] = [Measurand::Od, Measurand::Cs, Measurand::Id];

impl RingSession {
    /// Begins a session about a ring of which so much is known; `declared` is the unit of bare lengths.
    pub fn new(namer: RingNamer, question: RingQuestion, declared: Option<LengthUnit>) -> Self {
        Self {
            namer,
            state: State {
                question,
                declared,
                have: Vec::new(),
                skipped: Vec::new(),
            },
            history: Vec::new(),
            before: None,
            answer: None,
            asked: None,
            over: false,
        }
    }

    /// Says what the session is for and asks the first question.
    pub fn greet(&mut self) -> Vec<Said> {
        let mut said = vec![Said::Text(format!(
            "Naming a {} ring, one reading at a time. \"help\" lists the words, \"done\" ends.",
            self.state.question.condition.word()
        ))];
        self.ask(&mut said);
        said
    }

    /// Takes one line and answers it.
    pub fn hear(&mut self, line: &str) -> Vec<Said> {
        let mut said = Vec::new();
        match hear_line(line, self.asked.as_ref(), self.state.declared) {
            Err(fault) => said.push(fault.said(line)),
            Ok(Heard::Nothing) => {}
            Ok(Heard::Reading(new)) => self.take(line, new, &mut said),
            Ok(Heard::Command(command)) => {
                self.obey(line, command, &mut said);
                if self.over {
                    return said;
                }
            }
        }
        self.ask(&mut said);
        let advised = said.iter().any(|s| matches!(s, Said::Odds(_)));
        if let (
            false,
            Some(Said::Ask {
                ask: Some(_),
                advice,
            }),
        ) = (advised, said.last_mut())
        {
            *advice = Advice::Unchanged;
        }
        said
    }

    /// Ends the session, as "done" and the end of the input do: the verdict, the caution and the line for a note.
    pub fn end(&mut self) -> Vec<Said> {
        self.over = true;
        self.asked = None;
        let Some(answer) = &self.answer else {
            return vec![Said::Text("Nothing was measured.".to_owned())];
        };
        let mut said: Vec<Said> = answer
            .warnings
            .points
            .iter()
            .cloned()
            .map(Said::Warning)
            .collect();
        said.push(Said::Verdict(odds(answer, None)));
        said.push(Said::Note(note_lines(&self.state.question, answer)));
        said
    }

    /// Tells whether the session has ended.
    pub fn is_over(&self) -> bool {
        self.over
    }

    /// Returns the odds from all that was read so far.
    pub fn answer(&self) -> Option<&RingAnswer> {
        self.answer.as_ref()
    }

    /// Counts the lines that changed something.
    pub(in crate::app) fn changes(&self) -> usize {
        self.history.len()
    }

    /// Returns the fields of a teardown note that say what was read so far: condition, readings and what the ring looks
    /// like; none where nothing was read.
    pub(in crate::app) fn fields(&self) -> Vec<String> {
        let fields = self.answer.as_ref().map(|answer| {
            let mut fields = note_fields(&self.state.question, answer);
            fields.remove(0);
            fields
        });
        fields.unwrap_or_default()
    }

    fn take(&mut self, line: &str, new: NewReading, said: &mut Vec<Said>) {
        let measurand = new.reading.measurand;
        let whole = Span::new(0, line.len());
        let instrument = self
            .namer
            .instruments()
            .find(&new.reading.method, measurand);
        let (method, label) = match instrument {
            Ok(instrument) => (instrument.method, instrument.label),
            Err(error) => {
                let span = new.method_span.unwrap_or(whole);
                return said.push(LineFault::new(span, error.to_string()).said(line));
            }
        };
        let typed = new.reading.typed.clone();
        let mut next = self.state.clone();
        join(&mut next.question.readings, new.reading);
        match self.name(&next) {
            Err(message) => said.push(LineFault::new(whole, message).said(line)),
            Ok(answer) => {
                let label = if label == method {
                    String::new()
                } else {
                    format!(" ({label})")
                };
                said.push(Said::Text(format!(
                    "Taken: {} {typed}{label}.",
                    measurand.name()
                )));
                self.change_to(next, answer);
                self.say_odds(said);
            }
        }
    }

    fn name(&self, state: &State) -> Result<Option<RingAnswer>, String> {
        if state.question.readings.is_empty() {
            return Ok(None);
        }
        let answer = self.namer.name(&state.question);
        answer.map(Some).map_err(|error| error.to_string())
    }

    fn change_to(&mut self, state: State, answer: Option<RingAnswer>) {
        let former = std::mem::replace(&mut self.state, state);
        self.history.push(former);
        self.before = std::mem::replace(&mut self.answer, answer);
    }

    fn say_odds(&self, said: &mut Vec<Said>) {
        if let Some(answer) = &self.answer {
            said.push(Said::Odds(odds(answer, self.before.as_ref())));
            said.extend(answer.warnings.points.iter().cloned().map(Said::Warning));
        }
    }

    fn obey(&mut self, line: &str, command: Command, said: &mut Vec<Said>) {
        match command {
            Command::Done => said.extend(self.end()),
            Command::Help => said.push(Said::Help),
            Command::Odds => {
                if self.answer.is_none() {
                    said.push(Said::Text("Nothing is measured yet.".to_owned()));
                }
                self.before = None;
                self.say_odds(said);
            }
            Command::Undo => self.undo(said),
            Command::Skip => self.skip(said),
            Command::Unit(unit) => {
                let mut next = self.state.clone();
                next.declared = Some(unit);
                said.push(Said::Text(format!(
                    "A bare number is now in {}.",
                    unit.symbol()
                )));
                self.change_quietly(next);
            }
            Command::Condition(condition) => {
                let mut next = self.state.clone();
                next.question.condition = condition;
                said.push(Said::Text(format!(
                    "The ring is taken as {}.",
                    condition.word()
                )));
                match self.name(&next) {
                    Ok(answer) => {
                        self.change_to(next, answer);
                        self.say_odds(said);
                    }
                    Err(message) => said.push(Said::Warning(message)),
                }
            }
            Command::Have(words) => self.have(line, &words, said),
        }
    }

    /// Changes what does not touch the odds.
    fn change_quietly(&mut self, next: State) {
        let former = std::mem::replace(&mut self.state, next);
        self.history.push(former);
    }

    fn undo(&mut self, said: &mut Vec<Said>) {
        let Some(former) = self.history.pop() else {
            return said.push(Said::Text("There is nothing to take back.".to_owned()));
        };
        let (then, now) = (&former.question, &self.state.question);
        let gone = now.readings.iter().find(|r| !then.readings.contains(r));
        said.push(Said::Text(match gone {
            Some(reading) => {
                let kept = then
                    .readings
                    .iter()
                    .find(|r| r.measurand == reading.measurand && r.method == reading.method);
                kept.map_or_else(
                    || {
                        format!(
                            "Taken back: {} {}.",
                            reading.measurand.name(),
                            reading.typed
                        )
                    },
                    |kept| {
                        format!(
                            "Taken back; the {} is {} again.",
                            kept.measurand.name(),
                            kept.typed
                        )
                    },
                )
            }
            None => "Taken back.".to_owned(),
        }));
        let odds_change = then.readings != now.readings || then.condition != now.condition;
        self.state = former;
        if odds_change {
            // What was named once with these readings can be named again.
            let answer = self.name(&self.state).unwrap_or(None);
            self.before = std::mem::replace(&mut self.answer, answer);
            self.say_odds(said);
        }
    }

    fn skip(&mut self, said: &mut Vec<Said>) {
        match self.asked.as_ref().map(|ask| ask.measurand) {
            Some(measurand) => {
                let mut next = self.state.clone();
                next.skipped.push(measurand);
                self.change_quietly(next);
                said.push(Said::Text(format!(
                    "The {} is left out; it can still be given.",
                    measurand.name()
                )));
            }
            None => said.push(Said::Text("Nothing is asked for now.".to_owned())),
        }
    }

    fn have(&mut self, line: &str, words: &[(String, Span)], said: &mut Vec<Said>) {
        let rows = self.namer.instruments().rows();
        let known = |word: &str| rows.iter().any(|row| row.method == word);
        if let Some((word, span)) = words.iter().find(|(word, _)| !known(word)) {
            let mut methods: Vec<&str> = rows.iter().map(|row| row.method).collect();
            methods.retain(|method| !method.is_empty());
            methods.sort_unstable();
            methods.dedup();
            let message = format!(
                "{word:?} is not a known instrument: write some of {}",
                methods.join(", ")
            );
            return said.push(LineFault::new(*span, message).said(line));
        }
        let mut next = self.state.clone();
        next.have = words.iter().map(|(word, _)| word.clone()).collect();
        said.push(Said::Text(if next.have.is_empty() {
            "Every instrument counts again.".to_owned()
        } else {
            format!("Only these are asked for: {}.", next.have.join(", "))
        }));
        self.change_quietly(next);
    }

    /// Chooses the next question and says what a further reading would tell.
    fn ask(&mut self, said: &mut Vec<Said>) {
        let (ask, advice) = match &self.answer {
            None => (self.first_question(), Advice::Unchanged),
            Some(answer) => self.next_question(answer),
        };
        said.push(Said::Ask {
            ask: ask.clone(),
            advice,
        });
        self.asked = ask;
    }

    fn is_had(&self, method: &str) -> bool {
        self.state.have.is_empty() || self.state.have.iter().any(|m| m == method)
    }

    fn first_question(&self) -> Option<Ask> {
        let wanted = FIRST.iter().filter(|m| !self.state.skipped.contains(m));
        let mut found = wanted.filter_map(|measurand| {
            let mut rows = self.namer.instruments().of(*measurand);
            let row = rows.find(|row| !row.method.is_empty() && self.is_had(row.method))?;
            Some(Ask {
                measurand: *measurand,
                method: row.method.to_owned(),
                label: row.label.to_owned(),
                bits: None,
                minutes: row.minutes,
            })
        });
        found.next()
    }

    fn next_question(&self, answer: &RingAnswer) -> (Option<Ask>, Advice) {
        let open = |next: &&NextReading| {
            let skipped = self.state.skipped.contains(&next.measurand);
            !skipped && next.gain_bits >= LEAST_BITS && self.is_had(next.method)
        };
        let rate = |next: &NextReading| next.gain_bits / next.minutes;
        let best = answer
            .measure_next
            .iter()
            .filter(open)
            .max_by(|a, b| rate(a).total_cmp(&rate(b)));
        let ask = best.map(|next| Ask {
            measurand: next.measurand,
            method: next.method.to_owned(),
            label: next.label.to_owned(),
            bits: Some(next.gain_bits),
            minutes: next.minutes,
        });
        let first = answer.candidates.first();
        let sure = first.is_some_and(|c| c.probability >= SURE);
        let unlisted = first.is_none_or(|c| c.probability < answer.unlisted_probability);
        let advice = match &ask {
            _ if unlisted => Advice::Unlisted,
            _ if sure => Advice::Enough,
            Some(_) => Advice::GoOn,
            None => Advice::NoMore(answer.cannot_separate.first().cloned().unwrap_or_default()),
        };
        (ask, advice)
    }
}

/// Adds a reading; one of the same dimension with the same instrument is a repetition.
fn join(readings: &mut Vec<Reading>, new: Reading) {
    let twin = readings.iter_mut().find(|r| {
        r.measurand == new.measurand && r.method == new.method && r.measurand != Measurand::Mass
    });
    let Some(twin) = twin else {
        return readings.push(new);
    };
    twin.values.extend(new.values);
    let values = |typed: &str| typed.split(" by ").next().unwrap_or("").to_owned();
    let by = if twin.method.is_empty() {
        String::new()
    } else {
        format!(" by {}", twin.method)
    };
    twin.typed = format!("{} {}{by}", values(&twin.typed), values(&new.typed));
}

/// Rings that are shown after each reading.
const SHOWN: usize = 5;
/// A ring that lost its place is shown once more where it held this much.
const LOST: f64 = 0.10;

/// Lays out the odds beside those before.
pub(in crate::app) fn odds(answer: &RingAnswer, before: Option<&RingAnswer>) -> OddsSaid {
    let former = |codes: &[String]| {
        let before = before?;
        let same = before.candidates.iter().find(|c| c.codes == codes);
        Some(same.map_or(0.0, |c| c.probability))
    };
    let now = |codes: &[String]| answer.candidates.iter().find(|c| c.codes == codes);
    let lost = before.iter().flat_map(|b| &b.candidates).filter(|c| {
        let place = now(&c.codes).map_or(usize::MAX, |n| n.rank);
        c.probability >= LOST && place > SHOWN
    });
    let kept = answer
        .candidates
        .iter()
        .take(SHOWN)
        .map(|c| (c, c.probability));
    let lost = lost.map(|c| (c, now(&c.codes).map_or(0.0, |n| n.probability)));
    OddsSaid {
        rows: kept
            .chain(lost)
            .map(|(c, probability)| OddsRow {
                codes: c.codes.clone(),
                size: c.size,
                probability,
                before: former(&c.codes),
            })
            .collect(),
        unlisted: answer.unlisted_probability,
        unlisted_before: before.map(|b| b.unlisted_probability),
    }
}
