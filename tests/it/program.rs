//! The program started with words, and its answer read.

use serde_json::Value;
use std::process::{Command, Output};

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
