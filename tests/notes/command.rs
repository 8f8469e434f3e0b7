//! `ringwright note` as a person runs it.

use std::io::Write;
use std::process::{Command, Output, Stdio};

fn note(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ringwright"))
        .arg("note")
        .args(words)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdin(Stdio::null())
        .output()
        .expect("runs")
}

/// Checks one of the wrong or right notes as a file of its own.
fn check(name: &str, words: &[&str]) -> Output {
    let source = super::wrong_notes()
        .map(|(source, _)| source)
        .chain(super::right_notes())
        .find(|source| source.place == name)
        .expect("a note of that name");
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join(name);
    std::fs::write(&path, source.text).expect("writes");
    let path = path.to_str().expect("UTF-8");
    note(&[&["check", path][..], words].concat())
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

#[test]
fn a_wrong_note_ends_with_two_and_a_sound_one_with_nought() {
    let wrong = check("said_twice.note", &[]);
    assert_eq!(wrong.status.code(), Some(2));
    assert!(wrong.stdout.is_empty());
    assert!(
        text(&wrong.stderr).contains("3 errors in"),
        "{}",
        text(&wrong.stderr)
    );
    let doubtful = check("doubtful_but_sound.note", &[]);
    assert_eq!(doubtful.status.code(), Some(0));
    assert!(
        text(&doubtful.stdout).contains("Sound, ") && text(&doubtful.stderr).contains("warning: ")
    );
    let sound = check("first_example.note", &[]);
    assert_eq!((sound.status.code(), sound.stderr.len()), (Some(0), 0));
}

#[test]
fn the_machine_form_of_a_wrong_note_goes_to_standard_output_and_ends_with_two() {
    let output = check("fate_misspelled.note", &["--format", "json"]);
    assert_eq!(output.status.code(), Some(2));
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(json["sound"], false);
    assert_eq!(json["diagnostics"][0]["severity"], "error");
    assert_eq!(json["diagnostics"][0]["line"], 7);
    assert_eq!(json["diagnostics"][0]["marked"], "repalce");
    let csv = check("fate_misspelled.note", &["--format", "csv"]);
    assert!(text(&csv.stdout).starts_with("place,line,column,"));
}

#[test]
fn a_sheet_is_known_by_its_ending_or_by_the_flag() {
    assert_eq!(check("sheet.csv", &[]).status.code(), Some(0));
    assert_eq!(check("sheet.csv", &["--csv"]).status.code(), Some(0));
    assert_eq!(check("inches.note", &["--csv"]).status.code(), Some(2));
}

#[test]
fn a_template_checks_as_sound_through_standard_input() {
    for kind in ["first-stage", "second-stage"] {
        let template = note(&["template", kind]);
        assert_eq!(template.status.code(), Some(0));
        let mut child = Command::new(env!("CARGO_BIN_EXE_ringwright"))
            .args(["note", "check", "-"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("runs");
        child
            .stdin
            .take()
            .expect("piped")
            .write_all(&template.stdout)
            .expect("writes");
        let output = child.wait_with_output().expect("ends");
        assert_eq!(output.status.code(), Some(0));
        assert!(output.stderr.is_empty(), "{}", text(&output.stderr));
    }
    assert_eq!(note(&["template", "third-stage"]).status.code(), Some(2));
}

#[test]
fn a_file_that_is_not_there_is_wrong_input() {
    let output = note(&["check", "no/such.note"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("cannot be read"));
}
