//! `manual`: a page for every command, and completions that shells can read.

use super::program::{Workshop, items};
use std::process::Command;

#[test]
fn every_command_has_a_page_and_the_completions_can_be_read_by_their_shell() {
    let shop = Workshop::new();
    let out = shop.path("new/manual");
    let (code, written) = shop.coded("manual --out new/manual");
    assert_eq!(code, Some(0));
    let pages = items(&written["pages"]);
    let help = shop.done("--help").out;
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
    let shop = Workshop::new();
    shop.write("a file", "x");
    let shown = shop.run("manual --out 'a file/below'");
    assert_eq!(shown.code, Some(2));
    assert!(shown.out.is_empty(), "{}", shown.shown());
    assert!(shown.err.contains("a file"));
}
