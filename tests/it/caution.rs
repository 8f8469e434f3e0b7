//! Cautions where the work can hurt somebody: every command says its own once, in page, JSON and CSV.

use super::program::{Workshop, find, items, text};
use ringwright::core::caution::Caution;
use serde_json::Value;

/// How often a sentence stands in a list of JSON.
fn times(list: &Value, sentence: &str) -> usize {
    let list = list.as_array().into_iter().flatten();
    list.filter(|one| one.as_str() == Some(sentence)).count()
}

const RING: &str = "--od \"12.80 12.85 mm by caliper\" --cs \"1.72 mm by caliper\"";
const GLAND: &str = "--kind piston --bore \"25.40 mm\" --groove \"22.40 mm\" --width \"2.40 mm\" --piston \"25.33 mm\"";

#[test]
fn every_answer_says_its_caution_once_in_page_and_json() {
    let shop = Workshop::demo();
    let shelf = Caution::Shelf.words();
    let added = shop.page("stock add 2-012 --bin A3 --quantity 3");
    assert_eq!(added.matches(shelf).count(), 1, "{added}");
    let added = shop.json("stock add 2-014 --bin A4 --quantity 3");
    assert_eq!(times(&added["cautions"], shelf), 1, "{added}");
    for (line, key, caution) in [
        (format!("ring {RING}").as_str(), "warnings", Caution::Named),
        (
            &format!("gland check {GLAND} --ring AS568-020"),
            "warnings",
            Caution::Gland,
        ),
        (&format!("gland fit {GLAND}"), "warnings", Caution::Gland),
        ("material --gas air", "warnings", Caution::Gland),
        ("care NBR", "warnings", Caution::Gland),
        ("parts Tarn", "cautions", Caution::Standing),
        ("parts Tarn", "cautions", Caution::HighPressure),
        ("order Tarn=1", "cautions", Caution::Standing),
        ("model show Tarn", "cautions", Caution::Standing),
        (
            "stock kit Tarn --for FT-000311",
            "cautions",
            Caution::Standing,
        ),
        ("stock list", "cautions", Caution::Shelf),
        (
            "stock take 2-012 --quantity 1 --for FT-000311",
            "cautions",
            Caution::Shelf,
        ),
        (
            "stock take 2-012 --quantity 90 --for FT-000311",
            "cautions",
            Caution::Shelf,
        ),
        ("uses AS568-118", "cautions", Caution::StandIn),
        ("offer find AS568-012", "cautions", Caution::Offered),
        ("size AS568-012", "cautions", Caution::NearSize),
        (
            "thread --od 9.43mm --pitch \"24 tpi\"",
            "cautions",
            Caution::Thread,
        ),
    ] {
        let sentence = caution.words();
        let page = shop.page(line);
        assert_eq!(page.matches(sentence).count(), 1, "{line}: {page}");
        let report = shop.json(line);
        assert_eq!(times(&report[key], sentence), 1, "{line}: {}", report[key]);
    }
}

#[test]
fn every_row_that_leaves_its_sheet_carries_a_notice() {
    let shop = Workshop::demo();
    for line in [
        "parts Tarn",
        "order Tarn=1",
        "stock kit Tarn --for FT-000311",
        &format!("gland fit {GLAND}"),
        "gland cut --kind piston --ring AS568-020",
        "uses AS568-011",
        "material --gas air",
    ] {
        let text = shop.printed(&format!("{line} --format csv"));
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
    let uses = shop.printed("uses AS568-011 --format csv");
    assert!(
        uses.contains("TRIED AND FAILED: do not fit it there | "),
        "{uses}"
    );
}

#[test]
fn a_batch_says_the_caution_once_beside_its_rows_and_keeps_its_columns() {
    let shop = Workshop::new();
    shop.write("rings.csv", "case,condition,od_mm,od_method,cs_mm,cs_method\nA,used,12.82,caliper,1.72,caliper\nB,used,16.0,caliper,1.75,flat\n");
    let batch = shop.done("ring --batch rings.csv --format csv");
    let (rows, said) = (batch.out, batch.err);
    assert!(
        rows.starts_with("case,rank,code,id_mm,cs_mm,probability,other_codes,error\n"),
        "{rows}"
    );
    assert_eq!(said.matches(Caution::Named.words()).count(), 1, "{said}");
    let said = shop.run(&format!("ring {RING} --format csv")).err;
    assert_eq!(said.matches(Caution::Named.words()).count(), 1, "{said}");
}

#[test]
fn every_step_defers_to_local_codes_and_licensed_practice_once() {
    let shop = Workshop::demo();
    let sentence = Caution::Step.words();
    let said_once = |line: &str| {
        let page = shop.page(line);
        assert_eq!(page.matches(sentence).count(), 1, "{line}: {page}");
    };
    for line in [
        "setting --reading \"145 psi at 3000 psi\" --reading \"125 psi at 500 psi\"",
        "setting expect --design unbalanced-piston --head \"25.4 mm\" --stem \"8 mm\" --seat \"2.4 mm\" --spring \"361.27 N\"",
        "shim --setting \"0.50 mm: 138 psi\" --setting \"0.75 mm: 142.5 psi\" --target \"147 psi\" --fitted \"0.25x3 mm\" --stock \"0.10x4 0.25x2 mm\"",
        "spring --point \"100 N at 32.0 mm\" --point \"150 N at 28.0 mm\"",
    ] {
        said_once(line);
        let report = shop.json(line);
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
    let shop = Workshop::new();
    let filled = shop.page("demo");
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
    shop.write("mere.note", note);
    let report = shop.json("note add mere.note");
    let told: Vec<(u64, &str)> = items(&report["notes"][0]["dangers"])
        .iter()
        .map(|one| {
            assert_eq!(one["severity"], "danger");
            let line = one["line"].as_u64().expect("a line");
            (line, text(&one["message"]))
        })
        .collect();
    let [share, rated, nitrile] = told.as_slice() else {
        panic!("{told:?}")
    };
    assert!(share.0 == 5 && share.1.contains("oxygen-enriched"));
    assert!(rated.0 == 7 && rated.1.contains("below its supply"));
    assert!(nitrile.0 == 11 && nitrile.1.contains("NBR is unsuitable"));
    let rows = shop.printed("note add mere.note --format csv");
    assert!(
        rows.contains("line 7 of mere.note: the unit is rated 200 bar"),
        "{rows}"
    );
}

fn line_at<'l>(list: &'l Value, section: &str, position: &str) -> &'l Value {
    let lines = items(&list["lines"]).iter();
    let mut found = lines.filter(|line| line["section"] == section && line["position"] == position);
    found
        .next()
        .unwrap_or_else(|| panic!("{section} {position}"))
}

#[test]
fn what_failed_at_a_place_is_told_on_its_line_and_on_no_other() {
    let shop = Workshop::demo();
    let list = shop.json("parts Tarn");
    let line = line_at(&list, "body", "at piston stem");
    let failed = &line["failed"][0];
    assert_eq!(failed["part"], "ISO 3601-1 7.5x1.8", "{line}");
    assert_eq!(failed["reach"], "here");
    assert_eq!(failed["is_listed"], false);
    assert_eq!(line["decided"], true);
    let alternates = items(&line["alternates"]);
    assert!(
        alternates
            .iter()
            .all(|one| one["codes"][0] != "ISO 3601-1 7.5x1.8"),
        "{line}"
    );
    let others = items(&list["lines"]);
    let told = |line: &&Value| line["failed"].as_array().is_some_and(|f| !f.is_empty());
    assert_eq!(others.iter().filter(told).count(), 1);
    let words = "tried and failed here: ISO 3601-1 7.5x1.8 (M. Okafor, ";
    let shown = shop.page("parts Tarn");
    assert_eq!(shown.matches(words).count(), 1, "{shown}");
    let rows = shop.printed("parts Tarn --format csv");
    assert!(rows.contains(words), "{rows}");
    shop.printed("sheet parts Tarn --out parts.html --date 2026-03-14");
    let sheet = shop.read("parts.html");
    assert!(sheet.contains("tried and failed here"), "{sheet}");
    // Tarn 2 has the same ring at a place of the same name, and nothing was said of that one.
    let second = shop.page("parts \"Tarn 2\"");
    assert!(!second.contains("tried and failed"), "{second}");
    // Of a place that nobody can find it is told wherever the part is listed, with the words.
    shop.printed("uses AS568-011 --stand-in AS568-012 --grade failed --at \"club bench\" --by Ada --evidence \"leaked\"",
    );
    let second = shop.page("parts \"Tarn 2\"");
    assert!(
        second.contains("(at \"club bench\"): AS568-012 (Ada, "),
        "{second}"
    );
}

#[test]
fn a_listed_ring_that_failed_at_its_place_is_said_on_top_and_is_not_ordered() {
    let shop = Workshop::demo();
    let before = shop.json("parts Tarn");
    let listed = line_at(&before, "piston", "on piston head");
    assert_eq!(listed["codes"][0], "AS568-118");
    assert_eq!(listed["decided"], true);
    let order = shop.page("order Tarn=1");
    assert!(order.contains("AS568-118 NBR"), "{order}");
    shop.printed("uses AS568-117 --stand-in AS568-118 --grade failed --at \"Tarn, on piston head\" --by Ada --evidence \"blew by at 140 psi\"",
    );
    let list = shop.json("parts Tarn");
    let line = line_at(&list, "piston", "on piston head");
    assert_eq!(line["decided"], false, "{line}");
    assert_eq!(line["failed"][0]["is_listed"], true, "{line}");
    let top = text(&list["warnings"][0]);
    assert!(
        top.contains("THE LISTED PART ITSELF was tried and failed here"),
        "{top}"
    );
    assert_eq!(times(&list["cautions"], Caution::Undecided.words()), 1);
    let order = shop.page("order Tarn=1");
    let (bought, waits) = order
        .split_once("Not ordered: measure first")
        .expect("both");
    assert!(!bought.contains("AS568-118 NBR"), "{bought}");
    assert!(waits.contains("blew by at 140 psi"), "{waits}");
    let kit = shop.json("stock kit Tarn --for FT-000311");
    let why = text(&find(&kit["lines"], "position", "on piston head")["why"]);
    assert!(why.contains("tried and failed here"), "{kit}");
    let uses = shop.json("uses AS568-118");
    assert_eq!(uses["parts"][0]["used"][0]["decided"], false, "{uses}");
}
