//! Every wrong note beside the message it gets. `RINGWRIGHT_BLESS=1 cargo test --test notes` writes the messages anew.

use super::{files_of, source_of};
use ringwright::app::note_check::check_note;
use ringwright::core::note::print;
use ringwright::render::marked_lines;

#[test]
fn every_wrong_note_gets_the_message_that_stands_beside_it() {
    let files = files_of("tests/notes/wrong");
    assert!(files.len() >= 25, "{} wrong notes", files.len());
    let mut differing = Vec::new();
    for path in files {
        let source = source_of(&path);
        let check = check_note(&source, None);
        assert!(
            !check.diagnostics.is_empty(),
            "{} is found faultless",
            path.display()
        );
        let shown = format!(
            "{}\n\n{}\n",
            marked_lines(&source.place, &source.text, &check.diagnostics),
            check.verdict_words()
        );
        let golden = path.with_extension("txt");
        if std::env::var_os("RINGWRIGHT_BLESS").is_some() {
            std::fs::write(&golden, &shown).expect("a writable folder");
        }
        if std::fs::read_to_string(&golden).unwrap_or_default() != shown {
            differing.push(format!("{}:\n{shown}", path.display()));
        }
    }
    assert!(differing.is_empty(), "{}", differing.join("\n"));
}

#[test]
fn only_the_doubtful_notes_of_the_wrong_ones_are_sound() {
    let sound: Vec<String> = files_of("tests/notes/wrong")
        .iter()
        .map(|path| check_note(&source_of(path), None))
        .filter(|check| check.sound)
        .map(|check| check.place)
        .collect();
    assert_eq!(
        sound,
        [
            "doubtful_but_sound.note",
            "gland_that_cannot_be.note",
            "size_in_mm_typed_in_a_note_of_inches.note"
        ]
    );
}

#[test]
fn every_right_note_is_sound_and_its_canonical_form_is_a_fixed_point() {
    for path in files_of("tests/notes/right")
        .into_iter()
        .chain(files_of("data/demo/notes"))
    {
        let reading = source_of(&path).read();
        assert!(
            reading.is_sound(),
            "{}: {:#?}",
            path.display(),
            reading.diagnostics
        );
        let printed = print(&reading.note);
        let again = ringwright::core::note::read_note(&printed);
        assert!(again.is_sound(), "{printed}\n{:#?}", again.diagnostics);
        assert_eq!(
            again.note.clone().without_lines(),
            reading.note.without_lines(),
            "{}",
            path.display()
        );
        assert_eq!(print(&again.note), printed, "{}", path.display());
    }
}
