//! `gland check`, `gland fit` and `gland cut`: kinds, states, keys, exit codes, refusals.

use super::program::{Workshop, find, items, json, number, run, text};
use std::fmt::Write as _;

const PISTON: &str = "gland check --kind piston --bore '25.40+0.05/-0 mm' --groove '22.80±0.02 mm' --width '2.4±0.05 mm'";

#[test]
fn a_ring_that_fits_ends_with_0_and_all_the_keys() {
    let (code, report) = json(&format!(
        "{PISTON} --piston '25.35 mm' --pressure '100 bar' --ring '22.4±0.2 x 1.78±0.08 mm' --hardness 90A"
    ));
    assert_eq!(code, Some(0), "{report}");
    for key in
        "kind ring gland_depth_mm stretch_pct section_mm squeeze_mm squeeze_pct fill_pct gap_mm \
        line_force_n_per_mm checks verdict warnings"
            .split(' ')
    {
        assert!(!report[key].is_null(), "{key}");
    }
    for key in "gland_depth_mm stretch_pct squeeze_mm squeeze_pct fill_pct gap_mm".split(' ') {
        for end in ["min", "nominal", "max"] {
            assert!(report[key][end].is_number(), "{key} {end}");
        }
    }
    for check in items(&report["checks"]) {
        for key in ["name", "value", "low", "high", "verdict", "rule", "source"] {
            assert!(check.get(key).is_some(), "{key} in {check}");
        }
    }
    assert_eq!(report["kind"], "piston");
    assert_eq!(report["gap_kind"], "diametral");
    // Piston 25.35, bore 25.40+0.05: clearance 0.05 to 0.10 mm.
    assert_eq!(report["gap_mm"]["min"], 0.05);
    assert_eq!(report["gap_mm"]["max"], 0.1);
}

#[test]
fn a_ring_that_does_not_fit_ends_with_1_and_still_prints_every_figure() {
    let (code, report) = json(&format!("{PISTON} --ring AS568-210"));
    assert_eq!(code, Some(1));
    assert_eq!(report["verdict"], "reject");
    assert!(report["squeeze_pct"]["nominal"].is_number());
    assert!(report["gap_mm"].is_null(), "no piston was given");
}

#[test]
fn inside_and_outside_pressure_put_the_face_ring_against_their_wall() {
    let face = "gland check --kind face --depth '1.30±0.02 mm' --width '2.6 mm' --ring '9.25±0.13 x 1.78±0.08 mm' \
        --pressure '200 bar'";
    let (_, inside) = json(&format!("{face} --outer '12.7 mm' --from inside"));
    assert_eq!(inside["stretch_pct"]["max"], 0.0);
    // 100 (9.25 + 3.56 - 12.7)/12.81 = 0.8587 %.
    assert_eq!(inside["outside_compression_pct"]["nominal"], 0.8587);
    let (_, outside) = json(&format!("{face} --inner '9.4 mm' --from outside"));
    // 100 (9.4 - 9.25)/9.25 = 1.6216 %.
    assert_eq!(outside["stretch_pct"]["nominal"], 1.6216);
    assert!(outside["outside_compression_pct"].is_null());
}

#[test]
fn fit_ranks_listed_rings_with_their_keys() {
    let line = "gland fit --kind piston --bore '25.40±0.03 mm' --groove '22.60±0.02 mm' --width '2.4±0.05 mm' --top 5";
    let (code, report) = json(line);
    assert_eq!(code, Some(0));
    let candidates = items(&report["candidates"]);
    assert_eq!(candidates.len(), 5);
    for (index, row) in candidates.iter().enumerate() {
        assert_eq!(row["rank"], index + 1);
        for key in
            "codes id_mm cs_mm verdict pass_probability squeeze_pct stretch_pct fill_pct".split(' ')
        {
            assert!(!row[key].is_null(), "{key}");
        }
    }
    let named = candidates[..3]
        .iter()
        .any(|row| row["codes"][0] == "AS568-020");
    assert!(named, "{report}");
    assert_eq!(run(line).out, run(line).out);
}

#[test]
fn where_nothing_listed_fits_the_nearest_and_its_failure_are_named() {
    let (code, report) =
        json("gland fit --kind piston --bore '25.40 mm' --groove '24.8 mm' --width '2.4 mm'");
    assert_eq!(code, Some(1));
    let text = report["nothing_fits"].as_str().expect("a sentence");
    assert!(
        text.contains("nearest is") && text.contains("mm of squeeze"),
        "{text}"
    );
}

/// Wrong questions, and a word of the remedy that is said.
const WRONG_QUESTIONS: &str = "
gland check --kind piston --bore '25.4 mm' --groove '22.4 mm' --ring -012 | width
gland check --kind piston --bore '22 mm' --groove '22.4 mm' --width '2.4 mm' --ring -012 | larger
gland check --kind rod --bore '22 mm' --ring -012 | no bore
gland check --kind hole --ring -012 | piston, rod, face
PISTON --ring '1 x .4' | can mean
PISTON --ring '-012 N70' --hardness 90A | leave one
PISTON --ring -012 --hardness '70 IRHD' | Shore A
PISTON --ring -012 --swell 5 | per cent
PISTON --ring -012 --from above | inside, outside
PISTON --ring -012 --pressure 200 | unit
PISTON --ring -012 --rules mine | industrial
gland check --kind face --inner '9 mm' --depth '1 mm' --width '2 mm' --from inside --ring -012 | outer
gland check --kind face --outer '4 mm' --depth '1 mm' --width '2 mm' --ring -012 | does not go
gland check --kind face --outer '14 mm' --inner '9 mm' --depth '1 mm' --width '2 mm' --ring -012 | wide
";

#[test]
fn wrong_questions_end_with_2_and_say_what_to_write() {
    for case in WRONG_QUESTIONS.lines().filter(|line| !line.is_empty()) {
        let (line, says) = case.split_once(" | ").expect("a remedy");
        let answer = run(&line.replace("PISTON", PISTON));
        assert_eq!(answer.code, Some(2), "{}", answer.shown());
        assert!(answer.err.contains(says), "{case}: {}", answer.err);
        assert!(answer.out.is_empty());
    }
}

#[test]
fn a_page_begins_with_the_verdict_and_ends_with_the_caution() {
    let page = run(&format!("{PISTON} --ring 'AS568-020 N70'")).out;
    assert!(
        page.starts_with("GOOD") || page.starts_with("MARGINAL"),
        "{page}"
    );
    assert!(page.contains("CAUTION: Breathing gas is life support."));
}

/// Ten glands that a restorer meets (`scripts/ten_glands` prints them): each page begins with its answer and ends with the caution.
#[test]
fn every_gland_of_the_ten_is_answered_with_a_page() {
    let mut seen = 0;
    for line in include_str!("ten_glands.txt").lines() {
        if line.starts_with('#') {
            continue;
        }
        let fields: Vec<&str> = line.split('|').collect();
        let [title, code, text] = fields.as_slice() else {
            panic!("{line}")
        };
        let answer = Workshop::new().screen(text);
        let page = &answer.out;
        let code = code.trim().parse().ok();
        assert_eq!(answer.code, code, "{title}: {}", answer.shown());
        assert!(page.contains("CAUTION: life support"), "{title}");
        assert!(!page.contains("NaN") && !page.contains("inf "), "{title}");
        seen += 1;
    }
    assert_eq!(seen, 10);
}

/// Widths for AS568-210: data/glands/industrial_inch.csv, 0.187 to 0.192 in alone, 0.275 to 0.280 in with two back-up rings.
#[test]
fn a_groove_with_back_up_rings_is_held_against_the_widths_printed_for_them() {
    let width_check = |width: &str, back_ups: &str| {
        let (_, report) = json(&format!(
            "gland check --kind piston --bore '24.70 mm' --groove '19.01 mm' --width '{width}' --back-ups {back_ups} --ring AS568-210"
        ));
        let mut checks = items(&report["checks"]).iter();
        let width = checks.find(|check| check["name"] == "groove width");
        (
            width.map(|check| check["verdict"].clone()),
            report["fill_pct"]["nominal"].as_f64(),
        )
    };
    let (alone, fill) = width_check("4.80 mm", "0");
    assert_eq!(alone, None);
    let (two, fill_beside) = width_check("7.05 mm", "2");
    assert_eq!(two, Some("good".into()));
    let (fill, fill_beside) = (fill.expect("a fill"), fill_beside.expect("a fill"));
    assert!((fill - fill_beside).abs() < 2.0, "{fill} {fill_beside}");
    assert_eq!(width_check("4.80 mm", "1").0, Some("marginal".into()));
    let (_, fit) = json(
        "gland fit --kind piston --bore '24.70 mm' --groove '19.01 mm' --width '7.05 mm' --back-ups 2",
    );
    let mut fitted = items(&fit["candidates"]).iter();
    let own = fitted
        .find(|one| one["codes"][0] == "AS568-210")
        .expect("listed");
    assert_eq!(own["verdict"], "good", "{fit}");
}

#[test]
fn an_inch_port_takes_its_ring_from_the_thread_and_says_where_another_is_fitted() {
    let port = "gland check --kind port --thread 7/16-20 --neck '9.20 mm'";
    let (_, own) = json(port);
    assert_eq!(own["ring"]["codes"][0], "AS568-904");
    let (_, other) = json(&format!("{port} --ring AS568-012"));
    for (report, verdict) in [(&own, "good"), (&other, "marginal")] {
        let named = find(&report["checks"], "name", "ring of the thread");
        assert_eq!(named["verdict"], verdict);
    }
    assert!(own["warnings"].to_string().contains("recalled"));
}

#[test]
fn every_state_has_its_own_squeeze_fill_gap_and_verdict() {
    let (_, report) = json(
        "gland check --kind piston --bore \"25.40 mm\" --groove \"22.60 mm\" --width \"2.4 mm\" --piston \"25.30 mm\" --pressure \"200 bar\" --ring AS568-020 --polymer NBR --hardness 90A --temperature \"-10..50 C\" --swell \"5 %\" --set \"30 %\" --years 10 --wall \"4 mm\" --metal aluminium",
    );
    let states = items(&report["states"]);
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
        assert!(["good", "marginal", "reject"].contains(&text(&state["verdict"])));
    }
    let squeeze = |i: usize| number(&states[i]["squeeze_mm"]["nominal"]);
    assert!(
        (squeeze(4) / squeeze(0) - 0.7).abs() < 1e-3,
        "30 % set keeps 70 % of the squeeze"
    );
    // Lamé, aluminium 70 GPa, 0.33, bore 25.4, wall 4 mm, 20 MPa: 25.4 x 20e6/70e9 x ((33.4² + 25.4²)/(33.4² - 25.4²) + 0.33)
    // = 0.0296 mm.
    let gap = |i: usize| number(&states[i]["gap_mm"]["nominal"]);
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
    let (code, report) = json(
        "gland check --kind piston --bore \"3.000±0.002 in\" --groove \"2.815±0.001 in\" --width \"0.14 in\" --piston \"2.988+0.002/-0 in\" --side-shift --ring \"2.80±0.01 x 0.103±0.003 in\"",
    );
    let least = number(&report["open_side_squeeze_mm"]["min"]);
    assert!(least < 0.0, "{least}");
    assert_eq!(code, Some(1));
    let open = find(&report["checks"], "name", "contact on the open side");
    assert_eq!(open["verdict"], "reject");
}

#[test]
fn a_used_ring_tells_its_section_by_the_method_of_the_set() {
    // W0 = (Wr - CB L)/(1 - CB): 3.35 mm, 25 %, L 2.8208 -> 3.526 mm; oval 3.75 x 3.32 -> 3.528 mm (derived check values).
    let (_, report) = json(
        "gland check --kind face --outer \"40 mm\" --depth \"2.8208 mm\" --width \"4.8 mm\" --used \"3.35 mm\" --set \"25 %\"",
    );
    let section = number(&report["by_set"][0]["section_mm"]);
    assert!((section - 3.526).abs() < 5e-4, "{section}");
    let (_, oval) = json(
        "gland check --kind face --outer \"40 mm\" --depth \"2.8208 mm\" --width \"4.8 mm\" --used \"3.32 mm\" --used-width \"3.75 mm\"",
    );
    let area = number(&oval["same_area_mm"]);
    assert!((area - 3.528).abs() < 5e-4, "{area}");
    let mut listed = items(&oval["listed"]).iter();
    assert!(listed.any(|l| (number(&l["section_mm"]) - 3.53).abs() < 0.01));
}

#[test]
fn a_cut_groove_goes_back_into_check_with_the_same_figures() {
    let (code, cut) =
        json("gland cut --kind piston --duty moving --bore \"25.40 mm\" --ring AS568-020");
    assert_eq!(code, Some(0));
    assert_eq!(cut["check"]["verdict"], "good");
    let mut line = "gland check --kind piston --duty moving --ring AS568-020".to_owned();
    for d in items(&cut["dimensions"]) {
        let [nominal, plus, minus] = ["mm", "plus_mm", "minus_mm"].map(|key| number(&d[key]));
        let _ = write!(
            line,
            " --{} '{nominal}+{plus}/-{minus} mm'",
            text(&d["name"])
        );
    }
    let (code, check) = json(&line);
    assert_eq!(code, Some(0));
    assert_eq!(check["squeeze_pct"], cut["check"]["squeeze_pct"]);
    assert_eq!(check["verdict"], "good");
}

#[test]
fn care_keeps_the_two_systems_apart_and_names_what_never_goes_in() {
    // Cured 4Q10: SAE nitrile 15 years to 1 January 2026; ISO 7 years to 1 January 2018 (extracts of both documents).
    let (code, report) = json("care NBR --oxygen '32 %' --cured 4Q2010");
    assert_eq!(code, Some(0));
    let lives = items(&report["shelf_lives"]);
    assert_eq!(lives.len(), 2);
    assert_eq!(lives[0]["rule"]["system"], "sae");
    assert_eq!(lives[0]["ends"]["year"], 2026);
    assert_eq!(lives[1]["ends"]["year"], 2018);
    assert_eq!(report["enriched"], true);
    assert_eq!(report["lubricants"][0]["lubricant"], "halogenated_grease");
    assert!(report["warnings"].to_string().contains("NBR is unsuitable"));
    for line in [
        "care rubber --cured 4Q10",
        "care NBR --cured March",
        "care NBR --oxygen 32",
    ] {
        assert_eq!(run(line).code, Some(2));
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
        let (asked, says) = line.split_once(" | ").expect("a remedy");
        let answer = run(&format!("gland {asked}"));
        assert_eq!(answer.code, Some(2), "{}", answer.shown());
        assert!(answer.err.contains(says), "{line}: {}", answer.err);
        assert!(answer.out.is_empty());
    }
}
