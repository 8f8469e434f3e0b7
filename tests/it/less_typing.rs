//! A line of the parts list named by its number wherever a part is named, the bag of a unit and the job that is filled from it,
//! and the units of whoever reads.

use super::program::{Workshop, items};
use serde_json::Value;

/// The line of the piston head's ring.
fn head_line(shop: &Workshop) -> String {
    let list = shop.json("parts 'Tarn 2'");
    let lines = items(&list["lines"]).iter();
    let mut head = lines.filter(|l| l["part"] == "o-ring" && l["position"] == "on piston head");
    head.next().expect("a ring on the piston head")["number"].to_string()
}

#[test]
fn a_line_of_the_list_stands_for_its_part_and_groove() {
    let shop = Workshop::demo();
    let line = head_line(&shop);
    let check = shop.json(&format!("gland check \"Tarn 2\" {line}"));
    assert_eq!(check["kind"], "piston", "{check}");
    let codes = check["ring"]["codes"].as_array().expect("codes");
    assert!(codes.contains(&"AS568-119".into()), "{check}");
    let sheet = shop.screen(&format!("sheet gland \"Tarn 2\" {line} --out g.svg"));
    assert!(sheet.code == Some(0), "{}", sheet.err);
    let used = shop.screen(&format!("uses \"Tarn 2\" {line}"));
    assert!(used.out.contains("AS568-119"), "{}", used.out);
    let none = shop.screen("gland check \"Tarn 2\" 99");
    assert_eq!(none.code, Some(2), "{}", none.err);
    assert!(none.out.is_empty(), "{}", none.shown());
    let why = "--by \"A. Lind\" --why \"drawing\"";
    let decided = shop.screen(&format!(
        "decide \"Tarn 2\" --at {line} --ring AS568-119 {why}"
    ));
    assert!(decided.code == Some(0), "{}", decided.err);
    let back = shop.screen(&format!("decide \"Tarn 2\" --at {line} --take-back {why}"));
    assert!(back.code == Some(0), "{}", back.err);
}

#[test]
fn a_dash_number_is_found_as_a_size_and_as_an_offer() {
    let shop = Workshop::demo();
    for line in ["size -012", "offer find -012", "stock list -012"] {
        let output = shop.screen(line);
        assert!(output.code < Some(2), "{line}: {}", output.err);
    }
    assert!(shop.screen("offer find -012").out.contains("012"));
}

#[test]
fn the_bag_takes_what_is_there_and_the_job_is_filled_from_it() {
    let shop = Workshop::demo();
    let line = head_line(&shop);
    shop.screen("stock add AS568-119 --polymer NBR --hardness 70A --bin A1 --quantity 3 --lot K-114 --cured 2026-Q1");
    let kit = "stock kit \"Tarn 2\" --for FT2-005102 --take";
    let first = shop.screen(kit);
    assert_eq!(first.code, Some(1), "{}", first.err);
    assert!(
        first.out.contains("what is there was taken"),
        "{}",
        first.out
    );
    shop.screen(kit);
    let left = shop.json("stock list AS568-119");
    assert_eq!(left["lots"][0]["on_hand"], 2, "taken once: {left}");

    shop.screen("job open \"Tarn 2\" FT2-005102 --by \"M. Okafor\"");
    // The lines in their order: the one that is in the bag with Enter, the others left.
    let list = shop.json("parts \"Tarn 2\"");
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
    let parts = shop.typed("job parts 1 --by \"M. Okafor\"", &answers);
    assert!(parts.code == Some(0), "{}", parts.err);
    assert!(parts.err.contains("[lot K-114]"), "{}", parts.err);
    let shown = shop.json("job show 1");
    let entries = shown["record"]["entries"].as_array().expect("entries");
    let fitted: Vec<&Value> = entries
        .iter()
        .filter(|e| e.to_string().contains("K-114"))
        .collect();
    assert_eq!(fitted.len(), 1, "{shown}");
    // One judge: what is asked for release is what `job step` would have left open.
    let again = shop.typed(
        "job parts 1 --by \"M. Okafor\"",
        "? ; spec x\n\nkeep\ndone\n",
    );
    assert!(!again.err.contains("[lot K-114]"), "{}", again.err);
    assert!(again.err.contains("which lot?"), "{}", again.err);
    let after = shop.json("job show 1");
    assert_eq!(after["record"]["entries"], shown["record"]["entries"]);
}

const READ: &str = "148.5 psi at 195 bar, 132.5 at 35; gauge 2; lock-up 1 s; creep 0 s 148.5 psi, 300 s 149, 600 s 149, 900 s 149";

/// The kinds and words of a job's entries.
fn entries(shop: &Workshop, job: u32) -> Vec<(String, String)> {
    let shown = shop.json(&format!("job show {job}"));
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
    let shop = Workshop::demo();
    let by = "--by \"M. Okafor\"";
    let none = shop.screen(&format!("job do \"clean rinse\" {by}"));
    assert!(none.err.contains("no job is open"), "{}", none.err);
    let opened = shop.screen(&format!(
        "job open FT2-005102 --do \"found; why it came in pieces\" {by}"
    ));
    assert!(opened.code == Some(0), "{}", opened.err);
    let line = format!(
        "job do \"part o-ring at cap joint; spec AS568-025 NBR 70; lot K-121; clean hot rinse, dried; lubricant silicone grease; lot S-07; \
         left {}; leak test immersion 5 min at 195 bar; result passed\" {by}",
        READ.replace("gauge 2; ", "")
    );
    let wrong = shop.screen(&line.replace("o-ring at cap joint", "no such place"));
    assert_eq!(wrong.code, Some(2), "{}", wrong.err);
    assert!(wrong.out.is_empty(), "{}", wrong.shown());
    assert_eq!(entries(&shop, 1).len(), 3, "nothing was written");
    shop.screen(&line);
    let first = entries(&shop, 1);
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
    shop.screen(&format!("job open FT2-004623 {by}"));
    let which = shop.screen(&format!("job do \"clean same\" {by}"));
    assert!(which.err.contains("jobs 1, 2 are open"), "{}", which.err);
    let again =
        format!("job do 2 \"clean same; lubricant same; leak test same; result failed\" {by}");
    let leaks = shop.screen(&again);
    assert_eq!(leaks.code, Some(1), "a leak is told: {}", leaks.err);
    let second = entries(&shop, 2);
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
    let refused = shop.screen(&wrong);
    assert_eq!(refused.code, Some(2), "{}", refused.err);
    assert!(refused.out.is_empty(), "{}", refused.shown());
    assert!(refused.err.contains("in full"), "{}", refused.err);
    let test = said("leak-test", &second);
    assert!(test.contains("immersion 5 min at 195 bar"), "{test}");
    for wrong in [
        "hot rinse",
        "lot K-1; clean x2",
        "clean rinse; as listed no",
        "left",
        "not done",
    ] {
        let refused = shop.screen(&format!("job do 2 \"{wrong}\" {by}"));
        assert_eq!(refused.code, Some(2), "{wrong}: {}", refused.out);
        assert!(refused.out.is_empty(), "{}", refused.shown());
    }
    assert_eq!(entries(&shop, 2), second, "what is refused writes nothing");
}

#[test]
fn what_is_missing_is_asked_for_and_nothing_that_decides_safety_is_taken_by_enter_alone() {
    let shop = Workshop::demo();
    let by = "--by \"M. Okafor\"";
    shop.screen(&format!("job open FT2-005102 {by}"));
    let before = entries(&shop, 1).len();
    shop.typed(&format!("job do {by}"), &"\n".repeat(40));
    assert_eq!(
        entries(&shop, 1).len(),
        before,
        "the bag is empty: Enter enters nothing"
    );
    shop.typed(
        &format!("job do {by}"),
        "142 psi at 195 bar, 126 at 35\ndone\n",
    );
    assert_eq!(entries(&shop, 1).len(), before + 1);
    let parts = "skip\n".repeat(20);
    let asked = shop.typed(&format!("job do {by}"), &parts);
    assert!(
        !asked.err.contains("As found:"),
        "asked once: {}",
        asked.err
    );
    assert!(asked.err.contains("How was it cleaned?"), "{}", asked.err);
}

#[test]
fn lengths_without_a_unit_are_one_error_with_one_remedy_and_both_commands_tell_the_same() {
    let shop = Workshop::demo();
    let note = "model Tarn\nunit 1\ndate 2026-03-14\n[inlet]\nclip ; keep ; od 14\nshim ; keep ; thick 0.25\nfilter ; replace ; od 12 ; thick 3\n";
    shop.write("t.note", note);
    let check = shop.screen("note check t.note");
    let add = shop.screen("note add t.note");
    for output in [&check, &add] {
        assert_eq!(output.code, Some(2));
        assert!(output.out.is_empty(), "{}", output.shown());
        let words = &output.err;
        assert_eq!(words.matches("has no unit").count(), 1, "{words}");
        assert!(
            words.contains("lengths mm") && words.contains("3 more"),
            "{words}"
        );
    }
    assert!(check.err.contains("1 error"), "{}", check.err);
    let doubtful = "model Tarn\nunit 1\ndate 2026-03-14\nlengths mm\n[inlet]\no-ring ; at seat ; replace ; od 16\n";
    shop.write("t.note", doubtful);
    let point = "the section of this ring is not measured";
    assert!(shop.screen("note check t.note").err.contains(point));
    assert!(shop.screen("note add t.note").out.contains(point));
}

/// The columns of a page before the words of a rule.
const FIGURES: usize = 44;

#[test]
fn who_writes_bar_reads_bar() {
    let shop = Workshop::demo();
    let bar = [
        "setting --reading \"10.0 bar at 200 bar\" --reading \"8.6 bar at 35 bar\" --creep \"0 s 10 bar, 300 s 10.1 bar, 900 s 10.2 bar\"",
        "shim --setting \"0.50 mm: 9.5 bar\" --setting \"0.75 mm: 9.8 bar\" --target \"10 bar\" --fitted \"0.25x3 mm\" --stock \"0.10x4 mm\"",
    ];
    for line in bar {
        let page = shop.screen(line).out;
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
    let psi = shop
        .screen("setting --reading \"142 psi at 195 bar\" --reading \"126 psi at 35 bar\"")
        .out;
    assert!(psi.contains("psi for 100 bar more supply"), "{psi}");
    assert!(psi.contains("142.0 psi at 195 bar of supply"), "{psi}");
}

#[test]
fn who_writes_psi_reads_psi_and_both_where_everything_is_shown() {
    let shop = Workshop::demo();
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
        let output = shop.screen(line);
        let page = output.out;
        assert!(
            page.contains(" psi") && !page.contains(" bar"),
            "{line}\n{page}{}",
            output.err
        );
    }
    let full = shop.screen(&format!("{setting} --full")).out;
    assert!(
        full.contains("142.0 psi (9.79 bar) at 3000 psi of supply"),
        "{full}"
    );
}

#[test]
fn two_names_of_one_place_are_joined_where_a_person_says_so() {
    let shop = Workshop::demo();
    for (unit, place) in [("1", "at retainer"), ("2", "at yoke retainer")] {
        let note = format!(
            "model Gull\nunit {unit}\ndate 2026-03-14\nlengths mm\n[inlet]\no-ring ; {place} ; replace ; od 16 ; cs 1.75\n"
        );
        shop.write("t.note", note);
        let added = shop.screen("note add t.note");
        assert!(added.code == Some(0), "{}", added.err);
    }
    let before = shop.screen("parts Gull").out;
    assert!(
        before.contains("may be one place") && before.contains("note join"),
        "{before}"
    );
    let joined = shop.screen("note join Gull \"o-ring at retainer\" \"o-ring at yoke retainer\"");
    assert!(joined.code == Some(0), "{}", joined.err);
    let after = shop.json("parts Gull");
    assert_eq!(after["lines"].as_array().map(Vec::len), Some(1), "{after}");
    assert_eq!(after["lines"][0]["position"], "at yoke retainer");
}
