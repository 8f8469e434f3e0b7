//! Backup while others write, restore that ends in the midst, and what the check says of damage made on purpose.

use super::furnished;
use crate::program::{Workshop, digest, flat};
use rusqlite::Connection;
use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

fn change(book: &Path, sql: &str) {
    let book = Connection::open(book).expect("opens");
    book.execute_batch(sql).expect("changes it");
}

/// Damages the book by SQL, expects the check to name it and its remedy, and returns what it said.
fn check_finds(workshop: &Workshop, sql: &str, fault: &str, remedy: &str) {
    change(&workshop.book(), sql);
    let before = digest(&workshop.book());
    let answer = workshop.run("book check");
    assert_eq!(answer.code, Some(1), "{}", answer.shown());
    let said = flat(&answer.out);
    assert!(said.contains(fault), "no {fault:?}: {said}");
    assert!(said.contains(remedy), "no {remedy:?}: {said}");
    assert_eq!(digest(&workshop.book()), before, "a check changes nothing");
}

/// Ways in which the search of offers can come to disagree with the offers.
const SEARCH_DAMAGE: [(&str, &str); 7] = [
    (
        "UPDATE offer SET description = 'garden hose' WHERE id = 3",
        "the index of the words of offers disagrees",
    ),
    (
        "INSERT INTO offer_text (offer_text, rowid, number, description) SELECT 'delete', id, number, description FROM offer WHERE id = 5",
        "the index of the words of offers disagrees",
    ),
    (
        "DELETE FROM offer_text_data WHERE id > 10",
        "the index of the words of offers disagrees",
    ),
    (
        "DELETE FROM offer_scan WHERE rowid = (SELECT min(rowid) FROM offer_scan)",
        "are packed",
    ),
    (
        "UPDATE offer_scan SET offer_ids = substr(offer_ids, 9)",
        "is cut short",
    ),
    (
        "UPDATE offer SET key = key || 'z' WHERE id = 7",
        "the packed numbers of list",
    ),
    (
        "INSERT INTO offer_meaning VALUES (999999, 1, NULL, 1, 1)",
        "sizes belong to no offer",
    ),
];

#[test]
fn a_search_that_disagrees_with_the_offers_is_named_and_made_anew_without_loss() {
    for (sql, fault) in SEARCH_DAMAGE {
        let workshop = furnished();
        check_finds(&workshop, sql, fault, "--mend-search");
        // What can be made anew is no reason to refuse a copy.
        workshop.done("book backup copy.book");
        workshop.done("book check --mend-search");
        let found = workshop.done("offer find 'filter disc'");
        assert!(found.out.contains("LS-F127"), "{sql}: {}", found.shown());
        assert_eq!(workshop.run("book check").code, Some(0));
    }
}

#[test]
fn an_index_that_disagrees_with_its_table_is_named_and_made_anew() {
    let workshop = furnished();
    // The root page of one index is put in the place of another, so that its entries are of another column.
    let sql = "PRAGMA writable_schema = ON;
        UPDATE sqlite_schema SET sql = 'CREATE INDEX offer_key ON offer (number)' WHERE name = 'offer_key'";
    change(&workshop.book(), sql);
    let answer = workshop.run("book check");
    assert_eq!(answer.code, Some(1), "{}", answer.shown());
    let said = flat(&answer.out);
    assert!(said.contains("missing from index offer_key"), "{said}");
    assert!(
        said.contains("The rows are whole and only their index"),
        "{said}"
    );
    workshop.done("book check --mend-search");
}

#[test]
fn the_check_says_of_each_kind_of_damage_what_can_be_saved() {
    let kinds = [
        (
            "PRAGMA foreign_keys = OFF; DELETE FROM unit WHERE serial = 'FT2-004417'",
            "points at a row of unit that is not there",
            "they belong to nothing",
        ),
        (
            "DROP TRIGGER job_entry_is_never_changed; UPDATE job_entry SET person = 'X' WHERE place = 2",
            "its seal does not fit",
            "compare it with the printed release sheet",
        ),
        (
            "DELETE FROM offer_meaning; PRAGMA foreign_keys = OFF; DELETE FROM offer WHERE id = 4",
            "offers where",
            "read it in again",
        ),
    ];
    for (sql, fault, remedy) in kinds {
        let workshop = furnished();
        check_finds(&workshop, sql, fault, remedy);
    }
}

#[test]
fn a_book_that_cannot_be_written_is_checked_as_far_as_it_can_be_read() {
    let workshop = furnished();
    let writer = Connection::open(workshop.book()).expect("opens");
    writer.execute_batch("BEGIN IMMEDIATE").expect("holds");
    let answer = workshop.run("book check");
    writer.execute_batch("COMMIT").expect("lets go");
    assert_eq!(answer.code, Some(0), "{}", answer.shown());
    assert!(
        flat(&answer.out).contains("NOT examined: the words of offers"),
        "{}",
        answer.shown()
    );
}

#[test]
fn every_backup_made_while_another_process_writes_is_whole() {
    let workshop = furnished();
    let until = Instant::now() + Duration::from_secs(3);
    std::thread::scope(|scope| {
        scope.spawn(|| {
            for round in 0.. {
                if Instant::now() >= until {
                    return;
                }
                let bin = format!("W{round}");
                workshop.done(&format!("stock add AS568-013 --bin '{bin}' --quantity 1"));
            }
        });
        let mut lots = 0;
        for round in 0.. {
            if Instant::now() >= until {
                assert!(round > 2, "{round} copies");
                return;
            }
            let copy = format!("copy-{round}.book");
            workshop.done(&format!("book backup {copy}"));
            let copy = Connection::open(workshop.path(&copy)).expect("opens");
            let sound: String = copy
                .query_row("PRAGMA integrity_check", [], |row| row.get(0))
                .expect("checks");
            let number = |sql| {
                copy.query_row(sql, [], |row| row.get::<_, i64>(0))
                    .expect("counts")
            };
            let (now, moves) = (
                number("SELECT count(*) FROM stock_lot"),
                number("SELECT count(*) FROM stock_move"),
            );
            assert_eq!(
                (sound.as_str(), now),
                ("ok", moves),
                "a lot and its movement belong together"
            );
            assert!(now >= lots, "a later copy holds what an earlier one held");
            lots = now;
        }
    });
    assert!(!workshop.names().iter().any(|name| name.contains(".part")));
}

/// A journal that a broken-off write of another book left: SQLite would play it back into whatever lies under its name.
fn stale_journal(of: &Workshop) -> Vec<u8> {
    let book = Connection::open(of.book()).expect("opens");
    book.execute_batch("PRAGMA cache_size = 1; BEGIN; UPDATE note SET body = replace(body, 'o-ring', 'spoiled'); UPDATE note SET original = 'spoiled'")
        .expect("begins");
    let journal = fs::read(of.path("shop.book-journal")).expect("a journal");
    assert!(journal.len() > 4096, "it holds pages");
    journal
}

#[test]
fn a_journal_that_was_left_behind_does_not_spoil_a_restored_book() {
    let (old, workshop) = (furnished(), furnished());
    old.done("stock add AS568-013 --bin old --quantity 1");
    let journal = stale_journal(&old);
    workshop.done("book backup copy.book");
    let parts = workshop.done("parts Tarn").out;
    fs::remove_file(workshop.book()).expect("the book is lost");
    workshop.write("shop.book-journal", &journal);
    workshop.done("book restore copy.book");
    assert_eq!(workshop.run("book check").code, Some(0));
    assert_eq!(workshop.done("parts Tarn").out, parts);
    assert!(
        workshop
            .names()
            .contains(&"shop.book.before-restore-journal".to_owned())
    );
    // A copy is not laid beside such a journal either.
    workshop.write("second.book-journal", &journal);
    let answer = workshop.run("book backup second.book");
    assert_eq!(answer.code, Some(2), "{}", answer.shown());
    assert!(answer.out.is_empty(), "{}", answer.shown());
    assert!(
        answer.err.contains("second.book-journal exists already"),
        "{}",
        answer.shown()
    );
}

#[test]
fn a_restore_of_an_unsound_copy_touches_nothing() {
    let workshop = furnished();
    workshop.done("book backup copy.book");
    let mut bytes = fs::read(workshop.path("copy.book")).expect("reads");
    let half = bytes.len() / 8192 * 4096;
    bytes[half..half + 4096].fill(0x5A);
    workshop.write("copy.book", &bytes);
    let (before, names) = (digest(&workshop.book()), workshop.names());
    let answer = workshop.run("book restore copy.book");
    assert!(matches!(answer.code, Some(2 | 3)), "{}", answer.shown());
    assert_eq!(
        (digest(&workshop.book()), workshop.names()),
        (before, names)
    );
}

#[test]
fn a_restore_that_is_killed_at_any_moment_leaves_the_present_book_or_the_copy() {
    let workshop = furnished();
    workshop.done("book backup copy.book");
    workshop.done("stock add AS568-013 --bin new --quantity 1");
    let present = fs::read(workshop.book()).expect("reads");
    let (mut old, mut new) = (0, 0);
    for round in 0..40 {
        fs::write(workshop.book(), &present).expect("writes");
        let mut child = workshop.start("book restore copy.book");
        std::thread::sleep(Duration::from_micros(1500 * round));
        child.kill().expect("kills");
        let _ = child.wait();
        assert_eq!(workshop.run("book check").code, Some(0));
        let lots = workshop.done("stock list").out;
        assert!(lots.contains("A1"), "{lots}");
        if lots.contains("new") {
            old += 1;
        } else {
            new += 1;
        }
        for name in workshop.names() {
            if name != "copy.book" && name != "shop.book" {
                fs::remove_file(workshop.path(name)).expect("removes");
            }
        }
    }
    assert!(old > 0, "{old} old, {new} new");
}
