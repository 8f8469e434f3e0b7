//! The commands of the book as a person runs them: exit codes, messages, several processes at once.

use crate::program::{Answer, Workshop, find, items};
use std::os::unix::fs::PermissionsExt;
use std::os::unix::process::CommandExt;
use std::path::Path;
use std::process::{Child, Command};
use std::time::Instant;

fn note(unit: &str) -> String {
    format!(
        "model Fellwater Tarn 2\nunit {unit}\ndate 2026-03-14\nlengths mm\n[inlet]\no-ring ; at plug ; replace ; od 12.8 by caliper ; cs 1.72 by flat\n"
    )
}

#[test]
fn the_first_note_makes_the_book_in_the_data_folder() {
    let shop = Workshop::new();
    let run = |line: &str| Answer::of(shop.command(line).env_remove("RINGWRIGHT_BOOK"));
    let path = run("book path");
    assert_eq!(path.code, Some(0));
    assert!(path.out.contains("no book there yet"), "{}", path.out);
    let list = run("note list");
    assert_eq!(list.code, Some(3));
    assert!(
        list.err.contains("there is no book at") && list.err.contains("demo"),
        "{}",
        list.err
    );
    shop.write("1.note", note("1"));
    let added = run("note add 1.note");
    assert_eq!(added.code, Some(0), "{}", added.err);
    assert!(added.out.contains("AS568-012"), "{}", added.out);
    assert!(shop.path("ringwright/shop.book").is_file());
    let parts = run("parts 'tarn 2'");
    assert_eq!(parts.code, Some(0));
    let out = parts.out;
    assert!(
        out.contains("AS568-012") && out.contains("CAUTION"),
        "{out}"
    );
}

#[test]
fn an_unknown_model_is_answered_no_with_the_near_names() {
    let shop = Workshop::demo();
    for line in ["parts Tran", "model show Tran", "note list --model Tran"] {
        let Answer { code, out, .. } = shop.run(line);
        assert_eq!(code, Some(1), "{line}");
        assert!(out.contains("Fellwater Apparatus Tarn"), "{out}");
    }
    assert_eq!(shop.run("note show FT-99").code, Some(1));
    let Answer { code, out, .. } = shop.run("note show FT-000311 --format csv");
    assert_eq!(code, Some(0));
    assert!(
        out.starts_with("maker,model,unit") || out.contains("model"),
        "{out}"
    );
}

#[test]
fn wrong_input_and_unusable_books_have_their_exit_codes() {
    let shop = Workshop::new();
    shop.write("1.note", note("1"));
    shop.write("broken.note", note("2").replace("od 12.8", "od twelve"));
    shop.write("letter.txt", "dear sir\n");
    for (line, wanted, message) in [
        ("note add broken.note", 2, "nothing was stored"),
        ("note add missing.note", 2, "cannot be read"),
        ("note add 1.note", 0, ""),
        ("note add 1.note --book letter.txt", 3, "is not a book"),
        (
            "note add 1.note --book no/such/folder/x.book",
            3,
            "make it first",
        ),
        ("note list --book .", 3, "is a folder"),
        ("parts 'tarn 2' --units 0", 2, "--units"),
        ("parts 'tarn 2' --enriched-above 10", 2, "share of oxygen"),
        ("note show 1 --date 3/4/2026", 2, "one way only"),
        ("demo", 2, "holds notes already"),
        ("book backup 1.note", 2, "exists already"),
        ("book restore letter.txt", 3, "is not a book"),
    ] {
        let Answer { code, err, .. } = shop.run(line);
        assert_eq!(code, Some(wanted), "{line}: {err}");
        assert!(err.contains(message), "{line}: {err}");
    }
    assert_eq!(shop.read("letter.txt"), "dear sir\n");
}

#[test]
fn a_backup_is_made_and_restored_and_the_former_book_is_kept() {
    let shop = Workshop::new();
    let code = |line: &str| shop.run(line).code;
    shop.write("1.note", note("1"));
    shop.write("2.note", note("2"));
    assert_eq!(code("note add 1.note"), Some(0));
    assert_eq!(code("book backup copy.book"), Some(0));
    assert_eq!(code("note add 2.note"), Some(0));
    let out = shop.done("book restore copy.book").out;
    assert!(out.contains("shop.book.before-restore"), "{out}");
    assert_eq!(code("note show 2"), Some(1));
    assert_eq!(code("note show 1"), Some(0));
    let out = shop.done("book check").out;
    assert!(out.contains("Sound"), "{out}");
    let mut bytes = shop.bytes();
    bytes[4096..8192].fill(0xAA);
    shop.write("shop.book", bytes);
    let Answer { code, out, .. } = shop.run("book check");
    assert_eq!(code, Some(1));
    assert!(
        out.contains("NOT sound") && out.contains("restore"),
        "{out}"
    );
}

#[test]
fn processes_that_write_at_once_wait_for_each_other_and_lose_nothing() {
    const WRITERS: usize = 6;
    let shop = Workshop::new();
    let children: Vec<Child> = (0..WRITERS)
        .map(|number| {
            shop.write(&format!("{number}.note"), note(&format!("unit {number}")));
            shop.start(&format!("note add {number}.note"))
        })
        .collect();
    for child in children {
        let answer = Answer::judged("note add", &child.wait_with_output().expect("ends"));
        assert_eq!(answer.code, Some(0), "{}", answer.err);
    }
    let out = shop.done("note list --format json").out;
    assert_eq!(out.matches("\"unit\": \"unit ").count(), WRITERS, "{out}");
}

#[test]
fn a_command_that_is_killed_leaves_the_book_whole() {
    const ROUNDS: u32 = 25;
    let shop = Workshop::new();
    let begun = Instant::now();
    shop.add_note(&note("whole"));
    let whole = begun.elapsed();
    let mut killed = 0;
    for round in 1..ROUNDS {
        shop.write("round.note", note(&format!("round-{round}")));
        let mut child = shop.start("note add round.note");
        // Spread over the whole run of the command, as long as it takes on this machine.
        std::thread::sleep(whole * round / ROUNDS);
        let _ = child.kill();
        killed += u32::from(child.wait().expect("ends").code().is_none());
        assert_whole(&shop);
    }
    assert!(killed > 0, "no command was caught in the act");
}

/// A book is whole when it is sound, which each of its notes that can be read is a part of, and every unit has its note.
fn assert_whole(shop: &Workshop) {
    let report = shop.done("book check --format json").json();
    let rows = |table: &str| find(&report["tables"], "table", table)["readable"].as_u64();
    assert_eq!(rows("note"), rows("unit"));
    let listed = shop.done("note list --format json").json();
    assert_eq!(rows("note"), Some(items(&listed["notes"]).len() as u64));
}

#[test]
fn a_read_only_book_can_be_read_and_not_written() {
    /// The user "nobody", for a test run by the superuser, whom no permission stops.
    const NOBODY: u32 = 65_534;
    let shop = Workshop::new();
    shop.add_note(&note("1"));
    shop.write("2.note", note("2"));
    let program = shop.path("ringwright");
    // Copied by a process of its own: a file that this one holds open for writing, if only in a child that another test
    // starts at that moment, cannot be run.
    let copied = Command::new("cp")
        .arg(env!("CARGO_BIN_EXE_ringwright"))
        .arg(&program)
        .status();
    assert!(copied.expect("copies").success());
    let set = |path: &Path, mode: u32| {
        std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).expect("sets");
    };
    set(&program, 0o755);
    set(&shop.path("shop.book"), 0o444);
    set(&shop.path(""), 0o555);
    let root = std::fs::write(shop.path("probe"), "").is_ok();
    let run = |line: &str| {
        let mut command = Command::new(&program);
        command.args(line.split(' ')).current_dir(shop.path(""));
        command.env("RINGWRIGHT_BOOK", shop.book());
        if root {
            command.uid(NOBODY).gid(NOBODY);
        }
        Answer::of(&mut command)
    };
    let before = shop.bytes();
    let Answer { code, out, err, .. } = run("note list");
    assert_eq!(code, Some(0), "{err}");
    assert!(out.contains("Tarn 2"), "{out}");
    let Answer { code, err, .. } = run("note add 2.note");
    assert_eq!(code, Some(3));
    assert!(err.contains("cannot be written"), "{err}");
    set(&shop.path("shop.book"), 0o666);
    let Answer { code, err, .. } = run("note add 2.note");
    assert_eq!(code, Some(3), "the folder is still read-only: {err}");
    assert!(shop.bytes() == before);
    set(&shop.path(""), 0o755);
}
