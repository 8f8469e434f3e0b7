//! Opening books, and refusing what is none.

use super::sample::{add, book_with_a_note, contents, note, place};
use ringwright::store::{Book, BookPlace, NEWEST_VERSION, StoreError};
use rusqlite::Connection;
use std::time::Instant;

fn model_count(place: &BookPlace) -> usize {
    let mut book = Book::open_to_read(place).expect("opens");
    book.read(|book| Ok::<_, StoreError>(book.models()?.len()))
        .expect("reads")
}

/// Opens in both ways, expects both to fail in one way, and checks that no byte of the folder has changed.
fn refused(folder: &tempfile::TempDir, place: &BookPlace) -> StoreError {
    let before = contents(folder);
    let to_read = Book::open_to_read(place).expect_err("refused to read");
    let to_write = Book::open_to_write(place).expect_err("refused to write");
    assert_eq!(to_read.to_string(), to_write.to_string());
    assert!(contents(folder) == before, "a refused file was changed");
    to_write
}

#[test]
fn a_fresh_book_is_made_and_opens_again() {
    let (folder, place) = place();
    let mut book = Book::open_to_write(&place).expect("makes a book");
    assert_eq!(book.version().expect("reads"), NEWEST_VERSION);
    let empty = book.read(|book| Ok::<_, StoreError>(book.note_count()? == 0));
    assert!(empty.expect("reads"));
    drop(book);
    add(&place, &note("1"));
    assert_eq!(model_count(&place), 1);
    let names: Vec<_> = contents(&folder).into_iter().map(|f| f.0).collect();
    assert_eq!(names, [place.path()], "the one file is the whole book");
}

#[test]
fn reading_makes_no_book() {
    let (folder, place) = place();
    let error = Book::open_to_read(&place).expect_err("there is none");
    assert!(matches!(error, StoreError::NoBook { .. }), "{error}");
    assert!(contents(&folder).is_empty());
}

#[test]
fn an_empty_file_is_no_book_yet_and_may_become_one() {
    let (_folder, place) = place();
    std::fs::write(place.path(), "").expect("writes");
    let error = Book::open_to_read(&place).expect_err("it is empty");
    assert!(matches!(error, StoreError::NoBook { .. }), "{error}");
    Book::open_to_write(&place).expect("makes a book of it");
}

#[test]
fn the_folder_is_made_for_the_default_place_only() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("new").join("deep").join("shop.book");
    let error = Book::open_to_write(&BookPlace::named(&path)).expect_err("no such folder");
    assert!(matches!(error, StoreError::NoFolder { .. }), "{error}");
    assert!(error.to_string().contains("make it first"), "{error}");
    Book::open_to_write(&BookPlace::default_at(&path)).expect("makes the folder");
    assert!(path.is_file());
}

#[test]
fn a_folder_is_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = BookPlace::named(folder.path());
    for opened in [Book::open_to_read(&place), Book::open_to_write(&place)] {
        let error = opened.expect_err("a folder");
        assert!(matches!(error, StoreError::IsFolder { .. }), "{error}");
    }
}

#[test]
fn a_text_file_is_refused_unchanged() {
    let (folder, place) = place();
    std::fs::write(place.path(), "model Tarn 2\nunit 1\n").expect("writes");
    let error = refused(&folder, &place);
    assert!(matches!(error, StoreError::NotABook { .. }), "{error}");
}

#[test]
fn the_database_of_another_program_is_refused_unchanged() {
    for application_id in [0, 0x4750_4B47] {
        let (folder, place) = place();
        let other = Connection::open(place.path()).expect("opens");
        other
            .execute_batch("CREATE TABLE t (x); INSERT INTO t VALUES (1);")
            .expect("fills");
        other
            .pragma_update(None, "application_id", application_id)
            .expect("marks");
        drop(other);
        let error = refused(&folder, &place);
        assert!(matches!(error, StoreError::OtherProgram { .. }), "{error}");
    }
}

#[test]
fn a_book_of_the_future_is_refused_unchanged() {
    let (folder, place) = book_with_a_note();
    let raw = Connection::open(place.path()).expect("opens");
    raw.pragma_update(None, "user_version", NEWEST_VERSION + 1)
        .expect("marks");
    drop(raw);
    let error = refused(&folder, &place);
    assert!(matches!(error, StoreError::NewerVersion { .. }), "{error}");
    assert!(
        error.to_string().contains("install the newer program"),
        "{error}"
    );
}

#[test]
fn a_truncated_book_is_named_damaged_and_not_changed() {
    let (folder, place) = book_with_a_note();
    let whole = std::fs::read(place.path()).expect("reads");
    for kept in [50, 100, 512, 4096, 4097, whole.len() / 2, whole.len() - 1] {
        std::fs::write(place.path(), &whole[..kept]).expect("writes");
        let before = contents(&folder);
        let opened = Book::open_to_read(&place)
            .and_then(|mut book| book.read(|book| book.models().map(drop)));
        if let Err(error) = &opened {
            assert!(
                matches!(
                    error,
                    StoreError::Damaged { .. } | StoreError::NotABook { .. }
                ),
                "{kept}: {error}"
            );
        }
        // A file cut at a page's middle keeps its other pages readable; the check must find it all the same.
        let found = ringwright::store::check::examine_at(&place);
        assert!(
            opened.is_err() || found.is_ok_and(|report| !report.is_sound()),
            "{kept} of {} bytes pass for a whole book",
            whole.len()
        );
        assert!(contents(&folder) == before, "{kept}");
    }
}

#[test]
fn a_flipped_byte_never_panics_and_never_changes_the_file() {
    let (folder, place) = book_with_a_note();
    let whole = std::fs::read(place.path()).expect("reads");
    let mut noticed = 0;
    let places: Vec<usize> = (0..whole.len()).step_by(997).collect();
    for at in &places {
        let mut bytes = whole.clone();
        bytes[*at] ^= 0x55;
        std::fs::write(place.path(), &bytes).expect("writes");
        let report = ringwright::store::check::examine_at(&place);
        if report.is_ok_and(|report| report.is_sound()) {
            let opened = Book::open_to_read(&place).expect("a sound book opens");
            drop(opened);
        } else {
            noticed += 1;
        }
        let after = contents(&folder);
        assert_eq!(after.len(), 1, "{at}");
        assert!(after[0].1 == bytes, "{at}");
    }
    // A byte in free space or inside a text is no damage that SQLite could see.
    assert!(
        noticed > 0 && noticed < places.len(),
        "{noticed} of {}",
        places.len()
    );
}

#[test]
fn a_book_in_use_is_named_so_after_the_wait() {
    let (_folder, place) = book_with_a_note();
    let holder = Connection::open(place.path()).expect("opens");
    holder.execute_batch("BEGIN EXCLUSIVE").expect("holds");
    let started = Instant::now();
    let error = Book::open_to_read(&place)
        .and_then(|mut book| book.read(|book| book.models().map(drop)))
        .expect_err("held");
    assert!(matches!(error, StoreError::InUse { .. }), "{error}");
    assert!(
        started.elapsed().as_secs() >= 4,
        "it waits before it gives up"
    );
    holder.execute_batch("COMMIT").expect("lets go");
    assert_eq!(model_count(&place), 1);
}

#[test]
fn writers_in_many_threads_wait_for_each_other_and_lose_nothing() {
    let (_folder, place) = place();
    std::thread::scope(|scope| {
        for writer in 0..4 {
            let place = &place;
            scope.spawn(move || {
                for round in 0..5 {
                    add(place, &note(&format!("unit {writer}-{round}")));
                }
            });
        }
    });
    let mut book = Book::open_to_read(&place).expect("opens");
    let counts = book
        .read(|book| {
            let model = book.models()?.remove(0);
            Ok::<_, StoreError>((book.units(model.id)?.len(), book.note_count()?))
        })
        .expect("reads");
    assert_eq!(counts, (20, 20));
}

#[test]
fn odd_paths_are_paths() {
    let folder = tempfile::tempdir().expect("a folder");
    for name in [
        "with space.book",
        "line\nbreak",
        "per%20cent?mode=ro",
        "größe",
        "'; --",
    ] {
        let place = BookPlace::named(folder.path().join(name));
        add(&place, &note("1"));
        assert_eq!(model_count(&place), 1, "{name}");
    }
}
