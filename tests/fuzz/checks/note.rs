//! The teardown note: text, sheet, and a gland on its own.

use super::lies_in;
use ringwright::core::note::{
    Diagnostic, Note, NoteReading, decode, print, read_gland, read_note, read_sheet,
};
use ringwright::core::quantity::LengthUnit;
use ringwright::render::note_csv;

/// Reads the bytes as a note, as a sheet and as a gland; what is sound must come back from what is printed of it.
pub fn note(data: &[u8]) {
    let text = decode(data);
    for reading in [read_note(&text), read_sheet(&text)] {
        holds(&text, &reading);
        if reading.is_sound() {
            returns_from_text(&reading.note);
            returns_from_sheet(&reading.note);
        }
    }
    for unit in [None, Some(LengthUnit::Mm)] {
        if let Err(faults) = read_gland(&text, unit) {
            assert!(!faults.is_empty(), "refused without a reason: {text:?}");
            places(&text, &faults);
        }
    }
}

fn places(text: &str, diagnostics: &[Diagnostic]) {
    for diagnostic in diagnostics {
        lies_in(diagnostic.span, text);
        assert_eq!(&text[diagnostic.span.range()], diagnostic.marked);
        assert!(diagnostic.line >= 1 && diagnostic.column >= 1);
        assert!(!diagnostic.message.is_empty());
    }
    assert!(diagnostics.is_sorted_by_key(|d| d.span));
}

fn holds(text: &str, reading: &NoteReading) {
    places(text, &reading.diagnostics);
    let entries = reading.note.entries.len();
    assert!(reading.faulty.iter().all(|at| *at < entries));
    assert_eq!(
        reading.sound_parts().entries.len() + reading.faulty.len(),
        entries
    );
    if reading.is_sound() {
        assert!(!reading.note.header.model.is_empty() && !reading.note.header.unit.is_empty());
        assert!(reading.note.entries.iter().all(|e| e.quantity >= 1));
    }
}

/// "Writes a note in its canonical form, which reads back as the same note."
fn returns_from_text(note: &Note) {
    let printed = print(note);
    let again = read_note(&printed);
    assert!(again.is_sound(), "{printed}\n{:#?}", again.diagnostics);
    assert_eq!(print(&again.note), printed);
    assert_eq!(again.note.without_lines(), note.clone().without_lines());
}

/// "Lays a note out as rows, which `read_sheet` reads back as the same note without its comments."
fn returns_from_sheet(note: &Note) {
    let csv = note_csv(note);
    let again = read_sheet(&csv);
    assert!(again.is_sound(), "{csv}\n{:#?}", again.diagnostics);
    assert_eq!(note_csv(&again.note), csv);
    assert_eq!(without_comments(&again.note), without_comments(note));
}

fn without_comments(note: &Note) -> Note {
    let mut note = note.clone().without_lines();
    note.header.comments.clear();
    note.closing_comments.clear();
    for entry in &mut note.entries {
        entry.comments.clear();
    }
    note
}
