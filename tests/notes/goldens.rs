//! Every wrong note beside the message it gets, in `wrong.txt`. `RINGWRIGHT_BLESS=1 cargo test --test it notes` writes the messages anew.

use super::{WRONG, demo_notes, right_notes, wrong_notes};
use ringwright::app::note::check::check_note;
use ringwright::core::note::print;
use ringwright::render::marked_lines;
use std::fmt::Write as _;
use std::path::Path;

#[test]
fn every_wrong_note_gets_the_message_that_stands_below_it() {
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/notes/wrong.txt");
    let head = WRONG.split("==== ").next().unwrap_or_default();
    let mut table = head.to_owned();
    let mut differing = Vec::new();
    let mut count = 0;
    for (source, message) in wrong_notes() {
        let check = check_note(&source, None);
        assert!(
            !check.diagnostics.is_empty(),
            "{} is found faultless",
            source.place
        );
        let shown = format!(
            "{}\n\n{}\n",
            marked_lines(&source.place, &source.text, &check.diagnostics),
            check.verdict_words()
        );
        if message != shown {
            differing.push(format!("{}:\n{shown}", source.place));
        }
        let _ = write!(table, "==== {}\n{}----\n{shown}", source.place, source.text);
        count += 1;
    }
    assert!(count >= 52, "{count} wrong notes");
    if std::env::var_os("RINGWRIGHT_BLESS").is_some() {
        std::fs::write(&golden, &table).expect("a writable folder");
        return;
    }
    assert!(differing.is_empty(), "{}", differing.join("\n"));
}

#[test]
fn only_the_doubtful_notes_of_the_wrong_ones_are_sound() {
    let sound: Vec<String> = wrong_notes()
        .map(|(source, _)| check_note(&source, None))
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
    for source in right_notes().chain(demo_notes()) {
        let (reading, place) = (source.read(), source.place);
        assert!(reading.is_sound(), "{place}: {:#?}", reading.diagnostics);
        let printed = print(&reading.note);
        let again = ringwright::core::note::read_note(&printed);
        assert!(again.is_sound(), "{printed}\n{:#?}", again.diagnostics);
        assert_eq!(
            again.note.clone().without_lines(),
            reading.note.without_lines(),
            "{place}"
        );
        assert_eq!(print(&again.note), printed, "{place}");
    }
}
