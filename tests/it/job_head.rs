//! What `book check` finds of records that were taken away, and the figures that tell where nothing in the file does.

use super::program::run_at as run;
use rusqlite::Connection;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// The demo's book with two jobs of several entries each.
fn two_jobs() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("demo.book");
    for line in [
        "demo",
        "job open \"Tarn 2\" FT2-004417 --by Ada",
        "job step 1 --clean detergent --by Ada",
        "job step 1 --remark \"one more\" --by Ada",
        "job open \"Tarn 2\" FT2-004417 --by Bo",
        "job step 2 --clean detergent --by Bo",
    ] {
        let output = run(&book, line);
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(
            output.status.code().is_some_and(|code| code <= 1),
            "{line}: {said}"
        );
    }
    (folder, book)
}

/// The faults that a check names, and the figures of the job records.
fn check(book: &Path) -> (Vec<String>, Value) {
    let output = run(book, "book check --format json");
    let report: Value = serde_json::from_slice(&output.stdout).expect("json");
    let faults: Vec<String> = serde_json::from_value(report["faults"].clone()).expect("texts");
    assert_eq!(output.status.code(), Some(i32::from(!faults.is_empty())));
    (faults, report["job_figures"].clone())
}

/// Changes the file as somebody does who knows SQL, and puts the guards back, so that nothing of it shows by itself.
fn behind_its_back(book: &Path, sql: &str) {
    let raw = Connection::open(book).expect("opens");
    let guards: Vec<(String, String)> = raw
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger' AND name LIKE 'job%'")
        .expect("prepares")
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .expect("reads")
        .collect::<rusqlite::Result<_>>()
        .expect("texts");
    for (name, _) in &guards {
        raw.execute_batch(&format!("DROP TRIGGER {name}"))
            .expect("drops");
    }
    raw.execute_batch(sql).expect("changes it");
    for (_, guard) in &guards {
        raw.execute_batch(guard).expect("puts it back");
    }
}

#[test]
fn a_job_or_last_entries_taken_away_are_found_though_the_guards_were_put_back() {
    let (folder, sound) = two_jobs();
    assert_eq!(check(&sound).0, Vec::<String>::new());
    for (sql, found) in [
        (
            "PRAGMA foreign_keys = OFF; DELETE FROM job_entry WHERE job_id = 2; DELETE FROM job WHERE id = 2",
            &["2 jobs were opened and 1 are there", "job 2 is gone"][..],
        ),
        (
            "DELETE FROM job_entry WHERE job_id = 1 AND place = (SELECT max(place) FROM job_entry WHERE job_id = 1)",
            &["record of job 1: entries behind"],
        ),
        (
            "DELETE FROM job_head WHERE job_id = 2",
            &["record of job 2: where it ends is not kept"],
        ),
        ("DELETE FROM job_count", &["the count of jobs is gone"]),
        (
            "UPDATE job_head SET entries = entries - 1 WHERE job_id = 1",
            &["record of job 1: entries behind"],
        ),
    ] {
        let book = folder.path().join("spoiled.book");
        std::fs::copy(&sound, &book).expect("copies");
        behind_its_back(&book, sql);
        let faults = check(&book).0;
        assert_eq!(faults.len(), found.len(), "{sql}: {faults:#?}");
        for (fault, words) in faults.iter().zip(found) {
            assert!(fault.starts_with(words), "{sql}: {fault}");
        }
    }
}

#[test]
fn nothing_is_added_where_entries_were_taken_away_or_a_job_takes_the_number_of_one_that_is_gone() {
    let (_folder, book) = two_jobs();
    behind_its_back(
        &book,
        "DELETE FROM job_entry WHERE job_id = 1 AND place = (SELECT max(place) FROM job_entry WHERE job_id = 1);
         DELETE FROM job_entry WHERE job_id = 2; DELETE FROM job WHERE id = 2;",
    );
    for line in [
        "job step 1 --remark \"in its place\" --by Ada",
        "job open \"Tarn 2\" FT2-004417 --by Ada",
    ] {
        let output = run(&book, line);
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(3), "{line}: {said}");
        assert!(said.contains("see ringwright book check"), "{said}");
    }
}

#[test]
fn where_records_and_heads_are_both_set_back_the_figures_written_down_tell() {
    let (_folder, book) = two_jobs();
    let (faults, before) = check(&book);
    assert!(faults.is_empty());
    let page = String::from_utf8(run(&book, "book check").stdout).expect("text");
    let seal = before["seal"].as_str().expect("a seal");
    assert!(
        page.contains("Job records: 2, ") && page.contains(seal),
        "{page}"
    );
    behind_its_back(
        &book,
        "DELETE FROM job_entry WHERE job_id = 2; DELETE FROM job WHERE id = 2; DELETE FROM job_head WHERE job_id = 2;
         UPDATE job_count SET jobs = 1;",
    );
    let (faults, after) = check(&book);
    assert_eq!(faults, Vec::<String>::new(), "nothing in the file tells it");
    assert_ne!(before, after);
}

#[test]
fn an_older_book_gets_the_heads_of_its_records_and_is_checked_without_before() {
    let (_folder, book) = two_jobs();
    let figures = check(&book).1;
    let raw = Connection::open(&book).expect("opens");
    // The heads are the twelfth step; those after it are undone with it. Of notes the tables are there, without rows.
    raw.pragma_update(None, "user_version", 11).expect("marks");
    raw.execute_batch("DROP TABLE ring_picture; DROP TABLE note;")
        .expect("drops");
    let first = include_str!("../../src/store/schema/2026-11-25_first_book.sql");
    let notes = first.find("CREATE TABLE note (").expect("notes");
    raw.execute_batch(&first[notes..]).expect("the first step");
    raw.execute_batch(
        "ALTER TABLE gland ADD COLUMN angle_deg REAL; ALTER TABLE gland ADD COLUMN angle_typed TEXT;
         ALTER TABLE note ADD COLUMN gear TEXT; ALTER TABLE note ADD COLUMN shop TEXT;
         ALTER TABLE note ADD COLUMN accepted_by TEXT; ALTER TABLE note ADD COLUMN accepted_at TEXT;
         DROP INDEX offer_unlisted; DROP TABLE offer_tie; ALTER TABLE supplier DROP COLUMN mapping_heads; DROP TABLE scanner; DROP TABLE decision;
         DROP TRIGGER job_head_is_never_removed; DROP TRIGGER job_head_only_grows; DROP TABLE job_head;
         DROP TRIGGER job_count_is_never_removed; DROP TRIGGER job_count_only_grows; DROP TABLE job_count;",
    )
    .expect("as the version before was");
    drop(raw);
    assert_eq!(check(&book), (Vec::new(), Value::Null));
    assert_eq!(
        run(&book, "stock add AS568-012 --bin A --quantity 1")
            .status
            .code(),
        Some(0)
    );
    assert_eq!(check(&book), (Vec::new(), figures));
}
