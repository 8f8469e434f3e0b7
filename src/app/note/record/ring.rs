//! Names a ring while its part is recorded: by its readings, and anew with its groove.

use super::NoteRecord;
use super::answer::Answer;
use super::question::Question;
use super::words::fault;
use crate::app::ring::question::RingQuestion;
use crate::app::ring::session::{RingSession, odds};
use crate::app::ring::session_said::Said;
use crate::core::note::{Entry, Note, PartKind, read_note};

impl NoteRecord {
    /// Asks for a reading; begins naming the ring with the lines that were said of it already.
    pub(super) fn ask_ring(&mut self, entry: &Entry, said: &mut Vec<Said>) {
        if let Some(ring) = &mut self.ring {
            return said.extend(ring.hear(""));
        }
        let unread = RingQuestion {
            readings: Vec::new(),
            ..RingQuestion::of(entry)
        };
        let declared = read_note(&self.state.text).note.header.lengths;
        let mut session = RingSession::new(self.with.namer.clone(), unread, declared);
        let mut last = session.greet().split_off(1);
        for line in &self.state.lines {
            last = session.hear(line);
        }
        said.push(Said::Text(format!(
            "{}: its readings, one a line; Enter alone ends them.",
            entry.name
        )));
        said.extend(last);
        self.ring = Some(session);
    }

    /// Takes a line about the ring.
    pub(super) fn hear_ring(&mut self, words: &str) -> Vec<Said> {
        let Some(mut session) = self.ring.take() else {
            return Vec::new();
        };
        let changes = session.changes();
        // Where the ring lies on the page of a scanner ends its readings: it is measured there when the note is added.
        let scanned = words.split(' ').next() == Some("scan");
        let mut said = match words {
            _ if scanned => vec![Said::Text(format!(
                "Taken: {words}. Its diameters are measured when the note is added."
            ))],
            "" => session.end(),
            _ => session.hear(words),
        };
        said.retain(|s| !matches!(s, Said::Note(_)));
        if !session.is_over() && !scanned {
            if session.changes() != changes {
                self.take(Answer::Ring(words.to_owned()), &mut said);
            }
            self.ring = Some(session);
            return said;
        }
        let question = Question::Readings;
        let mut fields = session.fields();
        if scanned {
            fields.insert(0, words.to_owned());
        }
        let fields = Some(fields).filter(|fields| !fields.is_empty());
        let mut next = self.state.clone();
        next.answer_field(question, fields.as_deref().unwrap_or(&[]));
        match next.entry() {
            Err(message) => said.push(fault(words, &message)),
            Ok(_) => self.take(Answer::Field { question, fields }, &mut said),
        }
        self.ask(&mut said);
        said
    }

    /// Names the ring of a part that is complete anew: with its groove, the other rings of the note and what the book has of the
    /// model, beside its odds alone. Says nothing where no more is known than was said before.
    pub(super) fn named_in_model(&self, note: &Note, entry: &Entry) -> Option<Said> {
        if entry.kind != PartKind::Ring || entry.readings.is_empty() {
            return None;
        }
        let mut model = self.model().clone();
        model.add(note);
        if entry.gland.is_none() && model.places().len() < 2 && model.units().len() < 2 {
            return None;
        }
        let weighed = model.weighed(&self.with.namer);
        let question = RingQuestion::of(entry);
        let in_groove = RingQuestion {
            gland: entry.gland.clone(),
            ..question.clone()
        };
        let ring = weighed.of(&note.header.unit, entry)?;
        let within = self.with.namer.name_in(&in_groove, ring).ok()?;
        let alone = self.with.namer.name(&question).ok();
        Some(Said::Odds(odds(&within, alone.as_ref())))
    }
}
