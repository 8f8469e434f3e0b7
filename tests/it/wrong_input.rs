//! A table of wrong commands with the message each gets: exit code 2 or 3, no panic, nothing written.
//!
//! `RINGWRIGHT_BLESS=1 cargo test` writes the messages anew to `wrong_input.txt`; read the difference.

use super::program::{Answer, Workshop};
use std::fmt::Write as _;

/// Wrong commands, one a line, words parted as a shell would; FOLDER stands for a scratch folder that holds `good.note`,
/// `text.book` (no SQLite file), `empty.csv`, `head.csv`, `shop.book` (a sound book).
const COMMANDS: &str = include_str!("wrong_commands.txt");
const GOLDEN: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/it/wrong_input.txt");

fn filled() -> Workshop {
    let shop = Workshop::new();
    shop.write(
        "good.note",
        b"model Tarn\nunit 1\ndate 2026-03-14\nlengths mm\n\n[inlet]\nclip ; replace ; od 13\n",
    );
    shop.write(
        "bad.note",
        b"model Tarn\nunit 2\ndate 2026-03-14\nlengths mm\n\n[inlet]\nclip ; repalce ; od 13\n",
    );
    shop.write("empty.note", b"");
    shop.write("binary.note", &[0xff, 0xfe, 0x00, 0xd8, 0x41]);
    shop.write(
        "text.book",
        b"this is no book at all, only text that stands where one should be\n",
    );
    shop.write("empty.csv", b"");
    shop.write("head.csv", b"case,condition,od_mm\nA,used,twelve\n");
    shop.write("condition.csv", b"case,condition,od_mm\nA,shabby,12.8\n");
    shop.write("column.csv", b"case,colour\nA,black\n");
    shop.write("blank.csv", b"case,od_mm\nA,\n");
    shop
}

fn run(line: &str, shop: &Workshop) -> (Option<i32>, String) {
    let folder = shop.path("");
    let place = folder.to_str().expect("a plain path").trim_end_matches('/');
    let mut command = shop.command(&line.replace("FOLDER", place));
    let answer = Answer::of(command.env("COLUMNS", "100"));
    (answer.code, answer.err.replace(place, "FOLDER"))
}

/// The files of a folder but the parts lists that are kept beside a book: whoever reads a list keeps it, and nothing rests on it.
fn state(shop: &Workshop) -> Vec<(String, Vec<u8>)> {
    let names = shop.names().into_iter();
    let own = names.filter(|name| !name.contains(".book.lists"));
    let read = |name: &str| std::fs::read(shop.path(name)).unwrap_or_default();
    own.map(|name| (name.clone(), read(&name))).collect()
}

#[test]
fn wrong_commands_get_their_message_and_write_nothing() {
    let shop = filled();
    let (code, message) = run("note add FOLDER/good.note", &shop);
    assert_eq!(code, Some(0), "{message}");
    let before = state(&shop);
    let mut table = String::new();
    let mut count = 0;
    for line in COMMANDS
        .lines()
        .filter(|l| !l.is_empty() && !l.starts_with('#'))
    {
        let (code, message) = run(line, &shop);
        assert!(
            matches!(code, Some(2 | 3)),
            "{line}: exit code {code:?}: {message}"
        );
        assert!(!message.contains("panicked"), "{line}: {message}");
        assert!(!message.trim().is_empty(), "{line}: no message");
        let _ = writeln!(
            table,
            "$ ringwright {line}\n[{}]\n{}\n",
            code.unwrap_or(-1),
            message.trim_end()
        );
        count += 1;
    }
    assert!(count >= 40, "only {count} wrong commands");
    let after = state(&shop);
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
