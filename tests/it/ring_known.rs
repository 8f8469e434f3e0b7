//! `ring --known`, `--learned`, `--forget-last`, `--instruments` and `--hardness` as a user gives them.

use serde_json::Value;
use std::path::Path;
use std::process::{Command, Output};

/// Runs the program with a data folder of its own.
fn run(folder: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ringwright"))
        .args(words)
        .env_remove("RINGWRIGHT_BOOK")
        .env("XDG_DATA_HOME", folder)
        .output()
        .expect("the program runs")
}

fn json(folder: &Path, words: &[&str]) -> Value {
    let words: Vec<&str> = words.iter().copied().chain(["--format", "json"]).collect();
    let output = run(folder, &words);
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|e| panic!("{words:?}: {e}: {}", error_of(&output)))
}

fn error_of(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

const OD: [&str; 3] = ["ring", "--od", "12.70 mm by caliper"];

#[test]
fn what_a_known_ring_taught_is_used_for_its_person_from_then_on() {
    let folder = tempfile::tempdir().expect("a folder");
    let home = folder.path();
    // To the tenth of a micrometre, as machine output carries lengths.
    let value = |words: &[&str]| {
        let value = json(home, words)["readings"][0]["value"].as_f64();
        value.map(|v| (v * 1e4).round() / 1e4)
    };
    let ada: Vec<&str> = OD.iter().copied().chain(["--person", "Ada"]).collect();
    assert_eq!(value(&OD), Some(12.8));
    let known = [
        "ring",
        "--known",
        "AS568-012",
        "--od",
        "12.65 mm by caliper",
    ];
    let known: Vec<&str> = known.iter().copied().chain(["--person", "Ada"]).collect();
    let report = json(home, &known);
    let line = &report["instruments"][0];
    let now = line["now"]["bias_mm"].as_f64().expect("a bias");
    assert!(now < line["before"]["bias_mm"].as_f64().expect("a bias"));
    assert_eq!(line["rings"], 1);
    let learned = value(&ada).expect("a value");
    assert!((learned - (12.70 - now)).abs() < 1e-4, "{learned} {now}");
    assert_eq!(value(&OD), Some(12.8), "nobody named: the table stands");
    let back = run(home, &["ring", "--forget-last", "--person", "Ada"]);
    assert_eq!(back.status.code(), Some(0));
    assert_eq!(value(&ada), Some(12.8));
    let none = run(home, &["ring", "--forget-last", "--person", "Ada"]);
    assert_eq!(none.status.code(), Some(1));
}

#[test]
fn a_known_ring_that_cannot_be_that_ring_is_refused_and_nothing_is_kept() {
    let folder = tempfile::tempdir().expect("a folder");
    let home = folder.path();
    for (words, told) in [
        (
            vec!["--known", "AS568-014", "--od", "12.70 mm by caliper"],
            "is it that ring",
        ),
        (
            vec!["--known", "AS568-012"],
            "teaches nothing without a reading",
        ),
        (
            vec!["--known", "AS568-012", "--od", "12.70 mm"],
            "names no instrument",
        ),
        (
            vec!["--known", "AS568-012", "--mass", "0.1 g by scale"],
            "known weight",
        ),
        (
            vec!["--known", "zzz", "--od", "12.70 mm by caliper"],
            "not a known ring code",
        ),
        (
            vec!["--known", "AS568-012", "--od", "12.70 mm by pin"],
            "caliper",
        ),
    ] {
        let words: Vec<&str> = ["ring"].into_iter().chain(words).collect();
        let output = run(home, &words);
        assert_eq!(output.status.code(), Some(2), "{words:?}");
        assert!(error_of(&output).contains(told), "{}", error_of(&output));
    }
    let shown = run(home, &["ring", "--learned"]);
    assert_ne!(shown.status.code(), Some(0));
}

#[test]
fn the_users_own_table_is_read_from_the_data_folder_and_its_faults_are_shown() {
    let folder = tempfile::tempdir().expect("a folder");
    let home = folder.path();
    let table = home.join("ringwright").join("instruments.csv");
    std::fs::create_dir_all(home.join("ringwright")).expect("a folder");
    let header = "method,measurand,bias,sd_between,sd_repeat\n";
    std::fs::write(&table, format!("{header}old-caliper,od,-0.12,0.04,0.02\n")).expect("written");
    let answer = json(home, &["ring", "--od", "12.70 mm by old-caliper"]);
    let value = answer["readings"][0]["value"].as_f64().expect("a value");
    assert!((value - 12.82).abs() < 1e-9, "{value}");
    std::fs::write(&table, format!("{header}old caliper,od,x,0.04,0.02\n")).expect("written");
    let output = run(home, &OD);
    assert_eq!(output.status.code(), Some(2));
    let told = error_of(&output);
    assert!(
        told.contains("instruments.csv:2:1") && told.contains("instruments.csv:2:16"),
        "{told}"
    );
    let missing = run(
        home,
        &["ring", "--instruments", "no.csv", "--od", "12.7 mm"],
    );
    assert!(error_of(&missing).contains("no.csv cannot be read"));
}

#[test]
fn hard_rubber_counts_as_read_less_small() {
    let folder = tempfile::tempdir().expect("a folder");
    let home = folder.path();
    let value = |hardness: &[&str]| {
        let words = ["ring", "--cs", "1.75 mm by caliper"];
        let words: Vec<&str> = words.iter().chain(hardness).copied().collect();
        json(home, &words)["readings"][0]["value"]
            .as_f64()
            .expect("a value")
    };
    assert!((value(&[]) - 1.78).abs() < 1e-9);
    // 0.03 mm at 70 Shore A becomes 0.0124 mm at 90 (stiffer by 3.775, to the power -2/3) on a 1.78 mm section.
    assert!((value(&["--hardness", "90A"]) - 1.7624).abs() < 5e-4);
    let refused = run(home, &["ring", "--cs", "1.75 mm", "--hardness", "70 IRHD"]);
    assert_eq!(refused.status.code(), Some(2));
}
