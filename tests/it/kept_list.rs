//! Parts lists are computed while nobody is kept from the book, and kept beside it.

use super::program::{Workshop, items};
use std::path::PathBuf;
use std::process::{Child, Command};

/// Holds a book in a folder of its own.
struct Shop(Workshop);

impl Shop {
    fn demo() -> Self {
        Self(Workshop::demo())
    }

    /// A book whose one model was taken apart so many times.
    fn with_units(units: usize) -> Self {
        let shop = Self(Workshop::new());
        let ring = |at: u8| {
            let od = 12.8 + 5.0 * f64::from(at);
            format!(
                "o-ring ; at place {at} ; replace ; used ; od {od:.2} by caliper ; cs 1.72 by flat"
            )
        };
        let rings: Vec<String> = (0..4).map(ring).collect();
        let head = "model Tarn\ndate 2026-03-14\nlengths mm";
        let mut line = "note add".to_owned();
        for unit in 0..units {
            let text = format!(
                "{head}
unit {unit}
[inlet]
{}
",
                rings.join(
                    "
"
                )
            );
            shop.0.write(&format!("{unit}.note"), text);
            line += &format!(" {unit}.note");
        }
        shop.0.done(&line);
        shop
    }

    fn lists(&self) -> PathBuf {
        self.0.path("shop.book.lists")
    }

    /// Starts a command and stops it once it has read the book, which is when it opens what is kept; `None` where it was too quick.
    #[cfg(unix)]
    fn stopped(&self, line: &str) -> Option<Stopped> {
        let _ = std::fs::remove_file(self.lists());
        let mut child = Stopped(self.0.start(line));
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
        let ring = "stock add AS568-012 --polymer NBR --hardness 70A --quantity 2";
        self.0.run(&format!("{ring} --bin {bin}")).code
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
    let commands = [
        "uses AS568-012",
        "offer find AS568-012",
        "sheet book --out book.html",
        "sheet assembly Tarn --out book.html",
        "parts Tarn",
        "order Tarn=2",
        "job open Tarn 1 --by 'A. Lind'",
    ];
    for (at, line) in commands.into_iter().enumerate() {
        let stopped = (0..TRIES).find_map(|_| shop.stopped(line));
        assert!(stopped.is_some(), "{line} is over too soon to be stopped");
        assert_eq!(shop.add_stock(&at.to_string()), Some(0), "beside {line}");
    }
}

#[test]
fn what_is_kept_changes_no_answer_and_neither_does_its_lack() {
    let shop = Shop::demo();
    let questions = [
        "parts Tarn --units 3",
        "parts 'Tarn 2' --enriched-above 30",
        "model show Beck",
        "uses AS568-011",
        "offer find AS568-012",
        "order Tarn=2",
    ];
    for question in questions {
        let _ = std::fs::remove_file(shop.lists());
        let first = shop.0.coded(question);
        assert_eq!(first.0, Some(0), "{question}");
        let kept = std::fs::metadata(shop.lists()).expect("is kept").len();
        assert!(kept > 8_000, "{question}: {kept}");
        assert_eq!(
            shop.0.coded(question),
            first,
            "{question}: from what is kept"
        );
        std::fs::write(shop.lists(), "no lists").expect("writes");
        assert_eq!(
            shop.0.coded(question),
            first,
            "{question}: it is none of ours"
        );
        std::fs::remove_file(shop.lists()).expect("is taken away");
        std::fs::create_dir(shop.lists()).expect("makes");
        assert_eq!(shop.0.coded(question), first, "{question}: nothing is kept");
        std::fs::remove_dir(shop.lists()).expect("is taken away");
    }
}

#[test]
fn a_statement_is_told_on_a_list_that_was_kept_before() {
    let shop = Shop::demo();
    let failed = || {
        let report = shop.0.json("parts 'Tarn 2'");
        let told = items(&report["lines"])
            .iter()
            .map(|line| items(&line["failed"]).len());
        told.sum::<usize>()
    };
    let before = failed();
    shop.0.done(
        "uses AS568-012 --stand-in 'ISO 3601-1 9.5x1.8' --grade failed --by 'A. Lind' --evidence leaked",
    );
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
    assert_eq!(shop.0.run("parts Tarn").code, Some(0));
    assert!(shop.lists().exists());
    assert_eq!(shop.0.run("book backup copy.book").code, Some(0));
    let bytes = std::fs::read(shop.0.path("copy.book")).expect("reads");
    std::fs::remove_file(shop.lists()).expect("is taken away");
    assert_eq!(shop.0.run("book backup again.book").code, Some(0));
    assert!(std::fs::read(shop.0.path("again.book")).expect("reads") == bytes);
    assert!(!shop.0.path("copy.book.lists").exists());
    assert_eq!(shop.0.run("book check").code, Some(0));
    assert!(!shop.lists().exists(), "a check keeps nothing");
}
