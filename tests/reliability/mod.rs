//! Nothing lost, nothing let in: damaged books, many processes at once, hostile input, full disks. Unix only, because it
//! needs rights of files, signals and limits of the shell.
#![cfg(unix)]

mod copies;
mod crowd;
mod damage;
mod disk;
mod hostile_form;
mod hostile_list;
mod hostile_note;
mod versions;

use crate::program::Workshop;
use std::sync::OnceLock;

/// A gibibyte of addresses, threads and program included.
const CAP: &str = "ulimit -v 1048576";

/// Commands that only read a book, each from another corner of it. The demo shop is in it.
const READING: [&str; 20] = [
    "book path",
    "book check",
    "book set-aside",
    "model list",
    "model show Tarn",
    "parts Beck",
    "note list",
    "note show FT2-004417",
    "offer supplier",
    "offer find AS568-012",
    "offer find filtr",
    "offer find --id '9.25 mm' --cs '1.78 mm'",
    "order Tarn=1",
    "stock list",
    "job list",
    "job show 1",
    "uses AS568-012",
    "ring --learned",
    "setting gauge list",
    "size 012",
];

/// The forms in which everything is shown.
const FORMS: [&str; 4] = ["table", "json", "csv", "md"];

/// A lot for the shelf.
const LOT: &str = "stock add AS568-012 --bin B --quantity 1";

/// Makes a workshop with the demo shop, a lot on the shelf, a gauge and a job.
fn furnished() -> Workshop {
    static MADE: OnceLock<Vec<u8>> = OnceLock::new();
    let made = MADE.get_or_init(|| {
        let workshop = Workshop::demo();
        for line in [
            "stock add 'AS568-012 N70' --bin A1 --quantity 10 --lot X1 --cured 2025-Q2",
            "setting gauge add 2 --offset '+1.5 psi' --checked 2026-10-01 --against 'dead weight tester'",
            "job open 'Tarn 2' FT2-004417 --by 'M. Okafor'",
            "job step 1 --torque 'cap 25 N m' --by 'M. Okafor'",
        ] {
            workshop.done(line);
        }
        workshop.bytes()
    });
    Workshop::with_book(made)
}

/// Shows what a command answers in every form; no cell of the CSV may be computed by a spreadsheet.
fn shown_in_every_form(workshop: &Workshop, line: &str) {
    for form in FORMS {
        let shown = workshop.run(&format!("{line} --format {form}"));
        if form == "csv" {
            hostile_list::no_formula(&shown.out);
        }
    }
}
