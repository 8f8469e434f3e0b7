//! A table of wrong commands with the message each gets: exit code 2 or 3, no panic, nothing written.
//!
//! `RINGWRIGHT_BLESS=1 cargo test` writes the messages anew to `wrong_input.txt`; read the difference.

use super::program::words;
use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;

/// Wrong commands, one a line, words parted as a shell would; FOLDER stands for a scratch folder that holds `good.note`,
/// `text.book` (no SQLite file), `empty.csv`, `head.csv`, `shop.book` (a sound book).
const COMMANDS: &str = include_str!("wrong_commands.txt");
const GOLDEN: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/it/wrong_input.txt");

fn fill(folder: &Path) {
    let write = |name: &str, text: &[u8]| {
        std::fs::write(folder.join(name), text).expect("the scratch folder can be written");
    };
    write(
        "good.note",
        b"model Tarn\nunit 1\ndate 2026-03-14\nlengths mm\n\n[inlet]\nclip ; replace ; od 13\n",
    );
    write(
        "bad.note",
        b"model Tarn\nunit 2\ndate 2026-03-14\nlengths mm\n\n[inlet]\nclip ; repalce ; od 13\n",
    );
    write("empty.note", b"");
    write("binary.note", &[0xff, 0xfe, 0x00, 0xd8, 0x41]);
    write(
        "text.book",
        b"this is no book at all, only text that stands where one should be\n",
    );
    write("empty.csv", b"");
    write("head.csv", b"case,condition,od_mm\nA,used,twelve\n");
    write("condition.csv", b"case,condition,od_mm\nA,shabby,12.8\n");
    write("column.csv", b"case,colour\nA,black\n");
    write("blank.csv", b"case,od_mm\nA,\n");
}

fn run(line: &str, folder: &Path) -> (i32, String) {
    let place = folder.to_str().expect("a plain path");
    let output = Command::new(env!("CARGO_BIN_EXE_ringwright"))
        .args(words(line).iter().map(|w| w.replace("FOLDER", place)))
        .env("RINGWRIGHT_BOOK", folder.join("shop.book"))
        .env("COLUMNS", "100")
        .env_remove("RUST_BACKTRACE")
        .output()
        .expect("the program starts");
    let message = String::from_utf8_lossy(&output.stderr).replace(place, "FOLDER");
    (output.status.code().unwrap_or(-1), message)
}

/// The files of a folder but the parts lists that are kept beside a book: whoever reads a list keeps it, and nothing rests on it.
fn state(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut files: Vec<(String, Vec<u8>)> = std::fs::read_dir(folder)
        .expect("the scratch folder can be read")
        .map(|entry| {
            let path = entry.expect("an entry").path();
            let bytes = std::fs::read(&path).unwrap_or_default();
            (path.display().to_string(), bytes)
        })
        .filter(|(name, _)| !name.contains(".book.lists"))
        .collect();
    files.sort();
    files
}

#[test]
fn wrong_commands_get_their_message_and_write_nothing() {
    let folder = tempfile::tempdir().expect("a scratch folder");
    fill(folder.path());
    let (code, message) = run("note add FOLDER/good.note", folder.path());
    assert_eq!(code, 0, "{message}");
    let before = state(folder.path());
    let mut table = String::new();
    let mut count = 0;
    for line in COMMANDS
        .lines()
        .filter(|l| !l.is_empty() && !l.starts_with('#'))
    {
        let (code, message) = run(line, folder.path());
        assert!(
            code == 2 || code == 3,
            "{line}: exit code {code}: {message}"
        );
        assert!(!message.contains("panicked"), "{line}: {message}");
        assert!(!message.trim().is_empty(), "{line}: no message");
        let _ = writeln!(
            table,
            "$ ringwright {line}\n[{code}]\n{}\n",
            message.trim_end()
        );
        count += 1;
    }
    assert!(count >= 40, "only {count} wrong commands");
    let after = state(folder.path());
    let written = after.iter().filter(|file| !before.contains(file));
    let written: Vec<&String> = written.map(|(name, _)| name).collect();
    assert!(
        written.is_empty() && before.len() == after.len(),
        "a wrong command wrote {written:?}"
    );
    if std::env::var_os("RINGWRIGHT_BLESS").is_some() {
        std::fs::write(GOLDEN, &table).expect("the golden file can be written");
    }
    let golden = std::fs::read_to_string(GOLDEN).unwrap_or_default();
    assert_eq!(
        table, golden,
        "the messages changed: read them, then RINGWRIGHT_BLESS=1"
    );
}
