//! `ringwright note` as a person runs it.

use crate::program::{Answer, Workshop, run};

/// Checks one of the wrong or right notes as a file of its own.
fn check(name: &str, flags: &str) -> Answer {
    let source = super::wrong_notes()
        .map(|(source, _)| source)
        .chain(super::right_notes())
        .find(|source| source.place == name)
        .expect("a note of that name");
    let shop = Workshop::new();
    shop.write(name, source.text);
    shop.run(&format!("note check {name} {flags}"))
}

#[test]
fn a_wrong_note_ends_with_two_and_a_sound_one_with_nought() {
    let wrong = check("said_twice.note", "");
    assert_eq!(wrong.code, Some(2));
    assert!(wrong.out.is_empty());
    assert!(wrong.err.contains("3 errors in"), "{}", wrong.err);
    let doubtful = check("doubtful_but_sound.note", "");
    assert_eq!(doubtful.code, Some(0));
    assert!(doubtful.out.contains("Sound, ") && doubtful.err.contains("warning: "));
    let sound = check("first_example.note", "");
    assert_eq!((sound.code, sound.err.len()), (Some(0), 0));
}

#[test]
fn the_machine_form_of_a_wrong_note_goes_to_standard_output_and_ends_with_two() {
    let output = check("fate_misspelled.note", "--format json");
    assert_eq!(output.code, Some(2));
    let json = output.json();
    assert_eq!(json["sound"], false);
    assert_eq!(json["diagnostics"][0]["severity"], "error");
    assert_eq!(json["diagnostics"][0]["line"], 7);
    assert_eq!(json["diagnostics"][0]["marked"], "repalce");
    let csv = check("fate_misspelled.note", "--format csv");
    assert!(csv.out.starts_with("place,line,column,"));
}

#[test]
fn a_sheet_is_known_by_its_ending_or_by_the_flag() {
    assert_eq!(check("sheet.csv", "").code, Some(0));
    assert_eq!(check("sheet.csv", "--csv").code, Some(0));
    assert_eq!(check("inches.note", "--csv").code, Some(2));
}

#[test]
fn a_template_checks_as_sound_through_standard_input() {
    for kind in ["first-stage", "second-stage"] {
        let template = run(&format!("note template {kind}"));
        assert_eq!(template.code, Some(0));
        let output = Workshop::new().typed("note check -", &template.out);
        assert_eq!(output.code, Some(0));
        assert!(output.err.is_empty(), "{}", output.err);
    }
    assert_eq!(run("note template third-stage").code, Some(2));
}

#[test]
fn a_file_that_is_not_there_is_wrong_input() {
    let output = run("note check no/such.note");
    assert_eq!(output.code, Some(2));
    assert!(output.err.contains("cannot be read"));
}
