//! The note language from outside: whole notes, right and wrong, and what the command says of them.

mod command;
mod demo;
mod goldens;
mod language;
mod sheet;

use ringwright::app::note::check::{NoteForm, NoteText};
use std::path::Path;

/// The wrong notes, each with its message.
const WRONG: &str = include_str!("wrong.txt");

/// Gives the notes of a text file whose lines of equals signs name them, each as the command would read it, with what
/// stands below its line of dashes.
fn notes_of(file: &'static str) -> impl Iterator<Item = (NoteText, &'static str)> {
    file.split("==== ").skip(1).map(|block| {
        let (head, rest) = block.split_once('\n').expect("a name");
        let (text, below) = rest.split_once("----\n").unwrap_or((rest, ""));
        let Some(name) = head.strip_suffix(" CRLF") else {
            return (note_text(head, text.as_bytes()), below);
        };
        let text = format!("\u{feff}{}", text.replace('\n', "\r\n"));
        (note_text(name, text.as_bytes()), below)
    })
}

/// Gives each wrong note with its message.
pub(crate) fn wrong_notes() -> impl Iterator<Item = (NoteText, &'static str)> {
    notes_of(WRONG)
}

/// Gives the right notes and sheets.
pub(crate) fn right_notes() -> impl Iterator<Item = NoteText> {
    notes_of(include_str!("right.txt")).map(|(note, _)| note)
}

/// Gives the notes of the demo, sorted by name.
pub(crate) fn demo_notes() -> Vec<NoteText> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/demo/notes");
    let mut notes: Vec<NoteText> = std::fs::read_dir(&folder)
        .unwrap_or_else(|e| panic!("{}: {e}", folder.display()))
        .map(|entry| entry.expect("a readable folder"))
        .map(|entry| {
            let name = entry.file_name().into_string().expect("UTF-8");
            note_text(&name, &std::fs::read(entry.path()).expect("a note"))
        })
        .collect();
    notes.sort_by(|one, other| one.place.cmp(&other.place));
    notes
}

/// Tells by its ending whether it is a sheet.
fn note_text(name: &str, bytes: &[u8]) -> NoteText {
    let form = if Path::new(name).extension().is_some_and(|e| e == "csv") {
        NoteForm::Csv
    } else {
        NoteForm::Text
    };
    NoteText::new(name, bytes, form)
}
