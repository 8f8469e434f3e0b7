//! Parts lists are computed while nobody is kept from the book, and kept beside it.

use super::program::{json, run};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

/// Holds a book in a folder of its own.
struct Shop {
    folder: tempfile::TempDir,
}

impl Shop {
    fn demo() -> Self {
        let shop = Self {
            folder: tempfile::tempdir().expect("a folder"),
        };
        assert_eq!(shop.run(&["demo"]).0, Some(0));
        shop
    }

    /// A book whose one model was taken apart so many times.
    fn with_units(units: usize) -> Self {
        let shop = Self {
            folder: tempfile::tempdir().expect("a folder"),
        };
        let ring = |at: u8| {
            let od = 12.8 + 5.0 * f64::from(at);
            format!(
                "o-ring ; at place {at} ; replace ; used ; od {od:.2} by caliper ; cs 1.72 by flat"
            )
        };
        let rings: Vec<String> = (0..4).map(ring).collect();
        let head = "model Tarn\ndate 2026-03-14\nlengths mm";
        let notes = (0..units).map(|unit| {
            let note = shop.path(&format!("{unit}.note"));
            let text = format!("{head}\nunit {unit}\n[inlet]\n{}\n", rings.join("\n"));
            std::fs::write(&note, text).expect("writes");
            note.display().to_string()
        });
        let notes: Vec<String> = notes.collect();
        let mut words = vec!["note", "add"];
        words.extend(notes.iter().map(String::as_str));
        assert_eq!(shop.run(&words).0, Some(0));
        shop
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn lists(&self) -> PathBuf {
        self.path("shop.book.lists")
    }

    fn words<'w>(&self, words: &[&'w str], book: &'w str) -> Vec<&'w str> {
        assert!(Path::new(book).starts_with(self.folder.path()));
        [words, &["--book", book]].concat()
    }

    fn book(&self) -> String {
        self.path("shop.book").display().to_string()
    }

    fn run(&self, words: &[&str]) -> (Option<i32>, Vec<u8>) {
        let book = self.book();
        let output = run(&self.words(words, &book));
        (output.status.code(), output.stdout)
    }

    /// Starts a command and stops it once it has read the book, which is when it opens what is kept; `None` where it was too quick.
    #[cfg(unix)]
    fn stopped(&self, words: &[&str]) -> Option<Stopped> {
        let _ = std::fs::remove_file(self.lists());
        let book = self.book();
        let child = Command::new(env!("CARGO_BIN_EXE_ringwright"))
            .args(self.words(words, &book))
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn();
        let mut child = Stopped(child.expect("starts"));
        while !self.lists().exists() {
            if child.has_ended() {
                return None;
            }
            std::thread::yield_now();
        }
        let stop = format!("kill -STOP {}", child.0.id());
        let told = Command::new("sh").args(["-c", &stop]).status();
        (told.is_ok_and(|status| status.success()) && !child.has_ended()).then_some(child)
    }

    /// Adds to the stock, in a bin of its own.
    fn add_stock(&self, bin: &str) -> Option<i32> {
        let ring = ["AS568-012", "--polymer", "NBR", "--hardness", "70A"];
        let lot = ["--quantity", "2", "--bin", bin];
        self.run(&[&["stock", "add"], &ring[..], &lot].concat()).0
    }
}

/// Holds a process in the middle of its work, and ends it.
struct Stopped(Child);

impl Stopped {
    fn has_ended(&mut self) -> bool {
        self.0.try_wait().expect("its state").is_some()
    }
}

impl Drop for Stopped {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

#[cfg(unix)]
#[test]
fn a_write_succeeds_while_a_reading_command_computes() {
    /// A command that ends before it can be stopped is started again.
    const TRIES: usize = 50;
    let shop = Shop::with_units(8);
    let sheet = shop.path("book.html").display().to_string();
    let commands: [&[&str]; 7] = [
        &["uses", "AS568-012"],
        &["offer", "find", "AS568-012"],
        &["sheet", "book", "--out", &sheet],
        &["sheet", "assembly", "Tarn", "--out", &sheet],
        &["parts", "Tarn"],
        &["order", "Tarn=2"],
        &["job", "open", "Tarn", "1", "--by", "A. Lind"],
    ];
    for (at, words) in commands.into_iter().enumerate() {
        let stopped = (0..TRIES).find_map(|_| shop.stopped(words));
        assert!(
            stopped.is_some(),
            "{words:?} is over too soon to be stopped"
        );
        assert_eq!(shop.add_stock(&at.to_string()), Some(0), "beside {words:?}");
    }
}

#[test]
fn what_is_kept_changes_no_answer_and_neither_does_its_lack() {
    let shop = Shop::demo();
    let questions: [&[&str]; 6] = [
        &["parts", "Tarn", "--units", "3", "--format", "json"],
        &[
            "parts",
            "Tarn 2",
            "--enriched-above",
            "30",
            "--format",
            "json",
        ],
        &["model", "show", "Beck", "--format", "json"],
        &["uses", "AS568-011", "--format", "json"],
        &["offer", "find", "AS568-012", "--format", "json"],
        &["order", "Tarn=2", "--format", "json"],
    ];
    for question in questions {
        let _ = std::fs::remove_file(shop.lists());
        let first = shop.run(question);
        assert_eq!(first.0, Some(0), "{question:?}");
        let kept = std::fs::metadata(shop.lists()).expect("is kept").len();
        assert!(kept > 8_000, "{question:?}: {kept}");
        assert_eq!(shop.run(question), first, "{question:?}: from what is kept");
        std::fs::write(shop.lists(), "no lists").expect("writes");
        assert_eq!(
            shop.run(question),
            first,
            "{question:?}: it is none of ours"
        );
        std::fs::remove_file(shop.lists()).expect("is taken away");
        std::fs::create_dir(shop.lists()).expect("makes");
        assert_eq!(shop.run(question), first, "{question:?}: nothing is kept");
        std::fs::remove_dir(shop.lists()).expect("is taken away");
    }
}

#[test]
fn a_statement_is_told_on_a_list_that_was_kept_before() {
    let shop = Shop::demo();
    let book = shop.book();
    let failed = || {
        let (_, report) = json(&["parts", "Tarn 2", "--book", &book]);
        let lines = report["lines"].as_array().expect("lines").iter();
        let told = lines.map(|line| line["failed"].as_array().expect("a list").len());
        told.sum::<usize>()
    };
    let before = failed();
    let said = [
        "uses",
        "AS568-012",
        "--stand-in",
        "ISO 3601-1 9.5x1.8",
        "--grade",
        "failed",
        "--by",
        "A. Lind",
        "--evidence",
        "leaked",
    ];
    assert_eq!(shop.run(&said).0, Some(0));
    let kept = std::fs::read(shop.lists()).expect("is kept");
    assert!(failed() > before);
    assert!(
        std::fs::read(shop.lists()).expect("is kept") == kept,
        "nothing was computed anew"
    );
}

#[test]
fn copies_of_the_book_and_what_checks_it_pass_over_what_is_kept() {
    let shop = Shop::demo();
    assert_eq!(shop.run(&["parts", "Tarn"]).0, Some(0));
    assert!(shop.lists().exists());
    let copy = shop.path("copy.book").display().to_string();
    assert_eq!(shop.run(&["book", "backup", &copy]).0, Some(0));
    let bytes = std::fs::read(&copy).expect("reads");
    std::fs::remove_file(shop.lists()).expect("is taken away");
    let again = shop.path("again.book").display().to_string();
    assert_eq!(shop.run(&["book", "backup", &again]).0, Some(0));
    assert!(std::fs::read(&again).expect("reads") == bytes);
    assert!(!shop.path("copy.book.lists").exists());
    assert_eq!(shop.run(&["book", "check"]).0, Some(0));
    assert!(!shop.lists().exists(), "a check keeps nothing");
}
