//! Many processes on one book at once: no lost update, no command stopped half-way, and a wait is told.

use super::furnished;
use crate::program::{Answer, Workshop, import_line, number};
use rusqlite::Connection;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

/// How long the crowd works.
const TIME: Duration = Duration::from_secs(6);
const WRITERS: usize = 8;
const READERS: usize = 8;

/// Counts what the writers were told is done.
#[derive(Default)]
struct Done {
    lots: AtomicUsize,
    takes: AtomicUsize,
    notes: AtomicUsize,
    lists: AtomicUsize,
    answers: AtomicUsize,
}

fn count(counter: &AtomicUsize) {
    counter.fetch_add(1, Ordering::Relaxed);
}

fn write_round(workshop: &Workshop, writer: usize, round: usize, done: &Done) {
    let name = format!("{writer}-{round}");
    match (writer + round) % 4 {
        0 => {
            workshop.done(&format!("stock add AS568-013 --bin {name} --quantity 3"));
            count(&done.lots);
        }
        1 => {
            workshop.done(&format!("stock take AS568-012 --quantity 1 --for {name}"));
            count(&done.takes);
        }
        2 => {
            let note = format!(
                "model Crowd\nunit {name}\ndate 2026-03-14\nlengths mm\n\n[inlet]\nfilter disc ; replace ; od 14.9\n"
            );
            let file = format!("{name}.note");
            workshop.write(&file, note);
            workshop.done(&format!("note add {file}"));
            count(&done.notes);
        }
        _ => {
            let file = format!("{name}.csv");
            let rows: Vec<String> = (0..50)
                .map(|n| format!("N{n},O-ring -0{:02} NBR 70,10,1.60\n", 10 + n % 20))
                .collect();
            workshop.write(
                &file,
                format!("number,description,pack,price\n{}", rows.concat()),
            );
            let supplier = format!("S{name}");
            workshop.done(&import_line(&file, &supplier));
            count(&done.lists);
        }
    }
}

/// Reads in turn; a number that only grows must never fall.
fn read_rounds(workshop: &Workshop, reader: usize, until: Instant, done: &Done) {
    let mut notes = 0.0;
    let commands = [
        "book path --format json",
        "offer find AS568-012",
        "parts Tarn",
        "stock list",
    ];
    for round in reader.. {
        if Instant::now() >= until {
            return;
        }
        let answer = workshop.run(commands[round % commands.len()]);
        assert!(matches!(answer.code, Some(0 | 1)), "{}", answer.shown());
        count(&done.answers);
        if round % commands.len() == 0 {
            let now = number(&answer.json()["notes"]);
            assert!(now >= notes, "{now} notes after {notes}");
            notes = now;
        }
    }
}

fn counted(book: &Connection, sql: &str) -> usize {
    let found: i64 = book.query_row(sql, [], |row| row.get(0)).expect("reads");
    usize::try_from(found).expect("no less than nothing")
}

#[test]
fn eight_writers_and_eight_readers_lose_nothing_and_none_is_stopped() {
    let workshop = furnished();
    workshop.done("stock add AS568-012 --bin full --quantity 100000");
    let count_notes = "SELECT count(*) FROM note";
    let notes_before = counted(
        &Connection::open(workshop.book()).expect("opens"),
        count_notes,
    );
    let done = Done::default();
    let until = Instant::now() + TIME;
    std::thread::scope(|scope| {
        for writer in 0..WRITERS {
            let (workshop, done) = (&workshop, &done);
            scope.spawn(move || {
                for round in 0.. {
                    if Instant::now() >= until {
                        return;
                    }
                    write_round(workshop, writer, round, done);
                }
            });
        }
        for reader in 0..READERS {
            let (workshop, done) = (&workshop, &done);
            scope.spawn(move || read_rounds(workshop, reader, until, done));
        }
    });
    let book = Connection::open(workshop.book()).expect("opens");
    let told = |counter: &AtomicUsize| counter.load(Ordering::Relaxed);
    assert_eq!(
        counted(&book, "SELECT count(*) FROM stock_lot WHERE bin LIKE '%-%'"),
        told(&done.lots)
    );
    assert_eq!(
        counted(
            &book,
            "SELECT -sum(quantity) FROM stock_move WHERE quantity < 0"
        ),
        told(&done.takes)
    );
    assert_eq!(
        counted(&book, count_notes) - notes_before,
        told(&done.notes)
    );
    assert_eq!(
        counted(
            &book,
            "SELECT count(*) FROM supplier WHERE name LIKE 'S%-%'"
        ),
        told(&done.lists)
    );
    let parts = "SELECT count(*) FROM price_list l WHERE l.accepted <> (SELECT count(*) FROM offer o WHERE o.price_list_id = l.id)";
    assert_eq!(counted(&book, parts), 0, "a list is whole");
    for counter in [
        &done.lots,
        &done.takes,
        &done.notes,
        &done.lists,
        &done.answers,
    ] {
        assert!(told(counter) > 0, "every kind of command had its turn");
    }
    let check = workshop.run("book check");
    assert_eq!(check.code, Some(0), "{}", check.shown());
}

#[test]
fn a_wait_for_another_process_is_told_and_the_command_is_done_after_it() {
    let workshop = furnished();
    for line in ["stock list", "stock add AS568-013 --bin W --quantity 1"] {
        let holder = Connection::open(workshop.book()).expect("opens");
        holder.execute_batch("BEGIN EXCLUSIVE").expect("holds");
        let waiting = workshop.start(line);
        std::thread::sleep(Duration::from_millis(900));
        holder.execute_batch("COMMIT").expect("lets go");
        let output = waiting.wait_with_output().expect("ends");
        let answer = Answer::judged(line, &output);
        assert_eq!(answer.code, Some(0), "{}", answer.shown());
        let told = answer.err.matches("waiting: another process").count();
        assert_eq!(told, 1, "{}", answer.shown());
    }
}

#[test]
fn a_book_held_too_long_is_named_and_nothing_is_half_done() {
    let workshop = furnished();
    let holder = Connection::open(workshop.book()).expect("opens");
    holder.execute_batch("BEGIN IMMEDIATE").expect("holds");
    let answer = workshop.run("stock add AS568-013 --bin W --quantity 1");
    answer.refuses_the_book("is in use by another process");
    // Who only reads is not kept waiting by a writer that has not come to its end.
    let reader = workshop.done("stock list");
    assert!(reader.err.is_empty(), "{}", reader.shown());
    holder.execute_batch("COMMIT").expect("lets go");
    workshop.done("stock add AS568-013 --bin W --quantity 1");
}
