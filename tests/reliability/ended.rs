//! A command that is asked to end while it puts a file in its place.

use crate::workshop::{Workshop, furnish};
use std::fs;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// The process that writes a file of a folder, by the name of its part; `None` where none does.
fn writer_of(workshop: &Workshop, name: &str) -> Option<String> {
    let begin = format!(".{name}.");
    let names = fs::read_dir(workshop.path("")).expect("lists").flatten();
    names
        .filter_map(|entry| entry.file_name().into_string().ok())
        .find_map(|found| {
            let number = found.strip_prefix(&begin)?.strip_suffix(".part")?;
            Some(number.to_owned())
        })
}

#[test]
fn a_request_to_end_waits_for_the_file_and_leaves_no_part_of_it() {
    if Command::new("strace").arg("--version").output().is_err() {
        println!("skipped: the moment is held open by strace, which is not installed");
        return;
    }
    let workshop = Workshop::new();
    furnish(&workshop);
    let program = workshop.command(&["sheet", "book", "--out", "book.html"]);
    // Each sync takes a second, so that the request comes while the part lies there.
    let mut slow = Command::new("strace");
    slow.args([
        "-qq",
        "-o",
        "/dev/null",
        "-e",
        "trace=fsync",
        "-e",
        "inject=fsync:delay_enter=1000000",
    ])
    .arg(program.get_program())
    .args(program.get_args())
    .current_dir(workshop.path(""))
    .env("RINGWRIGHT_BOOK", workshop.book())
    .stdout(Stdio::null());
    let mut running = slow.spawn().expect("starts");
    let begun = Instant::now();
    let writer = loop {
        if let Some(writer) = writer_of(&workshop, "book.html") {
            break writer;
        }
        assert!(
            begun.elapsed() < Duration::from_secs(120),
            "no part appears"
        );
        std::thread::sleep(Duration::from_millis(2));
    };
    let asked = Command::new("kill").args(["-TERM", &writer]).status();
    assert!(asked.expect("runs").success());
    let ended = running.wait().expect("ends");
    assert!(!ended.success(), "it ends by the signal: {ended}");
    assert_eq!(writer_of(&workshop, "book.html"), None, "no part stays");
    let page = fs::read_to_string(workshop.path("book.html")).expect("the file is there");
    assert!(page.ends_with("</html>\n"), "whole");
}
