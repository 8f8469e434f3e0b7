//! Adding notes: whole, in part, twice, and in place of another.

use super::rows::named;
use super::sample::place;
use ringwright::app::note::add::{AddOptions, AddOutcome, NoteAddError, NotesAdded, add_notes};
use ringwright::app::note::check::{NoteForm, NoteText};
use ringwright::app::note::list::list_notes;
use ringwright::app::note::show::{NoteQuestion, NoteShown, show_note};
use ringwright::core::note::{Template, read_note};
use ringwright::store::{BookPlace, StoreError};

const NOTE: &str = "\
model   Fellwater Tarn 2
unit    FT2-1
date    2026-03-14
gas     air
supply  200 bar
lengths mm

[inlet]
filter disc ; replace ; od 14.9 ; thick 2.8
o-ring ; at filter seat ; replace ; used ; od 12.80 12.85 by caliper ; cs 1.72 by flat
";

fn text(text: &str) -> NoteText {
    NoteText::new("tarn.note", text.as_bytes(), NoteForm::Text)
}

fn options() -> AddOptions {
    AddOptions {
        added_at: "2026-03-15T10:00:00Z".to_owned(),
        ..AddOptions::default()
    }
}

fn added(place: &BookPlace, note: &str, options: &AddOptions) -> Result<NotesAdded, NoteAddError> {
    add_notes(place, &[text(note)], options)
}

fn outcome(place: &BookPlace, note: &str, options: &AddOptions) -> AddOutcome {
    added(place, note, options)
        .unwrap_or_else(|e| panic!("{e}"))
        .notes[0]
        .outcome
}

fn shown(place: &BookPlace, unit: &str) -> NoteShown {
    let question = NoteQuestion {
        unit: unit.to_owned(),
        model: None,
        date: None,
    };
    show_note(place, &question).expect("reads")
}

fn count(place: &BookPlace, history: bool) -> usize {
    list_notes(place, None, history).expect("reads").notes.len()
}

#[test]
fn a_note_is_kept_with_its_text_its_canonical_form_and_what_was_typed() {
    let (_folder, place) = place();
    let report = added(&place, NOTE, &options()).expect("adds");
    let ring = &report.notes[0].rings[0];
    assert_eq!(ring.codes[0], "AS568-012");
    assert!(ring.probability.is_some_and(|p| p > 0.0 && p < 1.0));
    let shown = shown(&place, "ft2-1");
    assert_eq!(shown.original, NOTE);
    assert_eq!(shown.canonical, ringwright::core::note::print(&shown.note));
    assert_eq!(
        shown.note.clone().without_lines(),
        read_note(NOTE).note.without_lines(),
        "the rows say what the text says"
    );
    assert_eq!(
        shown.note.entries[1].readings[0].typed,
        "12.80 12.85 by caliper"
    );
    assert!(shown.history.is_empty());
}

#[test]
fn every_template_goes_into_a_book_and_comes_out_of_it() {
    for template in [
        Template::FirstStage,
        Template::SecondStage,
        Template::GasRegulator,
    ] {
        let (_folder, place) = place();
        added(&place, template.text(), &options()).expect("adds");
        let note = read_note(template.text()).note;
        let shown = shown(&place, &note.header.unit);
        assert_eq!(shown.note.clone().without_lines(), note.without_lines());
    }
}

#[test]
fn the_same_note_twice_changes_nothing() {
    let (_folder, place) = place();
    assert_eq!(outcome(&place, NOTE, &options()), AddOutcome::Added);
    let before = std::fs::read(place.path()).expect("reads");
    assert_eq!(outcome(&place, NOTE, &options()), AddOutcome::AlreadyThere);
    // Laid out in another way, it says the same.
    let spaced = NOTE.replace("  ", "   ").replace(" ; ", ";");
    assert_eq!(
        outcome(&place, &spaced, &options()),
        AddOutcome::AlreadyThere
    );
    assert!(std::fs::read(place.path()).expect("reads") == before);
    assert_eq!(count(&place, true), 1);
}

#[test]
fn a_changed_note_asks_before_it_replaces_and_keeps_the_former_text() {
    let (_folder, place) = place();
    outcome(&place, NOTE, &options());
    let changed = NOTE.replace("thick 2.8", "thick 3.1");
    let before = std::fs::read(place.path()).expect("reads");
    let error = added(&place, &changed, &options()).expect_err("another note is there");
    assert!(matches!(error, NoteAddError::Different { .. }), "{error}");
    assert!(error.to_string().contains("--replace"), "{error}");
    assert!(std::fs::read(place.path()).expect("reads") == before);
    let replace = AddOptions {
        replace: true,
        ..options()
    };
    assert_eq!(outcome(&place, &changed, &replace), AddOutcome::Replaced);
    let shown = shown(&place, "FT2-1");
    assert_eq!(shown.original, changed);
    assert_eq!(shown.history.len(), 1);
    assert_eq!(shown.history[0].original, NOTE);
    assert_eq!((count(&place, false), count(&place, true)), (1, 2));
    let later = NOTE.replace("2026-03-14", "2026-05-01");
    assert_eq!(outcome(&place, &later, &options()), AddOutcome::Added);
    assert_eq!(count(&place, false), 2);
}

#[test]
fn an_unsound_note_stores_nothing_unless_its_sound_parts_are_enough() {
    let (folder, place) = place();
    let broken = NOTE.replace("thick 2.8", "thick 2.8 parsecs");
    let error = added(&place, &broken, &options()).expect_err("not sound");
    let NoteAddError::Unsound(unsound) = error else {
        panic!("{error}");
    };
    assert!(unsound.has_sound_parts);
    assert!(!unsound.check.diagnostics.is_empty());
    assert!(
        std::fs::read_dir(folder.path())
            .expect("a folder")
            .next()
            .is_none(),
        "not even an empty book is made"
    );
    let partial = AddOptions {
        partial: true,
        ..options()
    };
    let report = added(&place, &broken, &partial).expect("adds the rest");
    assert_eq!(report.notes[0].parts, 1);
    assert!(report.notes[0].left_out > 0);
    let shown = shown(&place, "FT2-1");
    assert_eq!(shown.original, broken, "the whole text is kept");
    assert!(shown.unread_lines > 0);
    assert_eq!(shown.note.entries[0].order, 2, "the order keeps its gap");
}

#[test]
fn a_note_without_model_or_unit_is_stored_under_no_option() {
    let (_folder, place) = place();
    let partial = AddOptions {
        partial: true,
        ..options()
    };
    let nameless = NOTE.replace("unit    FT2-1\n", "");
    let error = added(&place, &nameless, &partial).expect_err("whose note is it?");
    assert!(matches!(error, NoteAddError::Unsound(_)), "{error}");
    assert!(!place.path().exists());
}

#[test]
fn of_several_notes_all_are_stored_or_none() {
    let (_folder, place) = place();
    let second = NOTE.replace("FT2-1", "FT2-2");
    let broken = NOTE.replace("FT2-1", "FT2-3").replace("od 14.9", "od");
    let error = add_notes(
        &place,
        &[text(NOTE), text(&second), text(&broken)],
        &options(),
    )
    .expect_err("the third is broken");
    assert!(matches!(error, NoteAddError::Unsound(_)), "{error}");
    assert!(!place.path().exists());
    add_notes(&place, &[text(NOTE), text(&second)], &options()).expect("adds both");
    // The first is there already, the second differs from what is there: nothing of the third is kept either.
    let third = NOTE.replace("FT2-1", "FT2-3");
    let changed = second.replace("thick 2.8", "thick 3.1");
    add_notes(
        &place,
        &[text(NOTE), text(&third), text(&changed)],
        &options(),
    )
    .expect_err("the last needs --replace");
    assert_eq!(count(&place, true), 2);
}

#[test]
fn a_model_that_looks_misspelt_is_doubted_and_a_numbered_one_is_not() {
    let (_folder, place) = place();
    let add = |model: &str, unit: &str| {
        let note = NOTE
            .replace("Fellwater Tarn 2", model)
            .replace("FT2-1", unit);
        let report = added(&place, &note, &options()).expect("adds");
        report.notes[0].warnings.clone()
    };
    assert!(add("Fellwater Tarn 2", "1").is_empty());
    assert!(add("Fellwater Tarn", "2").is_empty());
    let warnings = add("Fellwater Tran 2", "3");
    assert!(
        warnings
            .iter()
            .any(|w| w.contains("differs by a letter or two")),
        "{warnings:?}"
    );
}

#[test]
fn a_missing_unit_is_answered_with_what_comes_near() {
    let (_folder, place) = place();
    added(&place, NOTE, &options()).expect("adds");
    let question = NoteQuestion {
        unit: "FT2-2".to_owned(),
        model: None,
        date: None,
    };
    let Err(StoreError::NotFound(missing)) = show_note(&place, &question) else {
        panic!("there is no such unit");
    };
    assert_eq!(missing.near, ["FT2-1"]);
}

#[test]
fn every_ring_keeps_its_identification_with_alternatives() {
    let (_folder, place) = place();
    added(&place, NOTE, &options()).expect("adds");
    let made = named(&place);
    let [made] = made.as_slice() else {
        panic!("a filter is no ring, and the ring was named: {made:?}");
    };
    assert_eq!(made.removal, 2);
    assert!(made.made_by.starts_with("ringwright "));
    let candidates = &made.candidates;
    assert!(candidates.len() > 1);
    assert!(candidates[0].codes.contains(&"AS568-012".to_owned()));
    let sum: f64 = candidates.iter().map(|c| c.probability).sum();
    assert!(sum + made.unlisted_probability <= 1.0 + 1e-9);
}

#[test]
fn a_note_that_goes_through_a_spreadsheet_is_the_same_note() {
    let (_folder, place) = place();
    added(&place, NOTE, &options()).expect("adds");
    let sheet = ringwright::render::note_csv(&shown(&place, "FT2-1").note);
    let source = NoteText::new("tarn.csv", sheet.as_bytes(), NoteForm::Csv);
    let report = add_notes(&place, &[source], &options()).expect("reads");
    assert_eq!(report.notes[0].outcome, AddOutcome::AlreadyThere);
}
