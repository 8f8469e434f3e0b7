//! The kinds, states and questions of the gland room from the command line.

use super::program::{json, json_line, run, words};
use serde_json::Value;

#[test]
fn an_inch_port_takes_its_ring_from_the_thread_and_says_where_another_is_fitted() {
    let port = [
        "gland", "check", "--kind", "port", "--thread", "7/16-20", "--neck", "9.20 mm",
    ];
    let (_, own) = json(&port);
    assert_eq!(own["ring"]["codes"][0], "AS568-904");
    let named = |report: &Value| {
        let checks = report["checks"].as_array().expect("checks").clone();
        checks
            .into_iter()
            .find(|c| c["name"] == "ring of the thread")
            .expect("the check")
    };
    assert_eq!(named(&own)["verdict"], "good");
    let (_, other) = json(&[&port[..], &["--ring", "AS568-012"]].concat());
    assert_eq!(named(&other)["verdict"], "marginal");
    assert!(own["warnings"].to_string().contains("recalled"));
}

#[test]
fn every_state_has_its_own_squeeze_fill_gap_and_verdict() {
    let (_, report) = json_line(
        "gland check --kind piston --bore \"25.40 mm\" --groove \"22.60 mm\" --width \"2.4 mm\" --piston \"25.30 mm\" --pressure \"200 bar\" --ring AS568-020 --polymer NBR --hardness 90A --temperature \"-10..50 C\" --swell \"5 %\" --set \"30 %\" --years 10 --wall \"4 mm\" --metal aluminium",
    );
    let states = report["states"].as_array().expect("states");
    let names: Vec<&str> = states.iter().filter_map(|s| s["name"].as_str()).collect();
    assert_eq!(
        names,
        [
            "as assembled, 20 °C",
            "cold, -10 °C",
            "hot and swollen, 50 °C",
            "swollen 5 %",
            "30 % set after 10 years",
            "at 200 bar"
        ]
    );
    for state in states {
        for key in ["squeeze_mm", "squeeze_pct", "fill_pct", "gap_mm"] {
            assert!(state[key]["nominal"].is_number(), "{key} in {state}");
        }
        assert!(
            ["good", "marginal", "reject"].contains(&state["verdict"].as_str().expect("a word"))
        );
    }
    let squeeze = |i: usize| {
        states[i]["squeeze_mm"]["nominal"]
            .as_f64()
            .expect("a number")
    };
    assert!(
        (squeeze(4) / squeeze(0) - 0.7).abs() < 1e-3,
        "30 % set keeps 70 % of the squeeze"
    );
    // Lamé, aluminium 70 GPa, 0.33, bore 25.4, wall 4 mm, 20 MPa: 25.4 x 20e6/70e9 x ((33.4² + 25.4²)/(33.4² - 25.4²) + 0.33)
    // = 0.0296 mm.
    let gap = |i: usize| states[i]["gap_mm"]["nominal"].as_f64().expect("a number");
    assert!(
        (gap(5) - gap(0) - 0.0296).abs() < 2e-4,
        "{}",
        gap(5) - gap(0)
    );
}

#[test]
fn runout_and_side_shift_leave_less_squeeze_on_the_open_side() {
    // W01 (worked example, inch): bore 3.000, groove 2.815, clearance .006, runout 0: L opens from .094 to .100 in; with a ring
    // of least section .100 in contact is lost.
    let (code, report) = json_line(
        "gland check --kind piston --bore \"3.000±0.002 in\" --groove \"2.815±0.001 in\" --width \"0.14 in\" --piston \"2.988+0.002/-0 in\" --side-shift --ring \"2.80±0.01 x 0.103±0.003 in\"",
    );
    let least = report["open_side_squeeze_mm"]["min"]
        .as_f64()
        .expect("a number");
    assert!(least < 0.0, "{least}");
    assert_eq!(code, Some(1));
    let open = report["checks"]
        .as_array()
        .expect("checks")
        .iter()
        .any(|c| c["name"] == "contact on the open side" && c["verdict"] == "reject");
    assert!(open);
}

#[test]
fn a_used_ring_tells_its_section_by_the_method_of_the_set() {
    // W0 = (Wr - CB L)/(1 - CB): 3.35 mm, 25 %, L 2.8208 -> 3.526 mm; oval 3.75 x 3.32 -> 3.528 mm (derived check values).
    let (_, report) = json_line(
        "gland check --kind face --outer \"40 mm\" --depth \"2.8208 mm\" --width \"4.8 mm\" --used \"3.35 mm\" --set \"25 %\"",
    );
    let section = report["by_set"][0]["section_mm"]
        .as_f64()
        .expect("a number");
    assert!((section - 3.526).abs() < 5e-4, "{section}");
    let (_, oval) = json_line(
        "gland check --kind face --outer \"40 mm\" --depth \"2.8208 mm\" --width \"4.8 mm\" --used \"3.32 mm\" --used-width \"3.75 mm\"",
    );
    let area = oval["same_area_mm"].as_f64().expect("a number");
    assert!((area - 3.528).abs() < 5e-4, "{area}");
    let listed = oval["listed"].as_array().expect("sections");
    assert!(
        listed
            .iter()
            .any(|l| (l["section_mm"].as_f64().expect("a number") - 3.53).abs() < 0.01)
    );
}

#[test]
fn a_cut_groove_goes_back_into_check_with_the_same_figures() {
    let (code, cut) =
        json_line("gland cut --kind piston --duty moving --bore \"25.40 mm\" --ring AS568-020");
    assert_eq!(code, Some(0));
    assert_eq!(cut["check"]["verdict"], "good");
    let mut words = vec![
        "gland",
        "check",
        "--kind",
        "piston",
        "--duty",
        "moving",
        "--ring",
        "AS568-020",
    ];
    let texts: Vec<(String, String)> = cut["dimensions"]
        .as_array()
        .expect("dimensions")
        .iter()
        .map(|d| {
            let number = |key: &str| d[key].as_f64().expect("a number");
            (
                format!("--{}", d["name"].as_str().expect("a word")),
                format!(
                    "{}+{}/-{} mm",
                    number("mm"),
                    number("plus_mm"),
                    number("minus_mm")
                ),
            )
        })
        .collect();
    for (flag, text) in &texts {
        words.extend([flag.as_str(), text.as_str()]);
    }
    let (code, check) = json(&words);
    assert_eq!(code, Some(0));
    assert_eq!(check["squeeze_pct"], cut["check"]["squeeze_pct"]);
    assert_eq!(check["verdict"], "good");
}

#[test]
fn care_keeps_the_two_systems_apart_and_names_what_never_goes_in() {
    // Cured 4Q10: SAE nitrile 15 years to 1 January 2026; ISO 7 years to 1 January 2018 (extracts of both documents).
    let (code, report) = json(&["care", "NBR", "--oxygen", "32 %", "--cured", "4Q2010"]);
    assert_eq!(code, Some(0));
    let lives = report["shelf_lives"].as_array().expect("two systems");
    assert_eq!(lives.len(), 2);
    assert_eq!(lives[0]["rule"]["system"], "sae");
    assert_eq!(lives[0]["ends"]["year"], 2026);
    assert_eq!(lives[1]["ends"]["year"], 2018);
    assert_eq!(report["enriched"], true);
    assert_eq!(report["lubricants"][0]["lubricant"], "halogenated_grease");
    assert!(report["warnings"].to_string().contains("NBR is unsuitable"));
    for words in [
        ["care", "rubber", "--cured", "4Q10"],
        ["care", "NBR", "--cured", "March"],
        ["care", "NBR", "--oxygen", "32"],
    ] {
        assert_eq!(run(&words).status.code(), Some(2));
    }
}

/// Wrong questions, and a word of the remedy that is said.
const WRONG: &str = r#"
check --kind crush --neck "9 mm" --ring -012 | mouth
check --kind crush --neck "9 mm" --mouth "14 mm" --chamfer "2.5 mm" --ring -012 | leave one
check --kind crush --neck "9 mm" --chamfer "2.5 mm" --duty moving --ring -012 | held still
check --kind dovetail --centre "30 mm" --depth "2.8 mm" --width "2.9 mm" --angle "20 deg" --ring -214 | 45 to below 90
check --kind port --thread 7/16-28 --ring -904 | 7/16-20
check --kind port --neck "12 mm" --mouth "13 mm" --depth "2.4 mm" --angle "15 deg" --ring -904 | meets the neck
check --kind piston --bore "25.4 mm" --groove "22.6 mm" --width "2.4 mm" --radius "1.4 mm" --ring -020 | rounder
check --kind piston --bore "25.4 mm" --groove "22.6 mm" --width "2.4 mm" --angle 5 --ring -020 | deg
check --kind piston --bore "25.4 mm" --groove "22.6 mm" --width "2.4 mm" --set typical --ring -020 | compression set
check --kind piston --bore "25.4 mm" --groove "22.6 mm" --width "2.4 mm" --thread 7/16-20 --ring -020 | belongs to
check --kind piston --bore "25.4 mm" --groove "22.6 mm" --width "2.4 mm" | --ring
cut --kind crush --ring -012 | piston, rod and face
cut --kind piston --bore "25.4±0.2 mm" --ring -020 | hold it closer
cut --kind piston --rod "6 mm" --ring -010 | leave rod out
"#;

#[test]
fn wrong_kinds_and_flags_end_with_2_and_say_what_to_write() {
    for line in WRONG.lines().filter(|line| !line.is_empty()) {
        let (text, says) = line.split_once(" | ").expect("a remedy");
        let words = words(text);
        let words: Vec<&str> = ["gland"]
            .into_iter()
            .chain(words.iter().map(String::as_str))
            .collect();
        let output = run(&words);
        let message = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{line}: {message}");
        assert!(message.contains(says), "{line}: {message}");
        assert!(output.stdout.is_empty());
    }
}
