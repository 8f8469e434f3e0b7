//! Checks a teardown note without storing it.

pub use crate::store::NoteForm;

use crate::app::file::folder_of;
use crate::core::gear::GearKind;
use crate::core::measurement::Condition;
use crate::core::note::{
    Diagnostic, Entry, Fate, Note, NoteReading, PartKind, Severity, decode, read_note, read_sheet,
};
use crate::core::quantity::Date;
use serde::Serialize;
use std::path::{Path, PathBuf};

/// A note's text with the name of the place it came from.
#[derive(Debug, Clone, PartialEq)]
pub struct NoteText {
    /// The file's name, or a word for standard input.
    pub place: String,
    pub text: String,
    /// How it is written.
    pub form: NoteForm,
    /// Where the pictures lie that it names.
    pub folder: PathBuf,
}

/// What a check of a note found: its faults, and what was understood of it.
#[derive(Debug, Clone, Serialize)]
pub struct NoteCheck {
    /// The file's name, or a word for standard input.
    pub place: String,
    /// How the note is written.
    pub form: NoteForm,
    /// Whether it holds no error, so that it can be stored.
    pub sound: bool,
    /// How many errors it holds.
    pub errors: usize,
    /// How many warnings it holds, dangers among them.
    pub warnings: usize,
    /// The maker, where it is named apart from the model.
    pub maker: Option<String>,
    pub model: String,
    /// The serial number or name of the unit.
    pub unit: String,
    /// What kind of gear it is, where the note says so.
    pub gear: Option<GearKind>,
    /// The day of the teardown.
    pub date: Option<Date>,
    /// The parts, in the order in which they came off.
    pub parts: Vec<PartLine>,
    /// What is wrong or doubtful, in the order of the text.
    pub diagnostics: Vec<Diagnostic>,
}

/// What was understood of one part.
#[derive(Debug, Clone, Serialize)]
pub struct PartLine {
    /// Place in the order of removal, from 1.
    pub order: u32,
    /// The line of the text.
    pub line: usize,
    pub section: String,
    /// The name as typed.
    pub name: String,
    pub kind: PartKind,
    pub position: String,
    pub quantity: u32,
    pub fate: Fate,
    /// Its state, where it was said.
    pub condition: Option<Condition>,
    /// What was measured, as typed: `od 16.0 by caliper`.
    pub measured: Vec<String>,
    /// The kind of its gland, where one was described.
    pub gland: Option<String>,
    /// Whether something said of the part could not be read.
    pub faulty: bool,
}

impl NoteText {
    /// Makes a note's text of the bytes of a file.
    pub fn new(place: impl Into<String>, bytes: &[u8], form: NoteForm) -> Self {
        Self {
            place: place.into(),
            text: decode(bytes),
            form,
            folder: PathBuf::from("."),
        }
    }

    /// Says that the pictures which it names lie in the folder of a file.
    #[must_use]
    pub fn beside(mut self, file: &Path) -> Self {
        folder_of(file).clone_into(&mut self.folder);
        self
    }

    /// Reads the note.
    pub fn read(&self) -> NoteReading {
        match self.form {
            NoteForm::Text => read_note(&self.text),
            NoteForm::Csv => read_sheet(&self.text),
        }
    }
}

/// Checks a note; `latest` is the last day that a teardown can have happened on.
pub fn check_note(source: &NoteText, latest: Option<Date>) -> NoteCheck {
    check_reading(source, source.read(), latest)
}

/// Checks a note that was read already.
pub(super) fn check_reading(
    source: &NoteText,
    mut reading: NoteReading,
    latest: Option<Date>,
) -> NoteCheck {
    if let Some(warning) = late_date(&reading.note, latest) {
        reading.diagnostics.insert(0, warning);
    }
    let header = &reading.note.header;
    let entries = reading.note.entries.iter().enumerate();
    let parts = entries.map(|(at, entry)| part_line(entry, reading.faulty.contains(&at)));
    NoteCheck {
        place: source.place.clone(),
        form: source.form,
        sound: reading.is_sound(),
        errors: reading.count(Severity::Error),
        warnings: reading.count(Severity::Warning) + reading.count(Severity::Danger),
        maker: header.maker.clone(),
        model: header.model.clone(),
        unit: header.unit.clone(),
        gear: header.gear,
        date: header.date,
        parts: parts.collect(),
        diagnostics: reading.diagnostics,
    }
}

/// A date in the future is a slip; it belongs to no byte of the text, because the clock is not the text's.
fn late_date(note: &Note, latest: Option<Date>) -> Option<Diagnostic> {
    let (date, latest) = (note.header.date?, latest?);
    (date > latest).then(|| Diagnostic {
        severity: Severity::Warning,
        message: format!("the date of this note, {date}, lies in the future"),
        remedy: Some("check the date, and the clock of this computer".to_owned()),
        span: crate::core::quantity::Span::new(0, 0),
        line: 1,
        column: 1,
        marked: String::new(),
        cell: None,
    })
}

fn part_line(entry: &Entry, faulty: bool) -> PartLine {
    PartLine {
        order: entry.order,
        line: entry.line,
        section: entry.section.clone(),
        name: entry.name.clone(),
        kind: entry.kind,
        position: entry.position.clone(),
        quantity: entry.quantity,
        fate: entry.fate,
        condition: entry.condition.as_ref().map(|c| c.value),
        measured: entry.measured(),
        gland: entry.gland.as_ref().map(|g| g.kind.word().to_owned()),
        faulty,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_date_in_the_future_is_doubted() {
        let text = NoteText::new(
            "x.note",
            b"model Tarn\nunit 1\ndate 2026-03-14\nlengths mm\n[inlet]\nclip ; replace ; od 14\n",
            NoteForm::Text,
        );
        let latest = |day| Date::new(2026, 3, day);
        assert_eq!(check_note(&text, latest(13)).warnings, 1);
        let check = check_note(&text, latest(14));
        assert!(check.sound && check.warnings == 0);
        assert_eq!(check.parts[0].measured, ["od 14"]);
    }
}
