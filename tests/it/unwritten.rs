//! Answers that cannot be written: the exit code says that the work is done, so that no script does it twice.

use super::program::at_book;
use std::fs::File;
use std::path::Path;
use std::process::Output;

fn run(book: &Path, line: &str, out: Option<File>) -> Output {
    let mut command = at_book(book, line);
    if let Some(out) = out {
        command.stdout(out);
    }
    command.output().expect("the program runs")
}

/// A device on which nothing can be written, as a full disk.
fn full() -> File {
    File::options()
        .write(true)
        .open("/dev/full")
        .expect("every Linux has it")
}

#[test]
fn work_whose_answer_is_lost_is_done_and_the_exit_code_says_so() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("demo.book");
    for line in ["demo", "stock add AS568-012 --bin A --quantity 5"] {
        assert_eq!(run(&book, line, None).status.code(), Some(0), "{line}");
    }
    for line in [
        "stock take AS568-012 --quantity 2 --bin A",
        "job open \"Tarn 2\" FT2-004417 --by Ada",
    ] {
        let output = run(&book, line, Some(full()));
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(4), "{line}: {said}");
        assert!(said.contains("the command itself is done"), "{said}");
        assert!(said.contains("do not give it again"), "{said}");
    }
    let shelf = run(&book, "stock list AS568-012 --format csv", None);
    let shelf = String::from_utf8(shelf.stdout).expect("text");
    assert!(shelf.contains(",3,"), "two were taken once: {shelf}");
    let jobs = run(&book, "job list --format csv", None);
    let jobs = String::from_utf8(jobs.stdout).expect("text");
    assert_eq!(jobs.matches("FT2-004417").count(), 1, "{jobs}");
    // A short answer is lost at the end, a batch at its first block.
    std::fs::write(folder.path().join("rings.csv"), "case,od_mm\nA,12.8\n").expect("writes");
    let batch = run(&book, "ring --batch rings.csv --format csv", Some(full()));
    assert_eq!(batch.status.code(), Some(4));
    let help = run(&book, "--help", None);
    let help = String::from_utf8(help.stdout).expect("text");
    assert!(help.contains("4 the answer could not be written"), "{help}");
}
