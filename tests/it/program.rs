//! The program started with words, and its answer read.

use serde_json::Value;
use std::path::Path;
use std::process::{Command, Output};
use std::sync::OnceLock;

/// Runs the program without a book of the surroundings, everything of its answer shown.
pub(crate) fn run(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ringwright"))
        .arg("--full")
        .args(words)
        .env_remove("RINGWRIGHT_BOOK")
        .output()
        .expect("the program runs")
}

/// Runs the program and reads its answer as JSON.
pub(crate) fn json(words: &[&str]) -> (Option<i32>, Value) {
    let words: Vec<&str> = words.iter().copied().chain(["--format", "json"]).collect();
    let output = run(&words);
    let value = serde_json::from_slice(&output.stdout).unwrap_or_else(|e| {
        panic!(
            "{words:?}: {e}: {}",
            String::from_utf8_lossy(&output.stderr)
        )
    });
    (output.status.code(), value)
}

/// The words that import a price list of the supplier Harbour.
pub(crate) fn import_words<'w>(file: &'w str, date: &'w str, book: &'w str) -> [&'w str; 13] {
    [
        "offer",
        "import",
        file,
        "--supplier",
        "Harbour",
        "--currency",
        "EUR",
        "--tax",
        "excluded",
        "--date",
        date,
        "--book",
        book,
    ]
}

/// Parts a line into words; double quotes hold a word with spaces together, \" stands for a quote.
pub(crate) fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word = String::new();
    let (mut quoted, mut begun) = (false, false);
    let mut chars = line.chars();
    while let Some(c) = chars.next() {
        match c {
            '\\' => word.extend(chars.next()),
            '"' => {
                quoted = !quoted;
                begun = true;
            }
            ' ' if !quoted => {
                if begun || !word.is_empty() {
                    words.push(std::mem::take(&mut word));
                }
                begun = false;
            }
            _ => word.push(c),
        }
    }
    if begun || !word.is_empty() {
        words.push(word);
    }
    words
}

/// Runs the program with the words of a line.
pub(crate) fn run_line(line: &str) -> Output {
    let words = words(line);
    run(&words.iter().map(String::as_str).collect::<Vec<_>>())
}

/// Runs the program with the words of a line and reads its answer as JSON.
pub(crate) fn json_line(line: &str) -> (Option<i32>, Value) {
    let words = words(line);
    json(&words.iter().map(String::as_str).collect::<Vec<_>>())
}

/// Makes ready to run the program with the words of a line, in the folder of a book.
pub(crate) fn at_book(book: &Path, line: &str) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_ringwright"));
    command
        .args(words(line))
        .current_dir(book.parent().expect("a folder"))
        .env("RINGWRIGHT_BOOK", book)
        .env_remove("COLUMNS");
    command
}

/// Runs the program with the words of a line, in the folder of a book, everything of its answer shown.
pub(crate) fn run_at(book: &Path, line: &str) -> Output {
    let mut command = at_book(book, line);
    command.arg("--full").output().expect("the program runs")
}

/// Lays the demo book at a place: a copy of one that the program made once, because making it takes a second.
pub(crate) fn lay_demo(book: &Path) {
    static MADE: OnceLock<Vec<u8>> = OnceLock::new();
    let made = MADE.get_or_init(|| {
        let folder = tempfile::tempdir().expect("a folder");
        let book = folder.path().join("demo.book");
        let made = run_at(&book, "demo");
        assert!(made.status.success(), "{made:?}");
        std::fs::read(&book).expect("a book")
    });
    std::fs::write(book, made).expect("laid");
}
