//! Kinds of gear: in a note, in a setting and in a shim, and which limits belong to which.

use super::program::{Workshop, flat, json, run};
use serde_json::Value;

fn fault(line: &str) -> String {
    let answer = run(line);
    assert_eq!(answer.code, Some(2), "{}", answer.shown());
    assert!(answer.out.is_empty(), "{}", answer.shown());
    answer.err
}

fn warned(report: &Value, name: &str) -> bool {
    let warnings = report["warnings"].as_array().expect("warnings");
    warnings
        .iter()
        .any(|warning| warning["warning"] == name || warning["series"] == name)
}

const WELDING: &str = "setting --gear welding --reading '1 bar at 150 bar'";

#[test]
fn a_welding_regulator_at_1_bar_is_not_judged_by_what_limits_a_breathing_stage() {
    let (code, said) = json(WELDING);
    assert_eq!(code, Some(0));
    assert_eq!(said["gear"], "welding or industrial gas regulator");
    assert_eq!(said["limits_of_kind"], false);
    assert_eq!(said["bounded_by"], "nothing");
    assert!(said["verdict"].is_null() && said["checks"].as_array().is_some_and(Vec::is_empty));
    assert!(warned(&said, "no-limits-of-kind") && warned(&said, "nothing-bounds"));
    let page = flat(&run(WELDING).out);
    for words in [
        "NO LIMITS for this kind of gear: 1.00 bar",
        "no limits are known for gear of the kind \"welding or industrial gas regulator\": only recorded ratings count",
        "ISO 2503",
        "nothing bounds the outlet pressure",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
}

#[test]
fn the_same_reading_of_a_unit_of_unstated_kind_is_judged_as_a_breathing_first_stage_and_says_so() {
    let (code, said) = json("setting --reading '1 bar at 150 bar'");
    assert_eq!((code, said["verdict"].as_str()), (Some(1), Some("reject")));
    assert_eq!(said["gear"], "breathing first stage");
    assert_eq!(said["gear_stated"], false);
    assert!(warned(&said, "kind-assumed"));
    let (_, stated) = json("setting --gear first-stage --reading '145 psi at 200 bar'");
    assert_eq!(stated["gear_stated"], true);
    assert!(!warned(&stated, "kind-assumed"));
}

#[test]
fn a_recorded_rating_stops_gear_that_has_no_limits() {
    let with = |rating: &str, reading: &str| {
        json(&format!(
            "setting --gear welding --rated '{rating}' --reading '{reading}'"
        ))
    };
    let (code, said) = with("hose 10 bar", "12 bar at 150 bar");
    assert_eq!((code, said["verdict"].as_str()), (Some(1), Some("reject")));
    assert_eq!(said["stops"][0]["rule"], "rating");
    let words = said["stops"][0]["words"].as_str().expect("words");
    assert!(words.contains("the outlet pressure of 12.0 bar"), "{words}");
    let (code, said) = with("hose 10 bar", "9 bar at 150 bar");
    assert_eq!(
        (code, said["bounded_by"].as_str()),
        (Some(0), Some("recorded-ratings"))
    );
    assert_eq!(said["ratings"][0], "hose 10 bar");
    // 15 bar stops a breathing stage; here no hose of one is meant.
    let (code, said) = with("hose 20 bar", "15 bar at 150 bar");
    assert_eq!(
        (code, said["stops"].as_array().map(Vec::len)),
        (Some(0), Some(0))
    );
    // A rating of the inlet side bounds the supply and not the outlet.
    let (code, said) = with("body 100 bar on supply", "9 bar at 150 bar");
    assert_eq!(
        (code, said["bounded_by"].as_str()),
        (Some(1), Some("nothing"))
    );
}

#[test]
fn a_misspelt_kind_is_met_with_the_one_that_was_meant() {
    let setting = fault("setting --gear penumatic --reading '1 bar at 9 bar'");
    assert!(setting.contains("did you mean \"pneumatic\"?"), "{setting}");
    let shared = fault("setting --gear regulator --reading '1 bar at 9 bar'");
    assert!(shared.contains("write breathing first stage,"), "{shared}");
    let shop = Workshop::new();
    shop.write(
        "a.note",
        "model A\nunit 1\nkind frist stage\ndate 2026-03-14\n",
    );
    let noted = shop.run("note check a.note");
    assert_eq!(noted.code, Some(2), "{}", noted.shown());
    assert!(noted.out.is_empty(), "{}", noted.shown());
    let noted = noted.err;
    assert!(noted.contains("did you mean \"first stage\"?"), "{noted}");
}

#[test]
fn a_note_says_the_kind_and_it_comes_back_from_the_book_and_from_a_sheet() {
    let text = "model Argon 5\nunit 7\nkind Welding-Regulator\ndate 2026-03-14\nlengths mm\n\n[seat]\nseat ; replace ; od 6.0 ; thick 2.5\n";
    let shop = Workshop::new();
    shop.add_note(text);
    let canonical = shop.printed("note show 7");
    assert!(
        canonical.contains("gear    welding or industrial gas regulator\n"),
        "{canonical}"
    );
    let shown = shop.json("note show 7");
    assert_eq!(
        shown["note"]["header"]["gear"],
        "welding or industrial gas regulator"
    );
    let sheet = shop.printed("note show 7 --format csv");
    assert!(
        sheet
            .lines()
            .next()
            .is_some_and(|heads| heads.contains(",gear,")),
        "{sheet}"
    );
    shop.write("a.csv", &sheet);
    let (code, checked) = shop.coded("note check a.csv");
    assert_eq!(code, Some(0), "{checked}");
    assert_eq!(checked["gear"], "welding or industrial gas regulator");
}

#[test]
fn a_model_shows_the_kind_of_its_units_and_tells_of_two_kinds_under_one_name() {
    let shop = Workshop::new();
    for (unit, gear) in [
        ("1", "gear first stage\n"),
        ("2", ""),
        ("3", "gear pneumatic\n"),
    ] {
        shop.add_note(&format!(
            "model Tarn\nunit {unit}\n{gear}date 2026-03-14\nlengths mm\n\n[inlet]\nclip ; replace ; od 14.0\n"
        ));
    }
    let model = shop.json("model show Tarn");
    assert_eq!(model["units"][0]["gear"], "breathing first stage");
    assert!(model["units"][1]["gear"].is_null());
    for line in ["model show Tarn", "parts Tarn"] {
        let flat = shop.page(line);
        let told = "different kinds of gear (unit 1: breathing first stage; unit 3: pneumatic)";
        assert!(flat.contains(told), "{flat}");
        assert!(flat.contains("kind of gear"), "{flat}");
    }
}

#[test]
fn a_template_by_kind_is_a_sound_note_of_that_kind() {
    for (word, kind) in [
        ("first-stage", "breathing first stage"),
        ("second-stage", "breathing second stage"),
        ("gas-regulator", "welding or industrial gas regulator"),
        ("welding", "welding or industrial gas regulator"),
        ("demand valve", "breathing second stage"),
    ] {
        let shop = Workshop::new();
        shop.write("a.note", run(&format!("note template '{word}'")).out);
        let (code, checked) = shop.coded("note check a.note");
        assert_eq!(
            (code, checked["gear"].as_str()),
            (Some(0), Some(kind)),
            "{word}"
        );
        assert_eq!(checked["warnings"], 0, "{word}: {checked}");
    }
    assert_eq!(
        run("note template pneumatic").out,
        run("note template blank").out
    );
}

#[test]
fn a_shim_is_bounded_as_its_kind_of_gear_is() {
    let shim = |more: &str| {
        json(&format!(
            "shim --screw '1.0 mm' --setting '0 turns: 14 bar' --target '15 bar' {more}"
        ))
    };
    let (code, said) = shim("");
    assert_eq!(
        (code, said["stops"][0]["rule"].as_str()),
        (Some(1), Some("runaway"))
    );
    assert!(warned(&said, "kind-assumed"));
    let (code, said) = shim("--gear pneumatic");
    assert_eq!(
        (code, said["bounded_by"].as_str()),
        (Some(0), Some("nothing"))
    );
    assert!(warned(&said, "nothing-bounds"));
    let (code, said) = shim("--gear pneumatic --rated 'bowl 14.5 bar'");
    assert_eq!(
        (code, said["stops"][0]["rule"].as_str()),
        (Some(1), Some("rating"))
    );
    let (_, said) = shim("--gear pneumatic --rated 'bowl 10 bar'");
    assert_eq!(
        said["stops"].as_array().map(Vec::len),
        Some(2),
        "the last pressure and the target"
    );
}

#[test]
fn own_limits_of_a_kind_judge_it_and_a_table_without_kinds_is_for_breathing_first_stages() {
    let head = "set,gear,limit,design,low,high,unit,words,source,confidence";
    let own = format!(
        "{head}\nours,welding,level,,0.5,1.5,bar,our torches,our book,measured\nours,welding,stop,,0,2,bar,our hoses,our book,measured\n"
    );
    let shop = Workshop::new();
    shop.write("limits.csv", own);
    let judged = |reading: &str, gear: &str| {
        shop.coded(&format!(
            "setting --gear {gear} --reading '{reading}' --limits limits.csv"
        ))
    };
    let (code, said) = judged("1 bar at 150 bar", "welding");
    assert_eq!((code, said["verdict"].as_str()), (Some(0), Some("good")));
    assert_eq!(said["bounded_by"], "stop-limit");
    let (_, said) = judged("3 bar at 150 bar", "welding");
    assert_eq!(said["stops"][0]["rule"], "runaway");
    let (_, said) = judged("1 bar at 150 bar", "pneumatic");
    assert_eq!(said["limits_of_kind"], false);
    let old = "set,limit,design,low,high,unit,words,source,confidence\nours,stop,,0,5,bar,our hoses,our book,measured\n";
    shop.write("old.csv", old);
    let stopped = |gear: &str| {
        let line = format!("setting --gear '{gear}' --limits old.csv --reading '6 bar at 150 bar'");
        shop.json(&line)["stops"].as_array().map(Vec::len)
    };
    assert_eq!(
        (stopped("first stage"), stopped("pneumatic")),
        (Some(1), Some(0))
    );
}

#[test]
fn creep_without_a_limit_is_told_and_not_judged_and_a_second_stage_has_no_pressure_to_set() {
    let (code, said) = json(&format!("{WELDING} --creep '0 s 1 bar, 5 min 1.2 bar'"));
    assert_eq!(code, Some(0));
    assert!(said["creep"].is_null() && warned(&said, "unlimited"));
    let unread = said["not_checked"].as_array().expect("a list");
    assert!(!unread.iter().any(|name| name == "creep"), "{unread:?}");
    let (_, said) = json("setting --gear 'second stage' --reading '10 bar at 150 bar'");
    assert!(warned(&said, "no-set-pressure"));
    assert!(!warned(&said, "one-supply") && !warned(&said, "unwatched"));
}
