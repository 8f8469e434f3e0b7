//! Names a ring while its part is recorded.

use super::note_record::{NoteRecord, fault};
use super::note_record_part::PartDraft;
use super::note_record_question::Question;
use super::ring_session::{RingSession, SessionStart};
use super::session_said::Said;
use crate::core::measurement::Measurand;
use crate::core::note::{Entry, read_note};

impl NoteRecord {
    /// Begins naming the ring, with the readings that the part has already.
    pub(super) fn ask_ring(&mut self, entry: &Entry, said: &mut Vec<Said>) {
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

    /// Returns the unfinished part with the readings that its ring has so far.
    pub(super) fn part_so_far(&self) -> Option<PartDraft> {
        let part = self.state.part.as_ref()?;
        let ring = self.ring.as_ref();
        Some(ring.map_or_else(|| part.clone(), |session| self.joined(part, session)))
    }

    pub(super) fn hear_ring(&mut self, words: &str) -> Vec<Said> {
        let Some(mut session) = self.ring.take() else {
            return Vec::new();
        };
        if words.split(' ').next() == Some("scan") {
            self.ring = Some(session);
            return self.hear_scan(words);
        }
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
        let Some(part) = self
            .state
            .part
            .as_ref()
            .map(|part| self.joined(part, &session))
        else {
            return said;
        };
        let mut before = self.state.clone();
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

    /// Takes where the ring lies on the page of a scanner: it is measured there when the note is added.
    fn hear_scan(&mut self, words: &str) -> Vec<Said> {
        let Some(mut part) = self.state.part.clone() else {
            return Vec::new();
        };
        part.fields.push(words.to_owned());
        if let Err(message) = self.trial(&part) {
            return vec![fault(words, &message)];
        }
        self.history.push(self.state.clone());
        self.state.part = Some(part);
        vec![Said::Text(format!(
            "Taken: {words}. Its diameters are measured when the note is added; give its height (cs) here, or Enter."
        ))]
    }

    /// Puts the readings of a ring to its part. A condition that was changed among the readings takes the place of the
    /// former; the words of one that was not ("flattened" for rough) stay.
    fn joined(&self, part: &PartDraft, session: &RingSession) -> PartDraft {
        let mut part = part.clone();
        let mut fields = session.fields();
        if fields.is_empty() {
            return part;
        }
        let condition = fields.remove(0);
        let said = self.trial(&part).ok().and_then(|entry| entry.condition);
        match said {
            Some(said) if said.value.word() == condition => {}
            Some(said) => {
                let former = |field: &&mut String| field.ends_with(&said.text);
                if let Some(field) = part.fields.iter_mut().find(former) {
                    *field = condition;
                }
            }
            None => part.fields.push(condition),
        }
        part.fields.extend(fields);
        part
    }
}
