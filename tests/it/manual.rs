//! `manual`: a page for every command, and completions that shells can read.

use super::program::{json, run};
use std::process::Command;

#[test]
fn every_command_has_a_page_and_the_completions_can_be_read_by_their_shell() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("new/manual");
    let (code, written) = json(&["manual", "--out", &out.display().to_string()]);
    assert_eq!(code, Some(0));
    let pages = written["pages"].as_array().expect("pages");
    let help = String::from_utf8(run(&["--help"]).stdout).expect("words");
    let commands = help
        .lines()
        .take_while(|line| !line.starts_with("Options:"))
        .filter_map(|line| line.strip_prefix("  "))
        .filter_map(|line| line.split_whitespace().next());
    let mut count = 0;
    for word in commands {
        let name = format!("ringwright-{word}.1");
        assert!(pages.iter().any(|page| *page == name), "{name}");
        let text = std::fs::read_to_string(out.join(&name)).expect("a page");
        assert!(text.contains(".SH SYNOPSIS"), "{text}");
        count += 1;
    }
    assert_eq!(count, 22, "{help}");
    for (name, says) in [("guide", "ring scan calibrate"), ("words", "squeeze")] {
        let name = format!("ringwright-{name}.7");
        assert!(pages.iter().any(|page| *page == name), "{name}");
        let text = std::fs::read_to_string(out.join(&name)).expect("a page");
        assert!(text.contains(".SH NAME") && text.contains(says), "{text}");
    }
    let read = Command::new("bash")
        .arg("-n")
        .arg(out.join("ringwright.bash"))
        .status()
        .expect("bash runs");
    assert!(read.success());
}

#[test]
fn a_folder_that_cannot_be_made_is_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("a file");
    std::fs::write(&file, "x").expect("writes");
    let shown = run(&["manual", "--out", &file.join("below").display().to_string()]);
    assert_eq!(shown.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&shown.stderr).contains("a file"));
}
