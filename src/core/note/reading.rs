//! What was read from a note: the record, and what is wrong or doubtful in it.

use super::diagnostic::{Diagnostic, Severity};
use super::draft::Draft;
use super::header_draft::HeaderDraft;
use super::reader::Reader;
use super::record::Note;
use super::review;
use crate::core::gland::GlandDimension;

/// What was read from a text: the note, and what is wrong or doubtful in it.
#[derive(Debug, Clone, PartialEq)]
pub struct NoteReading {
    /// What could be read. Where there are errors it is incomplete; see [`sound_parts`](Self::sound_parts).
    pub note: Note,
    /// What is wrong or doubtful, in the order of the text.
    pub diagnostics: Vec<Diagnostic>,
    /// Places in `note.entries` of the parts of which something could not be read.
    pub faulty: Vec<usize>,
}

impl NoteReading {
    /// Tells whether the text holds no error.
    pub fn is_sound(&self) -> bool {
        self.count(Severity::Error) == 0
    }

    /// Counts the diagnostics of a severity.
    pub fn count(&self, severity: Severity) -> usize {
        self.diagnostics
            .iter()
            .filter(|d| d.severity == severity)
            .count()
    }

    /// Returns the note without the parts of which something could not be read; the order keeps its gaps.
    #[must_use]
    pub fn sound_parts(&self) -> Note {
        let mut at = 0;
        let mut note = self.note.clone();
        note.entries.retain(|_| {
            at += 1;
            !self.faulty.contains(&(at - 1))
        });
        note
    }
}

/// What was read line by line or row by row, before it is looked at as a whole.
#[derive(Default)]
pub(super) struct Unreviewed {
    pub(super) header: HeaderDraft,
    pub(super) drafts: Vec<Draft>,
    pub(super) closing_comments: Vec<String>,
    pub(super) reader: Reader,
}

impl Unreviewed {
    /// Counts the parts, looks at the note as a whole, and sorts what was found.
    pub(super) fn review(mut self, text: &str) -> NoteReading {
        for (draft, order) in self.drafts.iter_mut().zip(1..) {
            let entry = &mut draft.entry;
            entry.order = order;
            // One order whatever the hand, so that two notes that say the same are the same.
            entry.readings.sort_by_key(|reading| reading.measurand);
            entry.dimensions.sort_by_key(|dimension| dimension.name);
            if let Some(gland) = &mut entry.gland {
                let rank =
                    |name: GlandDimension| GlandDimension::ALL.iter().position(|(n, _)| *n == name);
                gland.dimensions.sort_by_key(|(name, _)| rank(*name));
            }
        }
        let out = &mut self.reader.diagnostics;
        review::header(&self.header, text, out);
        review::parts(&self.drafts, &self.header.header, text, out);
        let faulty = (0..self.drafts.len())
            .filter(|at| self.drafts[*at].faulty)
            .collect();
        NoteReading {
            note: Note {
                header: self.header.header,
                entries: self.drafts.into_iter().map(|draft| draft.entry).collect(),
                closing_comments: self.closing_comments,
            },
            diagnostics: self.reader.diagnostics.finish(text),
            faulty,
        }
    }
}
