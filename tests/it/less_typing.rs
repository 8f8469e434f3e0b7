//! A line of the parts list named by its number wherever a part is named, the bag of a unit and the job that is filled from it,
//! and the units of whoever reads.

use super::program::{at_book, lay_demo};
use serde_json::Value;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Output, Stdio};

fn run(book: &Path, line: &str, input: &str) -> Output {
    let mut child = at_book(book, line)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    let mut stdin = child.stdin.take().expect("a pipe");
    // A command that does not ask may have ended before.
    let _ = stdin.write_all(input.as_bytes());
    drop(stdin);
    child.wait_with_output().expect("it ends")
}

fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn told(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

fn demo() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("demo.book");
    lay_demo(&book);
    (folder, book)
}

fn json(book: &Path, line: &str) -> Value {
    let output = run(book, &format!("{line} --format json"), "");
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|e| panic!("{line}: {e}: {}", told(&output)))
}

/// The line of the piston head's ring.
fn head_line(book: &Path) -> String {
    let list = json(book, "parts \"Tarn 2\"");
    let lines = list["lines"].as_array().expect("lines").iter();
    let mut head = lines.filter(|l| l["part"] == "o-ring" && l["position"] == "on piston head");
    head.next().expect("a ring on the piston head")["number"].to_string()
}

#[test]
fn a_line_of_the_list_stands_for_its_part_and_groove() {
    let (_folder, book) = demo();
    let line = head_line(&book);
    let check = json(&book, &format!("gland check \"Tarn 2\" {line}"));
    assert_eq!(check["kind"], "piston", "{check}");
    let codes = check["ring"]["codes"].as_array().expect("codes");
    assert!(codes.contains(&"AS568-119".into()), "{check}");
    let sheet = run(
        &book,
        &format!("sheet gland \"Tarn 2\" {line} --out g.svg"),
        "",
    );
    assert!(sheet.status.success(), "{}", told(&sheet));
    let used = run(&book, &format!("uses \"Tarn 2\" {line}"), "");
    assert!(out(&used).contains("AS568-119"), "{}", out(&used));
    let none = run(&book, "gland check \"Tarn 2\" 99", "");
    assert_eq!(none.status.code(), Some(2), "{}", told(&none));
    let why = "--by \"A. Lind\" --why \"drawing\"";
    let decided = run(
        &book,
        &format!("decide \"Tarn 2\" --at {line} --ring AS568-119 {why}"),
        "",
    );
    assert!(decided.status.success(), "{}", told(&decided));
    let back = run(
        &book,
        &format!("decide \"Tarn 2\" --at {line} --take-back {why}"),
        "",
    );
    assert!(back.status.success(), "{}", told(&back));
}

#[test]
fn a_dash_number_is_found_as_a_size_and_as_an_offer() {
    let (_folder, book) = demo();
    for line in ["size -012", "offer find -012", "stock list -012"] {
        let output = run(&book, line, "");
        assert!(output.status.code() < Some(2), "{line}: {}", told(&output));
    }
    assert!(out(&run(&book, "offer find -012", "")).contains("012"));
}

#[test]
fn the_bag_takes_what_is_there_and_the_job_is_filled_from_it() {
    let (_folder, book) = demo();
    let line = head_line(&book);
    run(
        &book,
        "stock add AS568-119 --polymer NBR --hardness 70A --bin A1 --quantity 3 --lot K-114 --cured 2026-Q1",
        "",
    );
    let kit = "stock kit \"Tarn 2\" --for FT2-005102 --take";
    let first = run(&book, kit, "");
    assert_eq!(first.status.code(), Some(1), "{}", told(&first));
    assert!(
        out(&first).contains("what is there was taken"),
        "{}",
        out(&first)
    );
    run(&book, kit, "");
    let left = json(&book, "stock list AS568-119");
    assert_eq!(left["lots"][0]["on_hand"], 2, "taken once: {left}");

    run(
        &book,
        "job open \"Tarn 2\" FT2-005102 --by \"M. Okafor\"",
        "",
    );
    // The lines in their order: the one that is in the bag with Enter, the others left.
    let list = json(&book, "parts \"Tarn 2\"");
    let lines = list["lines"].as_array().expect("lines").iter();
    let replaced = lines.filter(|l| l["action"] == "replace");
    let answers: String = replaced
        .map(|l| {
            if l["number"].as_u64() == line.parse().ok() {
                "\n"
            } else {
                "skip\n"
            }
        })
        .collect();
    let parts = run(&book, "job parts 1 --by \"M. Okafor\"", &answers);
    assert!(parts.status.success(), "{}", told(&parts));
    assert!(told(&parts).contains("[lot K-114]"), "{}", told(&parts));
    let shown = json(&book, "job show 1");
    let entries = shown["record"]["entries"].as_array().expect("entries");
    let fitted: Vec<&Value> = entries
        .iter()
        .filter(|e| e.to_string().contains("K-114"))
        .collect();
    assert_eq!(fitted.len(), 1, "{shown}");
    // One judge: what is asked for release is what `job step` would have left open.
    let again = run(
        &book,
        "job parts 1 --by \"M. Okafor\"",
        "? ; spec x\n\nkeep\ndone\n",
    );
    assert!(!told(&again).contains("[lot K-114]"), "{}", told(&again));
    assert!(told(&again).contains("which lot?"), "{}", told(&again));
    let after = json(&book, "job show 1");
    assert_eq!(after["record"]["entries"], shown["record"]["entries"]);
}

const READ: &str = "148.5 psi at 195 bar, 132.5 at 35; gauge 2; lock-up 1 s; creep 0 s 148.5 psi, 300 s 149, 600 s 149, 900 s 149";

/// The kinds and words of a job's entries.
fn entries(book: &Path, job: u32) -> Vec<(String, String)> {
    let shown = json(book, &format!("job show {job}"));
    let entries = shown["record"]["entries"].as_array().expect("entries");
    let text = |entry: &Value, key: &str| entry[key].as_str().unwrap_or_default().to_owned();
    let words = |entry: &Value| {
        ["how", "name", "lot", "words"]
            .map(|key| text(entry, key))
            .join("|")
    };
    let said = entries
        .iter()
        .map(|entry| (text(entry, "entry"), words(entry)));
    said.collect()
}

#[test]
fn a_line_says_several_entries_all_or_none_and_same_says_the_last_again_in_full() {
    let (_folder, book) = demo();
    let by = "--by \"M. Okafor\"";
    let none = run(&book, &format!("job do \"clean rinse\" {by}"), "");
    assert!(told(&none).contains("no job is open"), "{}", told(&none));
    let opened = run(
        &book,
        &format!("job open FT2-005102 --do \"found; why it came in pieces\" {by}"),
        "",
    );
    assert!(opened.status.success(), "{}", told(&opened));
    let line = format!(
        "job do \"part o-ring at cap joint; spec AS568-025 NBR 70; lot K-121; clean hot rinse, dried; lubricant silicone grease; lot S-07; \
         left {}; leak test immersion 5 min at 195 bar; result passed\" {by}",
        READ.replace("gauge 2; ", "")
    );
    let wrong = run(
        &book,
        &line.replace("o-ring at cap joint", "no such place"),
        "",
    );
    assert_eq!(wrong.status.code(), Some(2), "{}", told(&wrong));
    assert_eq!(entries(&book, 1).len(), 3, "nothing was written");
    run(&book, &line, "");
    let first = entries(&book, 1);
    let kinds: Vec<&str> = first
        .iter()
        .skip(2)
        .map(|(kind, _)| kind.as_str())
        .collect();
    assert_eq!(
        kinds,
        [
            "reading",
            "part",
            "clean",
            "lubricant",
            "reading",
            "leak-test"
        ]
    );
    // A second open job: from now on the job must be named.
    run(&book, &format!("job open FT2-004623 {by}"), "");
    let which = run(&book, &format!("job do \"clean same\" {by}"), "");
    assert!(
        told(&which).contains("jobs 1, 2 are open"),
        "{}",
        told(&which)
    );
    let again =
        format!("job do 2 \"clean same; lubricant same; leak test same; result failed\" {by}");
    let leaks = run(&book, &again, "");
    assert_eq!(
        leaks.status.code(),
        Some(1),
        "a leak is told: {}",
        told(&leaks)
    );
    let second = entries(&book, 2);
    let said = |kind: &str, of: &[(String, String)]| {
        let found = of.iter().find(|(k, _)| k == kind);
        found.map(|(_, words)| words.clone()).unwrap_or_default()
    };
    for kind in ["clean", "lubricant"] {
        assert_eq!(said(kind, &second), said(kind, &first), "{second:?}");
    }
    let place = 1 + second
        .iter()
        .position(|(kind, _)| kind == "lubricant")
        .expect("entered");
    let wrong = format!("job correct 2 {place} slip --lubricant same {by}");
    let refused = run(&book, &wrong, "");
    assert_eq!(refused.status.code(), Some(2), "{}", told(&refused));
    assert!(told(&refused).contains("in full"), "{}", told(&refused));
    let test = said("leak-test", &second);
    assert!(test.contains("immersion 5 min at 195 bar"), "{test}");
    for wrong in [
        "hot rinse",
        "lot K-1; clean x2",
        "clean rinse; as listed no",
        "left",
        "not done",
    ] {
        let refused = run(&book, &format!("job do 2 \"{wrong}\" {by}"), "");
        assert_eq!(refused.status.code(), Some(2), "{wrong}: {}", out(&refused));
    }
    assert_eq!(entries(&book, 2), second, "what is refused writes nothing");
}

#[test]
fn what_is_missing_is_asked_for_and_nothing_that_decides_safety_is_taken_by_enter_alone() {
    let (_folder, book) = demo();
    let by = "--by \"M. Okafor\"";
    run(&book, &format!("job open FT2-005102 {by}"), "");
    let before = entries(&book, 1).len();
    run(&book, &format!("job do {by}"), &"\n".repeat(40));
    assert_eq!(
        entries(&book, 1).len(),
        before,
        "the bag is empty: Enter enters nothing"
    );
    run(
        &book,
        &format!("job do {by}"),
        "142 psi at 195 bar, 126 at 35\ndone\n",
    );
    assert_eq!(entries(&book, 1).len(), before + 1);
    let parts = "skip\n".repeat(20);
    let asked = run(&book, &format!("job do {by}"), &parts);
    assert!(
        !told(&asked).contains("As found:"),
        "asked once: {}",
        told(&asked)
    );
    assert!(
        told(&asked).contains("How was it cleaned?"),
        "{}",
        told(&asked)
    );
}

#[test]
fn lengths_without_a_unit_are_one_error_with_one_remedy_and_both_commands_tell_the_same() {
    let (_folder, book) = demo();
    let note = "model Tarn\nunit 1\ndate 2026-03-14\n[inlet]\nclip ; keep ; od 14\nshim ; keep ; thick 0.25\nfilter ; replace ; od 12 ; thick 3\n";
    std::fs::write(book.with_file_name("t.note"), note).expect("written");
    let check = run(&book, "note check t.note", "");
    let add = run(&book, "note add t.note", "");
    for output in [&check, &add] {
        assert_eq!(output.status.code(), Some(2));
        let words = told(output);
        assert_eq!(words.matches("has no unit").count(), 1, "{words}");
        assert!(
            words.contains("lengths mm") && words.contains("3 more"),
            "{words}"
        );
    }
    assert!(told(&check).contains("1 error"), "{}", told(&check));
    let doubtful = "model Tarn\nunit 1\ndate 2026-03-14\nlengths mm\n[inlet]\no-ring ; at seat ; replace ; od 16\n";
    std::fs::write(book.with_file_name("t.note"), doubtful).expect("written");
    let point = "the section of this ring is not measured";
    assert!(told(&run(&book, "note check t.note", "")).contains(point));
    assert!(out(&run(&book, "note add t.note", "")).contains(point));
}

/// The columns of a page before the words of a rule.
const FIGURES: usize = 44;

#[test]
fn who_writes_bar_reads_bar() {
    let (_folder, book) = demo();
    let bar = [
        "setting --reading \"10.0 bar at 200 bar\" --reading \"8.6 bar at 35 bar\" --creep \"0 s 10 bar, 300 s 10.1 bar, 900 s 10.2 bar\"",
        "shim --setting \"0.50 mm: 9.5 bar\" --setting \"0.75 mm: 9.8 bar\" --target \"10 bar\" --fitted \"0.25x3 mm\" --stock \"0.10x4 mm\"",
    ];
    for line in bar {
        let page = out(&run(&book, line, ""));
        let figures = page.replace("(145.0 psi)", "");
        // Rules of the trade stand behind the figures in the words of their sources.
        let figure = |line: &str| line.chars().take(FIGURES).collect::<String>();
        let rows: Vec<String> = figures
            .lines()
            .map(figure)
            .filter(|l| l.contains("psi") && !l.contains(" bar ("))
            .collect();
        assert!(
            !page.is_empty() && rows.is_empty(),
            "{line}: {rows:?}\n{page}"
        );
    }
    let psi = out(&run(
        &book,
        "setting --reading \"142 psi at 195 bar\" --reading \"126 psi at 35 bar\"",
        "",
    ));
    assert!(psi.contains("psi for 100 bar more supply"), "{psi}");
    assert!(psi.contains("142.0 psi at 195 bar of supply"), "{psi}");
}

#[test]
fn who_writes_psi_reads_psi_and_both_where_everything_is_shown() {
    let (_folder, book) = demo();
    let setting = "setting --reading \"142 psi at 3000 psi\" --reading \"126 psi at 500 psi\" --creep \"0 s 142 psi, 300 s 142.5 psi, 900 s 143 psi\" --lock-up \"1 s\"";
    for line in [
        setting,
        "setting --reading \"260 psi at 3000 psi\"",
        "shim --setting \"0.50 mm: 138 psi\" --setting \"0.75 mm: 142.5 psi\" --target \"147 psi\" --fitted \"0.25x3 mm\" --stock \"0.10x4 mm\"",
        "shim --setting \"0.50 mm: 138 psi\" --setting \"0.75 mm: 142.5 psi\" --target \"247 psi\" --fitted \"0.25x3 mm\" --stock \"0.10x4 mm\"",
        "setting gauge add 7 --offset \"+1.5 psi\" --error \"0.5 psi\" --checked 2026-10-01 --against \"dead weight tester\"",
        "setting gauge list",
        "setting expect --design unbalanced-piston --head \"25.4 mm\" --stem \"8 mm\" --seat \"2.4 mm\" --spring \"361.27 N\" --supply \"3000 psi\" --reading \"142 psi at 3000 psi\"",
    ] {
        let output = run(&book, line, "");
        let page = out(&output);
        assert!(
            page.contains(" psi") && !page.contains(" bar"),
            "{line}\n{page}{}",
            told(&output)
        );
    }
    let full = out(&run(&book, &format!("{setting} --full"), ""));
    assert!(
        full.contains("142.0 psi (9.79 bar) at 3000 psi of supply"),
        "{full}"
    );
}

#[test]
fn two_names_of_one_place_are_joined_where_a_person_says_so() {
    let (_folder, book) = demo();
    for (unit, place) in [("1", "at retainer"), ("2", "at yoke retainer")] {
        let note = format!(
            "model Gull\nunit {unit}\ndate 2026-03-14\nlengths mm\n[inlet]\no-ring ; {place} ; replace ; od 16 ; cs 1.75\n"
        );
        std::fs::write(book.with_file_name("t.note"), note).expect("written");
        let added = run(&book, "note add t.note", "");
        assert!(added.status.success(), "{}", told(&added));
    }
    let before = out(&run(&book, "parts Gull", ""));
    assert!(
        before.contains("may be one place") && before.contains("note join"),
        "{before}"
    );
    let joined = run(
        &book,
        "note join Gull \"o-ring at retainer\" \"o-ring at yoke retainer\"",
        "",
    );
    assert!(joined.status.success(), "{}", told(&joined));
    let after = json(&book, "parts Gull");
    assert_eq!(after["lines"].as_array().map(Vec::len), Some(1), "{after}");
    assert_eq!(after["lines"][0]["position"], "at yoke retainer");
}
