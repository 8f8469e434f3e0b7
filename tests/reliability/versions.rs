//! Books of every earlier version, made from the dated schema files: they come whole to the newest version, and a crash inside
//! a step leaves the old book.

use crate::program::{Workshop, quoted};
use ringwright::store::NEWEST_VERSION;
use rusqlite::Connection;
use serde_json::Value;
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};

/// The schema files in the order in which they were given out.
const STEPS: [&str; 20] = [
    include_str!("../../src/store/schema/2026-11-25_first_book.sql"),
    include_str!("../../src/store/schema/2026-11-25_known_rings.sql"),
    include_str!("../../src/store/schema/2026-11-25_gland_angle.sql"),
    include_str!("../../src/store/schema/2026-11-25_jobs.sql"),
    include_str!("../../src/store/schema/2026-11-25_offers.sql"),
    include_str!("../../src/store/schema/2026-11-25_stock.sql"),
    include_str!("../../src/store/schema/2026-11-25_exchange.sql"),
    include_str!("../../src/store/schema/2026-11-25_interchange.sql"),
    include_str!("../../src/store/schema/2026-11-28_gear.sql"),
    include_str!("../../src/store/schema/2026-11-28_other_shops.sql"),
    include_str!("../../src/store/schema/2026-11-28_free_carriage.sql"),
    include_str!("../../src/store/schema/2026-11-28_job_heads.sql"),
    include_str!("../../src/store/schema/2026-11-28_offer_ties.sql"),
    include_str!("../../src/store/schema/2026-11-28_scanners.sql"),
    include_str!("../../src/store/schema/2026-11-28_made.sql"),
    include_str!("../../src/store/schema/2026-11-28_decisions.sql"),
    include_str!("../../src/store/schema/2026-11-28_sold_sizes.sql"),
    include_str!("../../src/store/schema/2026-11-28_back_ups.sql"),
    include_str!("../../src/store/schema/2026-11-28_entry_scans.sql"),
    include_str!("../../src/store/schema/2026-11-28_whole_notes.sql"),
];

/// "RWbk": what marks a book.
const APPLICATION_ID: i32 = 0x5257_626b;

/// Lists the tables that hold rows of their own: no search index and no part of one.
fn tables(book: &Connection) -> Vec<String> {
    column(
        book,
        "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' AND name NOT LIKE 'offer_text%' ORDER BY rowid",
    )
}

fn column(book: &Connection, sql: &str) -> Vec<String> {
    let mut query = book.prepare(sql).expect("prepares");
    let rows = query.query_map([], |row| row.get(0)).expect("reads");
    rows.collect::<rusqlite::Result<_>>().expect("text")
}

fn columns(book: &Connection, table: &str) -> String {
    let names = column(
        book,
        &format!("SELECT '\"' || name || '\"' FROM pragma_table_info('{table}')"),
    );
    names.join(", ")
}

/// A table of an earlier version, with the columns that it had then.
struct Table {
    name: String,
    columns: String,
}

/// Makes a book of a version with all rows of another book for which that version has a place.
fn book_of_version(version: usize, path: &Path, full: &Path) -> Vec<Table> {
    let book = Connection::open(path).expect("opens");
    for step in &STEPS[..version] {
        book.execute_batch(step).expect("takes the step");
    }
    book.pragma_update(None, "user_version", i64::try_from(version).expect("few"))
        .expect("marks");
    book.pragma_update(None, "application_id", APPLICATION_ID)
        .expect("marks");
    book.execute("ATTACH ?1 AS full", [full.to_str().expect("text")])
        .expect("attaches");
    let tables: Vec<Table> = tables(&book)
        .into_iter()
        .map(|name| Table {
            columns: columns(&book, &name),
            name,
        })
        .collect();
    // Foreign keys hold at the end of the transaction, whatever the order of the tables.
    book.execute_batch("PRAGMA foreign_keys = OFF; BEGIN")
        .expect("begins");
    for Table { name, columns } in &tables {
        // A row that a step itself makes gives way to that of the full book.
        let sql = format!(
            "INSERT OR REPLACE INTO main.{name} ({columns}) SELECT {columns} FROM full.{name}"
        );
        book.execute(&sql, []).expect("copies the rows");
    }
    if tables.iter().any(|table| table.name == "offer") {
        book.execute("INSERT INTO offer_text (offer_text) VALUES ('rebuild')", [])
            .expect("builds the index");
    }
    book.execute_batch("COMMIT; DETACH full").expect("keeps it");
    tables
}

/// Expects a whole book at the newest version, in which the search index agrees with its table.
fn whole_and_newest(path: &Path) {
    let book = Connection::open(path).expect("opens");
    let version: u32 = book
        .pragma_query_value(None, "user_version", |row| row.get(0))
        .expect("reads");
    assert_eq!(version, NEWEST_VERSION);
    assert_eq!(column(&book, "PRAGMA integrity_check"), ["ok"]);
    let lost: i64 = book
        .query_row("SELECT count(*) FROM pragma_foreign_key_check", [], |row| {
            row.get(0)
        })
        .expect("reads");
    assert_eq!(lost, 0);
    // Rank 1 compares the index with the table it stands for (SQLite, "FTS5", 6.7).
    book.execute(
        "INSERT INTO offer_text (offer_text, rank) VALUES ('integrity-check', 1)",
        [],
    )
    .expect("the index agrees");
}

/// Expects the same rows in both books.
fn same_rows(a: &Path, b: &Path, tables: &[Table]) {
    let book = Connection::open(a).expect("opens");
    book.execute("ATTACH ?1 AS other", [b.to_str().expect("text")])
        .expect("attaches");
    for Table { name, columns } in tables {
        for (one, two) in [("main", "other"), ("other", "main")] {
            let sql = format!(
                "SELECT count(*) FROM (SELECT {columns} FROM {one}.{name} EXCEPT SELECT {columns} FROM {two}.{name})"
            );
            let different: i64 = book
                .query_row(&sql, [], |row| row.get(0))
                .expect("compares");
            assert_eq!(different, 0, "rows of {name}");
        }
    }
}

/// The last version that kept a note as rows of many tables.
const ROWS_OF_NOTES: usize = 19;

/// Reads a file of what the program of that version wrote: a book with every field of a note, what it showed of each present note,
/// and what it exported.
fn of_version_19(name: &str) -> Vec<u8> {
    let packed = std::io::Cursor::new(include_bytes!("version_19.zip"));
    let mut packed = zip::ZipArchive::new(packed).expect("the packed files");
    let mut file = packed.by_name(name).expect(name);
    let mut bytes = Vec::new();
    file.read_to_end(&mut bytes).expect("reads");
    bytes
}

/// A book of version 19 with rows in its tables, and the same brought to the newest version.
struct Books {
    workshop: Workshop,
    full: PathBuf,
    newest: PathBuf,
}

fn books() -> Books {
    let workshop = Workshop::new();
    let (full, newest) = (workshop.path("full.book"), workshop.path("newest.book"));
    fs::write(&full, of_version_19("book_19.book")).expect("writes");
    fs::copy(&full, workshop.book()).expect("copies");
    workshop.done("model list");
    whole_and_newest(&workshop.book());
    fs::rename(workshop.book(), &newest).expect("renames");
    for name in workshop.names() {
        if name.starts_with("shop.book.") {
            fs::remove_file(workshop.path(name)).expect("removes");
        }
    }
    Books {
        workshop,
        full,
        newest,
    }
}

/// The tables that the newest version has too, each with the columns that it has there.
fn still_there(tables: &[Table], newest: &Path) -> Vec<Table> {
    let book = Connection::open(newest).expect("opens");
    let left = tables.iter().map(|table| {
        let now = columns(&book, &table.name);
        let now: Vec<&str> = now.split(", ").collect();
        let both = table.columns.split(", ").filter(|one| now.contains(one));
        Table {
            name: table.name.clone(),
            columns: both.collect::<Vec<_>>().join(", "),
        }
    });
    left.filter(|table| !table.columns.is_empty()).collect()
}

/// What was read in each note, and what was said of its rings; of a version before the last with rows without what it had no place for.
fn notes(path: &Path, version: usize) -> Vec<Value> {
    fn without_later(value: &mut Value) {
        if let Value::Object(fields) = value {
            for later in ["gear", "made", "scan", "angle", "back_ups"] {
                fields.remove(later);
            }
            fields.values_mut().for_each(without_later);
        } else if let Value::Array(list) = value {
            list.iter_mut().for_each(without_later);
        }
    }
    let book = Connection::open(path).expect("opens");
    let kept = column(
        &book,
        "SELECT json_array(id, json(body), json(named)) FROM note ORDER BY id",
    );
    let read = kept.iter().map(|text| {
        let mut note = serde_json::from_str(text).expect("JSON");
        if version < ROWS_OF_NOTES {
            without_later(&mut note);
        }
        note
    });
    read.collect()
}

fn schema(path: &Path) -> Vec<String> {
    let book = Connection::open(path).expect("opens");
    column(
        &book,
        "SELECT type || ' ' || name || ' ' || coalesce(sql, '') FROM sqlite_schema ORDER BY 1",
    )
}

#[test]
fn the_steps_of_this_test_are_those_of_the_program() {
    assert_eq!(u32::try_from(STEPS.len()), Ok(NEWEST_VERSION));
    let Books {
        workshop, newest, ..
    } = books();
    let own = workshop.path("own.book");
    book_of_version(STEPS.len(), &own, &newest);
    assert_eq!(schema(&own), schema(&newest));
    workshop.done("demo");
    assert_eq!(schema(&own), schema(&workshop.book()));
}

#[test]
fn notes_of_rows_say_the_same_as_they_did_in_the_program_that_kept_them() {
    let Books {
        workshop, newest, ..
    } = books();
    fs::rename(newest, workshop.book()).expect("renames");
    let shown: Vec<Value> = serde_json::from_slice(&of_version_19("shown.json")).expect("JSON");
    assert!(shown.len() > 15);
    for then in shown {
        let text = |field: &str| quoted(then[field].as_str().unwrap_or_default());
        let (unit, model, date) = (text("unit"), text("model"), text("date"));
        let mut line = format!("note show {unit} --model {model}");
        if date != quoted("") {
            line += &format!(" --date {date}");
        }
        assert_eq!(workshop.json(&line), then, "{line}");
    }
    workshop.done("book export now.json");
    let now: Value = serde_json::from_str(&workshop.read("now.json")).expect("JSON");
    let then: Value = serde_json::from_slice(&of_version_19("exported.json")).expect("JSON");
    assert_eq!(now["items"], then["items"]);
}

#[test]
fn a_book_of_every_earlier_version_comes_whole_to_the_newest() {
    let Books {
        workshop,
        full,
        newest,
    } = books();
    for version in 1..STEPS.len() {
        let before = workshop.names();
        let tables = book_of_version(version, &workshop.book(), &full);
        let old = fs::read(workshop.book()).expect("reads");
        // A reading command is enough.
        workshop.done("model list");
        whole_and_newest(&workshop.book());
        same_rows(&workshop.book(), &newest, &still_there(&tables, &newest));
        assert_eq!(notes(&workshop.book(), version), notes(&newest, version));
        assert_eq!(
            schema(&workshop.book()),
            schema(&newest),
            "version {version}"
        );
        assert_eq!(workshop.run("book check").code, Some(0));
        let kept = workshop.path(format!("shop.book.before-version-{NEWEST_VERSION}"));
        same_rows(&kept, &full, &tables);
        // The kept copy is a book of the old version and can be put back.
        workshop.done(&format!("book restore '{}'", kept.to_str().expect("text")));
        assert_eq!(
            schema_version(&workshop.book()),
            version,
            "restored as it was"
        );
        assert!(!old.is_empty());
        for name in workshop.names() {
            if !before.contains(&name) {
                fs::remove_file(workshop.path(name)).expect("removes");
            }
        }
    }
}

fn schema_version(path: &Path) -> usize {
    let book = Connection::open(path).expect("opens");
    let version: u32 = book
        .pragma_query_value(None, "user_version", |row| row.get(0))
        .expect("reads");
    version as usize
}

/// Splits a schema file into its statements.
fn statements(sql: &str) -> Vec<String> {
    let mut all = Vec::new();
    let mut one = String::new();
    for line in sql.lines() {
        one.push_str(line);
        one.push('\n');
        let inside_trigger = one.contains("CREATE TRIGGER") && !line.trim_end().ends_with("END;");
        if line.trim_end().ends_with(';') && !inside_trigger {
            all.push(std::mem::take(&mut one));
        }
    }
    all
}

/// Copies the book with its journal as they lie on the disk in the midst of a step: what a crash would leave.
fn crashed(from: &Path, to: &Path) {
    for tail in ["", "-journal"] {
        let name = |path: &Path| PathBuf::from(format!("{}{tail}", path.display()));
        if name(from).exists() {
            fs::copy(name(from), name(to)).expect("copies");
        }
    }
}

#[test]
fn a_crash_inside_any_step_leaves_the_old_book_which_then_comes_to_the_newest() {
    let Books {
        workshop,
        full,
        newest,
    } = books();
    let mut spilled = 0;
    for version in 1..STEPS.len() {
        let old = workshop.path(format!("old-{version}.book"));
        let tables = book_of_version(version, &old, &full);
        let book = Connection::open(&old).expect("opens");
        // So small a cache makes SQLite write unfinished pages to the file.
        book.execute_batch("PRAGMA cache_size = 1; BEGIN IMMEDIATE")
            .expect("begins");
        let untouched = fs::read(&old).expect("reads");
        for step in &STEPS[version..] {
            for statement in statements(step) {
                book.execute_batch(&statement).expect("takes it");
            }
            let left = Workshop::new();
            crashed(&old, &left.book());
            spilled += usize::from(fs::read(&old).expect("reads") != untouched);
            assert!(left.names().contains(&"shop.book-journal".to_owned()));
            let check = left.run("book check");
            assert_eq!(check.code, Some(0), "{}", check.shown());
            assert_eq!(schema_version(&left.book()), version, "the old book, whole");
            same_rows(&left.book(), &full, &tables);
            left.done("model list");
            whole_and_newest(&left.book());
            same_rows(&left.book(), &newest, &still_there(&tables, &newest));
        }
    }
    assert!(spilled > 0, "no step reached the file before it was ended");
}
