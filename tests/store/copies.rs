//! Backups and restores.

use super::sample::{add, book_with_a_note, contents, note, place};
use ringwright::store::backup::{copy_to, restore};
use ringwright::store::check::examine_at;
use ringwright::store::{Book, BookPlace, StoreError};
use std::path::{Path, PathBuf};

fn units(path: &Path) -> usize {
    let mut book = Book::open_to_read(&BookPlace::named(path)).expect("opens");
    book.read(|book| {
        let model = book.models()?.remove(0);
        book.units(model.id)
    })
    .unwrap_or_else(|error: StoreError| panic!("{error}"))
    .len()
}

fn backup(place: &BookPlace) -> PathBuf {
    let copy = place.path().with_file_name("copy.book");
    copy_to(&Book::open_to_read(place).expect("opens"), &copy).expect("copies");
    copy
}

#[test]
fn a_copy_holds_what_the_book_holds_and_overwrites_nothing() {
    let (folder, place) = book_with_a_note();
    let copy = backup(&place);
    assert_eq!(units(&copy), 1);
    let before = contents(&folder);
    let book = Book::open_to_read(&place).expect("opens");
    let error = copy_to(&book, &copy).expect_err("it exists");
    assert!(matches!(error, StoreError::Exists { .. }), "{error}");
    assert!(contents(&folder) == before);
    assert_eq!(before.len(), 2, "no unfinished file is left");
}

#[test]
fn a_copy_is_made_while_another_connection_writes() {
    let (_folder, place) = book_with_a_note();
    let copies = std::thread::scope(|scope| {
        scope.spawn(|| {
            for round in 0..10 {
                add(&place, &note(&format!("later {round}")));
            }
        });
        let copies: Vec<PathBuf> = (0..5)
            .map(|number| {
                let copy = place.path().with_file_name(format!("copy-{number}.book"));
                copy_to(&Book::open_to_read(&place).expect("opens"), &copy).expect("copies");
                copy
            })
            .collect();
        copies
    });
    for copy in copies {
        let report = examine_at(&BookPlace::named(&copy)).expect("opens");
        assert!(report.is_sound(), "{:?}", report.faults);
    }
    assert_eq!(units(place.path()), 11);
}

#[test]
fn a_restore_brings_the_copy_and_keeps_the_former_book() {
    let (_folder, place) = book_with_a_note();
    let copy = backup(&place);
    add(&place, &note("second"));
    let kept = restore(&place, &copy).expect("restores");
    assert_eq!(units(place.path()), 1);
    let kept = kept.expect("the former book is kept");
    assert_eq!(units(&kept), 2);
    let again = restore(&place, &copy).expect("restores");
    assert_ne!(again, Some(kept), "an older kept book is not overwritten");
}

#[test]
fn a_restore_where_no_book_is_makes_one() {
    let (folder, place) = book_with_a_note();
    let copy = backup(&place);
    let elsewhere = BookPlace::named(folder.path().join("other.book"));
    assert_eq!(restore(&elsewhere, &copy).expect("restores"), None);
    assert_eq!(units(elsewhere.path()), 1);
}

#[test]
fn a_damaged_book_is_set_aside_whole_and_replaced() {
    let (_folder, place) = book_with_a_note();
    let copy = backup(&place);
    for damage in [Damage::CutInHalf, Damage::Overwritten, Damage::Journal] {
        let damaged = damage.apply(place.path());
        let kept = restore(&place, &copy).unwrap_or_else(|e| panic!("{damage:?}: {e}"));
        assert_eq!(units(place.path()), 1, "{damage:?}");
        let kept = kept.expect("kept");
        assert!(
            std::fs::read(&kept).expect("reads") == damaged,
            "{damage:?}: every byte of the damaged book is kept"
        );
    }
}

#[derive(Debug, Clone, Copy)]
enum Damage {
    CutInHalf,
    Overwritten,
    Journal,
}

impl Damage {
    /// Damages a book and returns its bytes.
    fn apply(self, path: &Path) -> Vec<u8> {
        let mut bytes = std::fs::read(path).expect("reads");
        match self {
            Self::CutInHalf => bytes.truncate(bytes.len() / 2),
            Self::Overwritten | Self::Journal => bytes[4096..8192].fill(0xAA),
        }
        std::fs::write(path, &bytes).expect("writes");
        if matches!(self, Self::Journal) {
            let mut journal = path.as_os_str().to_owned();
            journal.push("-journal");
            std::fs::write(journal, vec![0; 512]).expect("writes");
        }
        bytes
    }
}

#[test]
fn an_unsound_or_foreign_copy_changes_nothing() {
    let (folder, place) = book_with_a_note();
    let copy = backup(&place);
    let mut bytes = std::fs::read(&copy).expect("reads");
    bytes[4096..8192].fill(0xAA);
    std::fs::write(&copy, bytes).expect("writes");
    let text = folder.path().join("letter.txt");
    std::fs::write(&text, "dear sir").expect("writes");
    let before = contents(&folder);
    for bad in [&copy, &text, &folder.path().join("missing.book")] {
        let error = restore(&place, bad).expect_err("refused");
        assert!(contents(&folder) == before, "{error}");
    }
    let error = restore(&BookPlace::named(&text), place.path()).expect_err("a letter is no book");
    assert!(matches!(error, StoreError::NotABook { .. }), "{error}");
    assert!(contents(&folder) == before, "{error}");
    let error = restore(&place, place.path()).expect_err("the book itself");
    assert!(matches!(error, StoreError::SameFile { .. }), "{error}");
}

#[test]
fn a_check_names_a_reference_that_leads_nowhere_and_a_note_that_can_no_longer_be_read() {
    for (harm, words) in [
        (
            "PRAGMA foreign_keys = OFF; DELETE FROM unit;",
            "row of unit that is not there",
        ),
        (
            "UPDATE note SET body = replace(body, '\"od\"', '\"oe\"');",
            "cannot be read: ",
        ),
        ("UPDATE note SET named = '[';", "cannot be read: "),
    ] {
        let (_folder, place) = book_with_a_note();
        let raw = rusqlite::Connection::open(place.path()).expect("opens");
        raw.execute_batch(harm).expect("breaks it");
        drop(raw);
        let faults = examine_at(&place).expect("opens").faults;
        assert!(
            faults.iter().any(|f| f.contains(words)),
            "{harm}: {faults:?}"
        );
    }
}

#[test]
fn a_check_of_a_fresh_book_lists_every_table() {
    let (_folder, place) = place();
    drop(Book::open_to_write(&place).expect("makes"));
    let report = examine_at(&place).expect("opens");
    assert!(report.is_sound(), "{:?}", report.faults);
    assert!(
        report
            .tables
            .iter()
            .any(|t| t.table == "note" && t.readable == 0)
    );
}
