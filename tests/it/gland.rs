//! `gland check` and `gland fit`: keys, exit codes, refusals.

use super::program::{json, run, words};
use serde_json::Value;
use std::process::Command;

const PISTON: [&str; 10] = [
    "gland",
    "check",
    "--kind",
    "piston",
    "--bore",
    "25.40+0.05/-0 mm",
    "--groove",
    "22.80±0.02 mm",
    "--width",
    "2.4±0.05 mm",
];

fn with<'a>(base: &[&'a str], more: &[&'a str]) -> Vec<&'a str> {
    base.iter().chain(more).copied().collect()
}

#[test]
fn a_ring_that_fits_ends_with_0_and_all_the_keys() {
    let words = with(
        &PISTON,
        &[
            "--piston",
            "25.35 mm",
            "--pressure",
            "100 bar",
            "--ring",
            "22.4±0.2 x 1.78±0.08 mm",
            "--hardness",
            "90A",
        ],
    );
    let (code, report) = json(&words);
    assert_eq!(code, Some(0), "{report}");
    for key in [
        "kind",
        "ring",
        "gland_depth_mm",
        "stretch_pct",
        "section_mm",
        "squeeze_mm",
        "squeeze_pct",
        "fill_pct",
        "gap_mm",
        "line_force_n_per_mm",
        "checks",
        "verdict",
        "warnings",
    ] {
        assert!(!report[key].is_null(), "{key}");
    }
    for key in [
        "gland_depth_mm",
        "stretch_pct",
        "squeeze_mm",
        "squeeze_pct",
        "fill_pct",
        "gap_mm",
    ] {
        for end in ["min", "nominal", "max"] {
            assert!(report[key][end].is_number(), "{key} {end}");
        }
    }
    for check in report["checks"].as_array().expect("checks") {
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
    let (code, report) = json(&with(&PISTON, &["--ring", "AS568-210"]));
    assert_eq!(code, Some(1));
    assert_eq!(report["verdict"], "reject");
    assert!(report["squeeze_pct"]["nominal"].is_number());
    assert!(report["gap_mm"].is_null(), "no piston was given");
}

#[test]
fn inside_and_outside_pressure_put_the_face_ring_against_their_wall() {
    let face = [
        "gland",
        "check",
        "--kind",
        "face",
        "--depth",
        "1.30±0.02 mm",
        "--width",
        "2.6 mm",
        "--ring",
        "9.25±0.13 x 1.78±0.08 mm",
    ];
    let (_, inside) = json(&with(
        &face,
        &[
            "--outer",
            "12.7 mm",
            "--pressure",
            "200 bar",
            "--from",
            "inside",
        ],
    ));
    assert_eq!(inside["stretch_pct"]["max"], 0.0);
    // 100 (9.25 + 3.56 - 12.7)/12.81 = 0.8587 %.
    assert_eq!(inside["outside_compression_pct"]["nominal"], 0.8587);
    let (_, outside) = json(&with(
        &face,
        &[
            "--inner",
            "9.4 mm",
            "--pressure",
            "200 bar",
            "--from",
            "outside",
        ],
    ));
    // 100 (9.4 - 9.25)/9.25 = 1.6216 %.
    assert_eq!(outside["stretch_pct"]["nominal"], 1.6216);
    assert!(outside["outside_compression_pct"].is_null());
}

#[test]
fn fit_ranks_listed_rings_with_their_keys() {
    let words = [
        "gland",
        "fit",
        "--kind",
        "piston",
        "--bore",
        "25.40±0.03 mm",
        "--groove",
        "22.60±0.02 mm",
        "--width",
        "2.4±0.05 mm",
        "--top",
        "5",
    ];
    let (code, report) = json(&words);
    assert_eq!(code, Some(0));
    let candidates = report["candidates"].as_array().expect("candidates");
    assert_eq!(candidates.len(), 5);
    for (index, row) in candidates.iter().enumerate() {
        assert_eq!(row["rank"], index + 1);
        for key in [
            "codes",
            "id_mm",
            "cs_mm",
            "verdict",
            "pass_probability",
            "squeeze_pct",
            "stretch_pct",
            "fill_pct",
        ] {
            assert!(!row[key].is_null(), "{key}");
        }
    }
    let named = |row: &Value| row["codes"][0] == "AS568-020";
    assert!(candidates[..3].iter().any(named), "{report}");
    assert_eq!(run(&words).stdout, run(&words).stdout);
}

#[test]
fn where_nothing_listed_fits_the_nearest_and_its_failure_are_named() {
    let words = [
        "gland", "fit", "--kind", "piston", "--bore", "25.40 mm", "--groove", "24.8 mm", "--width",
        "2.4 mm",
    ];
    let (code, report) = json(&words);
    assert_eq!(code, Some(1));
    let text = report["nothing_fits"].as_str().expect("a sentence");
    assert!(
        text.contains("nearest is") && text.contains("mm of squeeze"),
        "{text}"
    );
}

#[test]
fn wrong_questions_end_with_2_and_say_what_to_write() {
    for (words, says) in [
        (
            vec![
                "gland", "check", "--kind", "piston", "--bore", "25.4 mm", "--groove", "22.4 mm",
                "--ring", "-012",
            ],
            "width",
        ),
        (
            vec![
                "gland", "check", "--kind", "piston", "--bore", "22 mm", "--groove", "22.4 mm",
                "--width", "2.4 mm", "--ring", "-012",
            ],
            "larger",
        ),
        (
            vec![
                "gland", "check", "--kind", "rod", "--bore", "22 mm", "--ring", "-012",
            ],
            "no bore",
        ),
        (
            vec!["gland", "check", "--kind", "hole", "--ring", "-012"],
            "piston, rod, face",
        ),
        (with(&PISTON, &["--ring", "1 x .4"]), "can mean"),
        (
            with(&PISTON, &["--ring", "-012 N70", "--hardness", "90A"]),
            "leave one",
        ),
        (
            with(&PISTON, &["--ring", "-012", "--hardness", "70 IRHD"]),
            "Shore A",
        ),
        (
            with(&PISTON, &["--ring", "-012", "--swell", "5"]),
            "per cent",
        ),
        (
            with(&PISTON, &["--ring", "-012", "--from", "above"]),
            "inside, outside",
        ),
        (
            with(&PISTON, &["--ring", "-012", "--pressure", "200"]),
            "unit",
        ),
        (
            with(&PISTON, &["--ring", "-012", "--rules", "mine"]),
            "industrial",
        ),
        (
            vec![
                "gland", "check", "--kind", "face", "--inner", "9 mm", "--depth", "1 mm",
                "--width", "2 mm", "--from", "inside", "--ring", "-012",
            ],
            "outer",
        ),
        (
            vec![
                "gland", "check", "--kind", "face", "--outer", "4 mm", "--depth", "1 mm",
                "--width", "2 mm", "--ring", "-012",
            ],
            "does not go",
        ),
        (
            vec![
                "gland", "check", "--kind", "face", "--outer", "14 mm", "--inner", "9 mm",
                "--depth", "1 mm", "--width", "2 mm", "--ring", "-012",
            ],
            "wide",
        ),
    ] {
        let output = run(&words);
        let message = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{words:?}: {message}");
        assert!(message.contains(says), "{words:?}: {message}");
        assert!(output.stdout.is_empty());
    }
}

#[test]
fn a_page_begins_with_the_verdict_and_ends_with_the_caution() {
    let output = run(&with(&PISTON, &["--ring", "AS568-020 N70"]));
    let page = String::from_utf8(output.stdout).expect("UTF-8");
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
        let output = Command::new(env!("CARGO_BIN_EXE_ringwright"))
            .args(words(text))
            .env_remove("RINGWRIGHT_BOOK")
            .output()
            .expect("the program runs");
        let page = String::from_utf8(output.stdout).expect("UTF-8");
        let message = String::from_utf8_lossy(&output.stderr);
        assert_eq!(
            output.status.code(),
            code.trim().parse().ok(),
            "{title}: {message}{page}"
        );
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
        let words = [
            "gland",
            "check",
            "--kind",
            "piston",
            "--bore",
            "24.70 mm",
            "--groove",
            "19.01 mm",
            "--width",
            width,
            "--back-ups",
            back_ups,
            "--ring",
            "AS568-210",
        ];
        let (_, report) = json(&words);
        let checks = report["checks"].as_array().expect("checks").clone();
        let width = checks
            .iter()
            .find(|check| check["name"] == "groove width")
            .cloned();
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
    let fit = [
        "gland",
        "fit",
        "--kind",
        "piston",
        "--bore",
        "24.70 mm",
        "--groove",
        "19.01 mm",
        "--width",
        "7.05 mm",
        "--back-ups",
        "2",
    ];
    let (_, fit) = json(&fit);
    let fitted = fit["candidates"].as_array().expect("a list").iter();
    let mut own = fitted.filter(|one| one["codes"][0] == "AS568-210");
    let verdict = own.next().map(|one| one["verdict"].clone());
    assert_eq!(verdict, Some("good".into()), "{fit}");
}
