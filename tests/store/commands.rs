//! The commands of the book as a person runs them: exit codes, messages, several processes at once.

use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::time::Duration;
use tempfile::TempDir;

struct Shop {
    folder: TempDir,
}

impl Shop {
    fn new() -> Self {
        Self {
            folder: TempDir::new().expect("a folder"),
        }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Prepares a command in an empty home, so that nothing of the person's own is touched.
    fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_ringwright"));
        command
            .args(words)
            .current_dir(self.folder.path())
            .env_remove("RINGWRIGHT_BOOK")
            .env("HOME", self.path("home"))
            .env("XDG_DATA_HOME", self.path("home/data"))
            .stdin(Stdio::null());
        command
    }

    fn run(&self, words: &[&str]) -> (i32, String, String) {
        words_of(&self.command(words).output().expect("runs"))
    }

    fn write(&self, name: &str, text: &str) -> String {
        let path = self.path(name);
        std::fs::write(&path, text).expect("writes");
        path.display().to_string()
    }
}

fn words_of(output: &Output) -> (i32, String, String) {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    let code = output.status.code().expect("ends by itself");
    assert!(code <= 3, "exit code {code}: {}", text(&output.stderr));
    (code, text(&output.stdout), text(&output.stderr))
}

fn note(unit: &str) -> String {
    format!(
        "model Fellwater Tarn 2\nunit {unit}\ndate 2026-03-14\nlengths mm\n[inlet]\no-ring ; at plug ; replace ; od 12.8 by caliper ; cs 1.72 by flat\n"
    )
}

#[test]
fn the_first_note_makes_the_book_in_the_data_folder() {
    let shop = Shop::new();
    let (code, out, _) = shop.run(&["book", "path"]);
    assert_eq!(code, 0);
    assert!(out.contains("no book there yet"), "{out}");
    let (code, _, err) = shop.run(&["note", "list"]);
    assert_eq!(code, 3);
    assert!(
        err.contains("there is no book at") && err.contains("demo"),
        "{err}"
    );
    let file = shop.write("1.note", &note("1"));
    let (code, out, err) = shop.run(&["note", "add", &file]);
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("AS568-012"), "{out}");
    assert!(shop.path("home/data/ringwright/shop.book").is_file());
    let (code, out, _) = shop.run(&["parts", "tarn 2"]);
    assert_eq!(code, 0);
    assert!(
        out.contains("AS568-012") && out.contains("CAUTION"),
        "{out}"
    );
}

#[test]
fn an_unknown_model_is_answered_no_with_the_near_names() {
    let shop = Shop::new();
    assert_eq!(shop.run(&["demo"]).0, 0);
    for words in [
        vec!["parts", "Tran"],
        vec!["model", "show", "Tran"],
        vec!["note", "list", "--model", "Tran"],
    ] {
        let (code, out, _) = shop.run(&words);
        assert_eq!(code, 1, "{words:?}");
        assert!(out.contains("Fellwater Apparatus Tarn"), "{out}");
    }
    assert_eq!(shop.run(&["note", "show", "FT-99"]).0, 1);
    let (code, out, _) = shop.run(&["note", "show", "FT-000311", "--format", "csv"]);
    assert_eq!(code, 0);
    assert!(
        out.starts_with("maker,model,unit") || out.contains("model"),
        "{out}"
    );
}

#[test]
fn wrong_input_and_unusable_books_have_their_exit_codes() {
    let shop = Shop::new();
    let file = shop.write("1.note", &note("1"));
    let broken = shop.write("broken.note", &note("2").replace("od 12.8", "od twelve"));
    let letter = shop.write("letter.txt", "dear sir\n");
    let cases: [(&[&str], i32, &str); 12] = [
        (&["note", "add", &broken], 2, "nothing was stored"),
        (&["note", "add", "missing.note"], 2, "cannot be read"),
        (&["note", "add", &file], 0, ""),
        (
            &["note", "add", &file, "--book", &letter],
            3,
            "is not a book",
        ),
        (
            &["note", "add", &file, "--book", "no/such/folder/x.book"],
            3,
            "make it first",
        ),
        (&["note", "list", "--book", "."], 3, "is a folder"),
        (&["parts", "tarn 2", "--units", "0"], 2, "--units"),
        (
            &["parts", "tarn 2", "--enriched-above", "10"],
            2,
            "share of oxygen",
        ),
        (
            &["note", "show", "1", "--date", "3/4/2026"],
            2,
            "one way only",
        ),
        (&["demo"], 2, "holds notes already"),
        (&["book", "backup", &file], 2, "exists already"),
        (&["book", "restore", &letter], 3, "is not a book"),
    ];
    for (words, wanted, message) in cases {
        let (code, _, err) = shop.run(words);
        assert_eq!(code, wanted, "{words:?}: {err}");
        assert!(err.contains(message), "{words:?}: {err}");
    }
    assert_eq!(
        std::fs::read_to_string(&letter).expect("reads"),
        "dear sir\n"
    );
}

#[test]
fn a_backup_is_made_and_restored_and_the_former_book_is_kept() {
    let shop = Shop::new();
    let book = shop.path("shop.book").display().to_string();
    let run = |words: &[&str]| {
        let mut all = vec!["--book", book.as_str()];
        all.extend(words);
        shop.run(&all)
    };
    let first = shop.write("1.note", &note("1"));
    let second = shop.write("2.note", &note("2"));
    assert_eq!(run(&["note", "add", &first]).0, 0);
    let copy = shop.path("copy.book").display().to_string();
    assert_eq!(run(&["book", "backup", &copy]).0, 0);
    assert_eq!(run(&["note", "add", &second]).0, 0);
    let (code, out, err) = run(&["book", "restore", &copy]);
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("shop.book.before-restore"), "{out}");
    assert_eq!(run(&["note", "show", "2"]).0, 1);
    assert_eq!(run(&["note", "show", "1"]).0, 0);
    let (code, out, _) = run(&["book", "check"]);
    assert_eq!(code, 0);
    assert!(out.contains("Sound"), "{out}");
    let mut bytes = std::fs::read(&book).expect("reads");
    bytes[4096..8192].fill(0xAA);
    std::fs::write(&book, bytes).expect("writes");
    let (code, out, _) = run(&["book", "check"]);
    assert_eq!(code, 1);
    assert!(
        out.contains("NOT sound") && out.contains("restore"),
        "{out}"
    );
}

#[test]
fn processes_that_write_at_once_wait_for_each_other_and_lose_nothing() {
    const WRITERS: usize = 6;
    let shop = Shop::new();
    let children: Vec<Child> = (0..WRITERS)
        .map(|number| {
            let file = shop.write(&format!("{number}.note"), &note(&format!("unit {number}")));
            shop.command(&["--book", "shop.book", "note", "add", &file])
                .stdout(Stdio::piped())
                .stderr(Stdio::piped())
                .spawn()
                .expect("starts")
        })
        .collect();
    for child in children {
        let (code, _, err) = words_of(&child.wait_with_output().expect("ends"));
        assert_eq!(code, 0, "{err}");
    }
    let (code, out, _) = shop.run(&["--book", "shop.book", "note", "list", "--format", "json"]);
    assert_eq!(code, 0);
    assert_eq!(out.matches("\"unit\": \"unit ").count(), WRITERS, "{out}");
}

#[test]
fn a_command_that_is_killed_leaves_the_book_whole() {
    const ROUNDS: u64 = 25;
    let shop = Shop::new();
    let mut killed = 0;
    for round in 0..ROUNDS {
        let file = shop.write("round.note", &note(&format!("round-{round}")));
        let mut child = shop
            .command(&["--book", "shop.book", "note", "add", &file])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("starts");
        // Spread over the whole run of the command, which takes a few tens of milliseconds.
        std::thread::sleep(Duration::from_micros(1_500 * round));
        let _ = child.kill();
        killed += u64::from(child.wait().expect("ends").code().is_none());
        if !shop.path("shop.book").exists() {
            continue;
        }
        assert_whole(&shop);
    }
    assert!(killed > 0, "no command was caught in the act");
}

/// A book is whole when it is sound and every note in it has its part and the identification of its ring.
fn assert_whole(shop: &Shop) {
    let (code, out, err) = shop.run(&["--book", "shop.book", "book", "check", "--format", "json"]);
    if code == 3 {
        assert!(err.contains("there is no book"), "{err}");
        return;
    }
    assert_eq!(code, 0, "{out}{err}");
    let report: serde_json::Value = serde_json::from_str(&out).expect("parses");
    let rows = |table: &str| {
        let tables = report["tables"].as_array().expect("tables");
        let found = tables.iter().find(|t| t["table"] == table).expect(table);
        found["readable"].as_u64()
    };
    assert_eq!(rows("note"), rows("entry"));
    assert_eq!(rows("note"), rows("identification"));
    assert_eq!(rows("note"), rows("unit"));
}

#[cfg(unix)]
#[test]
fn a_read_only_book_can_be_read_and_not_written() {
    use std::os::unix::fs::PermissionsExt;
    use std::os::unix::process::CommandExt;
    /// The user "nobody", for a test run by the superuser, whom no permission stops.
    const NOBODY: u32 = 65_534;
    let shop = Shop::new();
    let file = shop.write("1.note", &note("1"));
    assert_eq!(
        shop.run(&["--book", "shop.book", "note", "add", &file]).0,
        0
    );
    let second = shop.write("2.note", &note("2"));
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
    set(shop.folder.path(), 0o555);
    let root = std::fs::write(shop.path("probe"), "").is_ok();
    let run = |words: &[&str]| {
        let mut command = Command::new(&program);
        command
            .args(["--book", "shop.book"])
            .args(words)
            .current_dir(shop.folder.path());
        if root {
            command.uid(NOBODY).gid(NOBODY);
        }
        words_of(&command.output().expect("runs"))
    };
    let before = std::fs::read(shop.path("shop.book")).expect("reads");
    let (code, out, err) = run(&["note", "list"]);
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("Tarn 2"), "{out}");
    let (code, _, err) = run(&["note", "add", &second]);
    assert_eq!(code, 3);
    assert!(err.contains("cannot be written"), "{err}");
    set(&shop.path("shop.book"), 0o666);
    let (code, _, err) = run(&["note", "add", &second]);
    assert_eq!(code, 3, "the folder is still read-only: {err}");
    assert!(std::fs::read(shop.path("shop.book")).expect("reads") == before);
    set(shop.folder.path(), 0o755);
}
