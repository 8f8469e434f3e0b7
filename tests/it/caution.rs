//! Cautions where the work can hurt somebody: every command says its own once, in page, JSON and CSV.

use super::program::{lay_demo, run_at as run};
use ringwright::core::caution::Caution;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// What a command prints where its answer is yes or no.
fn printed(book: &Path, line: &str) -> String {
    let output = run(book, line);
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(
        matches!(output.status.code(), Some(0 | 1)),
        "{line}: {said}"
    );
    String::from_utf8(output.stdout).expect("text")
}

/// A page with its lines joined, so that a sentence is found wherever it was broken.
fn page(book: &Path, line: &str) -> String {
    let page = printed(book, line);
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn json(book: &Path, line: &str) -> Value {
    let text = printed(book, &format!("{line} --format json"));
    serde_json::from_str(&text).unwrap_or_else(|error| panic!("{line}: {error}: {text}"))
}

/// How often a sentence stands in a list of JSON.
fn times(list: &Value, sentence: &str) -> usize {
    let list = list.as_array().into_iter().flatten();
    list.filter(|one| one.as_str() == Some(sentence)).count()
}

fn demo() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("demo.book");
    lay_demo(&book);
    (folder, book)
}

const RING: &str = "--od \"12.80 12.85 mm by caliper\" --cs \"1.72 mm by caliper\"";
const GLAND: &str = "--kind piston --bore \"25.40 mm\" --groove \"22.40 mm\" --width \"2.40 mm\" --piston \"25.33 mm\"";

#[test]
fn every_answer_says_its_caution_once_in_page_and_json() {
    let (_folder, book) = demo();
    let shelf = Caution::Shelf.words();
    let added = page(&book, "stock add 2-012 --bin A3 --quantity 3");
    assert_eq!(added.matches(shelf).count(), 1, "{added}");
    let added = json(&book, "stock add 2-014 --bin A4 --quantity 3");
    assert_eq!(times(&added["cautions"], shelf), 1, "{added}");
    for (line, key, caution) in [
        (format!("ring {RING}"), "warnings", Caution::Named),
        (
            format!("gland check {GLAND} --ring AS568-020"),
            "warnings",
            Caution::Gland,
        ),
        (format!("gland fit {GLAND}"), "warnings", Caution::Gland),
        ("material --gas air".to_owned(), "warnings", Caution::Gland),
        ("care NBR".to_owned(), "warnings", Caution::Gland),
        ("parts Tarn".to_owned(), "cautions", Caution::Standing),
        ("parts Tarn".to_owned(), "cautions", Caution::HighPressure),
        ("order Tarn=1".to_owned(), "cautions", Caution::Standing),
        ("model show Tarn".to_owned(), "cautions", Caution::Standing),
        (
            "stock kit Tarn --for FT-000311".to_owned(),
            "cautions",
            Caution::Standing,
        ),
        ("stock list".to_owned(), "cautions", Caution::Shelf),
        (
            "stock take 2-012 --quantity 1 --for FT-000311".to_owned(),
            "cautions",
            Caution::Shelf,
        ),
        (
            "stock take 2-012 --quantity 90 --for FT-000311".to_owned(),
            "cautions",
            Caution::Shelf,
        ),
        ("uses AS568-118".to_owned(), "cautions", Caution::StandIn),
        (
            "offer find AS568-012".to_owned(),
            "cautions",
            Caution::Offered,
        ),
        ("size AS568-012".to_owned(), "cautions", Caution::NearSize),
        (
            "thread --od 9.43mm --pitch \"24 tpi\"".to_owned(),
            "cautions",
            Caution::Thread,
        ),
    ] {
        let sentence = caution.words();
        let page = page(&book, &line);
        assert_eq!(page.matches(sentence).count(), 1, "{line}: {page}");
        let report = json(&book, &line);
        assert_eq!(times(&report[key], sentence), 1, "{line}: {}", report[key]);
    }
}

#[test]
fn every_row_that_leaves_its_sheet_carries_a_notice() {
    let (_folder, book) = demo();
    for line in [
        "parts Tarn".to_owned(),
        "order Tarn=1".to_owned(),
        "stock kit Tarn --for FT-000311".to_owned(),
        format!("gland fit {GLAND}"),
        "gland cut --kind piston --ring AS568-020".to_owned(),
        "uses AS568-011".to_owned(),
        "material --gas air".to_owned(),
    ] {
        let text = printed(&book, &format!("{line} --format csv"));
        let mut rows = csv::ReaderBuilder::new().from_reader(text.as_bytes());
        let header = rows.headers().expect("a header").clone();
        assert_eq!(header.iter().next_back(), Some("notice"), "{line}");
        let mut seen = 0;
        for row in rows.records() {
            let row = row.expect("a row");
            let notice = row.iter().next_back().expect("a last cell");
            assert!(notice.ends_with(Caution::Row.words()), "{line}: {notice}");
            seen += 1;
        }
        assert!(seen > 0, "{line}: no rows");
    }
    // What a row must say for itself stands before that.
    let uses = printed(&book, "uses AS568-011 --format csv");
    assert!(
        uses.contains("TRIED AND FAILED: do not fit it there | "),
        "{uses}"
    );
}

#[test]
fn a_batch_says_the_caution_once_beside_its_rows_and_keeps_its_columns() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("none.book");
    std::fs::write(
        folder.path().join("rings.csv"),
        "case,condition,od_mm,od_method,cs_mm,cs_method\nA,used,12.82,caliper,1.72,caliper\nB,used,16.0,caliper,1.75,flat\n",
    )
    .expect("writes");
    let output = run(&book, "ring --batch rings.csv --format csv");
    let rows = String::from_utf8(output.stdout).expect("text");
    let said = String::from_utf8(output.stderr).expect("text");
    assert_eq!(output.status.code(), Some(0), "{said}");
    assert!(
        rows.starts_with("case,rank,code,id_mm,cs_mm,probability,other_codes,error\n"),
        "{rows}"
    );
    assert_eq!(said.matches(Caution::Named.words()).count(), 1, "{said}");
    let one = run(&book, &format!("ring {RING} --format csv"));
    let said = String::from_utf8_lossy(&one.stderr);
    assert_eq!(said.matches(Caution::Named.words()).count(), 1, "{said}");
}

#[test]
fn every_step_defers_to_local_codes_and_licensed_practice_once() {
    let (_folder, book) = demo();
    let sentence = Caution::Step.words();
    let said_once = |line: &str| {
        let page = page(&book, line);
        assert_eq!(page.matches(sentence).count(), 1, "{line}: {page}");
    };
    for line in [
        "setting --reading \"145 psi at 3000 psi\" --reading \"125 psi at 500 psi\"",
        "setting expect --design unbalanced-piston --head \"25.4 mm\" --stem \"8 mm\" --seat \"2.4 mm\" --spring \"361.27 N\"",
        "shim --setting \"0.50 mm: 138 psi\" --setting \"0.75 mm: 142.5 psi\" --target \"147 psi\" --fitted \"0.25x3 mm\" --stock \"0.10x4 0.25x2 mm\"",
        "spring --point \"100 N at 32.0 mm\" --point \"150 N at 28.0 mm\"",
    ] {
        said_once(line);
        let report = json(&book, line);
        assert_eq!(times(&report["cautions"], sentence), 1, "{line}: {report}");
    }
    said_once("job open Tarn FT-000311 --by Ada");
    for line in [
        "job step 1 --by Ada --clean \"warm water and soap\"",
        "job step 1 --by Ada --lubricant \"silicone grease\" --lot G-1",
        "job reading 1 --as-found --by Ada --reading \"138 psi at 190 bar\"",
    ] {
        said_once(line);
    }
}

#[test]
fn what_can_hurt_somebody_is_told_in_full_with_its_line_when_a_note_is_added() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("demo.book");
    let filled = page(&book, "demo");
    for (serial, line, message) in [
        (
            "FT-000311",
            12,
            "the unit is rated 2500 psi, below its supply of 200 bar",
        ),
        (
            "FT-000478",
            10,
            "the unit is rated 2500 psi, below its supply of 3000 psi",
        ),
        ("FB-000214", 9, "32 % oxygen is above 23.5 % (CGA usage)"),
    ] {
        let words = format!("CAUTION: unit {serial}, line {line} of {serial}.note: {message}");
        assert_eq!(filled.matches(&words).count(), 1, "{words}: {filled}");
    }
    assert!(!filled.contains("1 points"), "{filled}");
    // The other points are those that `note check` shows.
    for message in [
        "nothing is measured on this ring",
        "the section of this ring is not measured",
    ] {
        assert!(filled.contains(message), "{message}: {filled}");
    }

    let note = "model Mere\nunit 7\ndate 2026-03-14\ngas nitrox 36\noxygen 36 %\nsupply 232 bar\nrated 200 bar\nlengths mm\n\n[inlet]\n\
        o-ring ; at seat ; keep ; NBR ; od 12.8 by caliper ; cs 1.75 by flat\n";
    std::fs::write(folder.path().join("mere.note"), note).expect("writes");
    let report = json(&book, "note add mere.note");
    let dangers = report["notes"][0]["dangers"].as_array().expect("a list");
    let told: Vec<(u64, &str)> = dangers
        .iter()
        .map(|one| {
            assert_eq!(one["severity"], "danger");
            let line = one["line"].as_u64().expect("a line");
            (line, one["message"].as_str().expect("words"))
        })
        .collect();
    let [share, rated, nitrile] = told.as_slice() else {
        panic!("{told:?}")
    };
    assert!(share.0 == 5 && share.1.contains("oxygen-enriched"));
    assert!(rated.0 == 7 && rated.1.contains("below its supply"));
    assert!(nitrile.0 == 11 && nitrile.1.contains("NBR is unsuitable"));
    let rows = printed(&book, "note add mere.note --format csv");
    assert!(
        rows.contains("line 7 of mere.note: the unit is rated 200 bar"),
        "{rows}"
    );
}

fn failed_of<'r>(list: &'r Value, section: &str, position: &str) -> &'r Value {
    let lines = list["lines"].as_array().expect("lines");
    let line = lines
        .iter()
        .find(|line| line["section"] == section && line["position"] == position);
    line.unwrap_or_else(|| panic!("{section} {position}"))
}

#[test]
fn what_failed_at_a_place_is_told_on_its_line_and_on_no_other() {
    let (folder, book) = demo();
    let list = json(&book, "parts Tarn");
    let line = failed_of(&list, "body", "at piston stem");
    let failed = &line["failed"][0];
    assert_eq!(failed["part"], "ISO 3601-1 7.5x1.8", "{line}");
    assert_eq!(failed["reach"], "here");
    assert_eq!(failed["is_listed"], false);
    assert_eq!(line["decided"], true);
    let alternates = line["alternates"].as_array().expect("a list");
    assert!(
        alternates
            .iter()
            .all(|one| one["codes"][0] != "ISO 3601-1 7.5x1.8"),
        "{line}"
    );
    let others = list["lines"].as_array().expect("lines");
    let told = |line: &&Value| line["failed"].as_array().is_some_and(|f| !f.is_empty());
    assert_eq!(others.iter().filter(told).count(), 1);
    let words = "tried and failed here: ISO 3601-1 7.5x1.8 (M. Okafor, ";
    let shown = page(&book, "parts Tarn");
    assert_eq!(shown.matches(words).count(), 1, "{shown}");
    let rows = printed(&book, "parts Tarn --format csv");
    assert!(rows.contains(words), "{rows}");
    printed(&book, "sheet parts Tarn --out parts.html --date 2026-03-14");
    let sheet = std::fs::read_to_string(folder.path().join("parts.html")).expect("a sheet");
    assert!(sheet.contains("tried and failed here"), "{sheet}");
    // Tarn 2 has the same ring at a place of the same name, and nothing was said of that one.
    let second = page(&book, "parts \"Tarn 2\"");
    assert!(!second.contains("tried and failed"), "{second}");
    // Of a place that nobody can find it is told wherever the part is listed, with the words.
    printed(
        &book,
        "uses AS568-011 --stand-in AS568-012 --grade failed --at \"club bench\" --by Ada --evidence \"leaked\"",
    );
    let second = page(&book, "parts \"Tarn 2\"");
    assert!(
        second.contains("(at \"club bench\"): AS568-012 (Ada, "),
        "{second}"
    );
}

#[test]
fn a_listed_ring_that_failed_at_its_place_is_said_on_top_and_is_not_ordered() {
    let (_folder, book) = demo();
    let before = json(&book, "parts Tarn");
    let listed = failed_of(&before, "piston", "on piston head");
    assert_eq!(listed["codes"][0], "AS568-118");
    assert_eq!(listed["decided"], true);
    let order = page(&book, "order Tarn=1");
    assert!(order.contains("AS568-118 NBR"), "{order}");
    printed(
        &book,
        "uses AS568-117 --stand-in AS568-118 --grade failed --at \"Tarn, on piston head\" --by Ada --evidence \"blew by at 140 psi\"",
    );
    let list = json(&book, "parts Tarn");
    let line = failed_of(&list, "piston", "on piston head");
    assert_eq!(line["decided"], false, "{line}");
    assert_eq!(line["failed"][0]["is_listed"], true, "{line}");
    let top = list["warnings"][0].as_str().expect("words");
    assert!(
        top.contains("THE LISTED PART ITSELF was tried and failed here"),
        "{top}"
    );
    assert_eq!(times(&list["cautions"], Caution::Undecided.words()), 1);
    let order = page(&book, "order Tarn=1");
    let (bought, waits) = order
        .split_once("Not ordered: measure first")
        .expect("both");
    assert!(!bought.contains("AS568-118 NBR"), "{bought}");
    assert!(waits.contains("blew by at 140 psi"), "{waits}");
    let kit = json(&book, "stock kit Tarn --for FT-000311");
    let bag = kit["lines"].as_array().expect("lines").iter();
    let mut bag = bag.filter(|line| line["position"] == "on piston head");
    let why = bag.next().and_then(|line| line["why"].as_str());
    assert!(
        why.is_some_and(|why| why.contains("tried and failed here")),
        "{kit}"
    );
    let uses = json(&book, "uses AS568-118");
    assert_eq!(uses["parts"][0]["used"][0]["decided"], false, "{uses}");
}
