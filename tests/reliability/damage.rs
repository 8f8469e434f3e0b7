//! Files in the book's place that are no book, or no longer a whole one: a clear message, exit code 3, no byte changed.

use super::{READING, furnished};
use crate::program::{Answer, Workshop, digest};
use rusqlite::Connection;
use std::fs;
use std::path::Path;

/// Commands that would write a book.
const WRITING: [&str; 8] = [
    "demo",
    "stock add AS568-012 --bin B9 --quantity 1",
    "note add tarn.note",
    "offer import list.csv --supplier S --currency EUR --tax excluded --date 2026-03-01",
    "job open 'Tarn 2' FT2-004417 --by 'M. Okafor'",
    "book backup copy.book",
    "book merge theirs.json",
    "book export ours.json --shop S",
];

const NOTE: &str = "model Fellwater Tarn 2\nunit X1\ndate 2026-03-14\nlengths mm\n\n[inlet]\nfilter disc ; replace ; od 14.9 ; thick 2.8\n";
const LIST: &str = "number,description,pack,price\nA1,O-ring -012 NBR 70,10,1.60\n";
const FORM: &str = r#"{"form": "ringwright book", "version": 1, "shop": "S", "written_at": "2026-03-14T10:00:00Z", "items": [], "set_aside": [], "origins": []}"#;

/// Lays out what the writing commands take in.
fn supplies(workshop: &Workshop) {
    workshop.write("tarn.note", NOTE);
    workshop.write("list.csv", LIST);
    workshop.write("theirs.json", FORM);
}

/// Runs every command on the file in the book's place; each must refuse it in these words and leave it as it is.
fn all_refuse(workshop: &Workshop, words: &str) {
    supplies(workshop);
    let book = workshop.book();
    let before = digest(&book);
    let names = workshop.names();
    for command in books().chain(WRITING) {
        workshop.run(command).refuses_the_book(words);
        assert_eq!(digest(&book), before, "{command}");
    }
    assert_eq!(workshop.names(), names, "a file was made or lost");
}

#[test]
fn every_command_refuses_a_text_file_and_leaves_it() {
    let workshop = Workshop::new();
    workshop.write("shop.book", "dear sir,\nplease find enclosed\n");
    all_refuse(&workshop, "is not a book");
}

#[test]
fn every_command_refuses_the_database_of_another_program_and_leaves_it() {
    let workshop = Workshop::new();
    let other = Connection::open(workshop.book()).expect("opens");
    other
        .execute_batch("CREATE TABLE model (id INTEGER); PRAGMA application_id = 7;")
        .expect("fills");
    drop(other);
    all_refuse(&workshop, "belongs to another program");
}

#[test]
fn every_command_refuses_a_book_of_the_future_and_leaves_it() {
    let workshop = Workshop::demo();
    let newer = Connection::open(workshop.book()).expect("opens");
    newer
        .pragma_update(None, "user_version", 999)
        .expect("marks");
    drop(newer);
    all_refuse(&workshop, "was written by a newer ringwright");
}

#[test]
fn an_empty_file_is_no_book_yet() {
    let workshop = Workshop::new();
    supplies(&workshop);
    workshop.write("shop.book", "");
    for command in books() {
        let answer = workshop.run(command);
        // That there is no book yet is an answer to the question where it lies.
        if command == "book path" {
            assert_eq!(answer.code, Some(0), "{}", answer.shown());
        } else {
            answer.refuses_the_book("there is no book");
        }
        assert_eq!(fs::read(workshop.book()).expect("reads").len(), 0);
    }
    workshop.done("note add tarn.note");
    assert_eq!(workshop.run("book check").code, Some(0));
}

/// The reading commands that need a book.
fn books() -> impl Iterator<Item = &'static str> {
    READING.into_iter().filter(|line| !line.starts_with("size"))
}

/// Judges what reading commands say of a damaged book: it works, its answer is no, or the book is named, and the file
/// stays as it is. Returns whether the check found the damage.
fn readers_cope(workshop: &Workshop, commands: &[&str], what: &str) -> bool {
    let book = workshop.book();
    let before = digest(&book);
    let mut found = false;
    for command in commands {
        let answer = workshop.run(command);
        let shown = answer.shown();
        assert!(matches!(answer.code, Some(0 | 1 | 3)), "{what}: {shown}");
        assert_eq!(digest(&book), before, "{what}: {shown}");
        if *command == CHECK {
            found = answer.code != Some(0);
            says_what_to_do(&answer);
        }
    }
    found
}

/// An unsound book is named so, with what can be done.
fn says_what_to_do(answer: &Answer) {
    let text = answer.out.replace('\n', " ");
    let told = match answer.code {
        Some(0) => text.contains("Sound:"),
        Some(1) => text.contains("NOT sound") && text.contains("book restore"),
        _ => answer.err.starts_with("error: "),
    };
    assert!(told, "{}", answer.shown());
}

#[test]
fn a_truncated_book_is_noticed_by_the_check_and_never_changed() {
    let workshop = furnished();
    let whole = fs::read(workshop.book()).expect("reads");
    let pages = whole.len() / PAGE;
    for kept in [
        1,
        15,
        16,
        99,
        100,
        512,
        PAGE,
        PAGE + 1,
        pages / 2 * PAGE,
        whole.len() - 1,
    ] {
        fs::write(workshop.book(), &whole[..kept]).expect("writes");
        assert!(
            readers_cope(&workshop, &READING, &format!("{kept} bytes")),
            "{kept} bytes pass"
        );
    }
}

const PAGE: usize = 4096;
const CHECK: &str = "book check";

/// Flips one byte of each page of the demo shop's book whose number leaves this rest when it is divided by four.
fn flip_pages(rest: usize) {
    let workshop = furnished();
    let whole = fs::read(workshop.book()).expect("reads");
    let (mut noticed, mut all) = (0, 0);
    for page in (rest..whole.len() / PAGE).step_by(4) {
        let mut bytes = whole.clone();
        // The first bytes of a page say what it is; other places follow no plan but are the same in each run.
        let within = [0, 3, 5, 9, 100, 1999, 4000, 4095][(page / 4) % 8];
        bytes[page * PAGE + within] ^= 0x41;
        fs::write(workshop.book(), &bytes).expect("writes");
        // The check reads every page; of the others, five take their turn at each.
        let others = (0..5).map(|n| READING[(page * 5 + n) % READING.len()]);
        let commands: Vec<&str> = [CHECK].into_iter().chain(others).collect();
        noticed += usize::from(readers_cope(
            &workshop,
            &commands,
            &format!("page {page}, byte {within}"),
        ));
        all += 1;
    }
    // A byte of free space or inside a text is no damage that could be seen; a page's own head is.
    assert!(noticed * 8 > all, "{noticed} of {all} noticed");
}

#[test]
fn one_flipped_byte_in_every_fourth_page_harms_no_reader() {
    flip_pages(0);
}

#[test]
fn one_flipped_byte_in_every_fourth_page_from_the_second_harms_no_reader() {
    flip_pages(1);
}

#[test]
fn one_flipped_byte_in_every_fourth_page_from_the_third_harms_no_reader() {
    flip_pages(2);
}

#[test]
fn one_flipped_byte_in_every_fourth_page_from_the_fourth_harms_no_reader() {
    flip_pages(3);
}

#[test]
fn every_byte_of_the_head_of_the_file_may_be_wrong() {
    let workshop = furnished();
    let whole = fs::read(workshop.book()).expect("reads");
    let names = workshop.names();
    for at in 0..100 {
        for wrong in [0x00, 0xFF, whole[at] ^ 1] {
            let mut bytes = whole.clone();
            bytes[at] = wrong;
            fs::write(workshop.book(), &bytes).expect("writes");
            for command in ["book check", "model list"] {
                let answer = workshop.run(command);
                assert!(
                    matches!(answer.code, Some(0 | 1 | 3)),
                    "byte {at}: {}",
                    answer.shown()
                );
            }
            assert!(
                fs::read(workshop.book()).expect("reads") == bytes,
                "byte {at} = {wrong:#x}"
            );
            forget_new_files(&workshop, &names);
        }
    }
}

/// Removes the copies that are kept before a book takes a step, which a wrong version number asks for.
fn forget_new_files(workshop: &Workshop, names: &[String]) {
    for name in workshop.names() {
        if !names.contains(&name) {
            assert!(
                Path::new(&name)
                    .to_string_lossy()
                    .contains("before-version"),
                "{name}"
            );
            fs::remove_file(workshop.path(&name)).expect("removes");
        }
    }
}
