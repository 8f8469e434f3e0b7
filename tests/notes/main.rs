//! The note language from outside: whole notes, right and wrong, and what the command says of them.

mod command;
mod demo;
mod goldens;
mod language;
mod sheet;

use ringwright::app::note_check::{NoteForm, NoteText};
use std::path::{Path, PathBuf};

/// Lists the notes and sheets of a folder, sorted by name.
pub(crate) fn files_of(folder: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut files: Vec<PathBuf> = std::fs::read_dir(&folder)
        .unwrap_or_else(|e| panic!("{}: {e}", folder.display()))
        .map(|entry| entry.expect("a readable folder").path())
        .filter(|path| path.extension().is_some_and(|e| e == "note" || e == "csv"))
        .collect();
    files.sort();
    files
}

/// Reads a file as the command would; the place is the file's name alone.
pub(crate) fn source_of(path: &Path) -> NoteText {
    let name = path
        .file_name()
        .expect("a file")
        .to_string_lossy()
        .into_owned();
    let form = if path.extension().is_some_and(|e| e == "csv") {
        NoteForm::Csv
    } else {
        NoteForm::Text
    };
    let bytes = std::fs::read(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    NoteText::new(name, &bytes, form)
}
