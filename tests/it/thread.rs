//! `thread`: named from a pitch and a diameter, with pairs that are easily taken for each other.

use super::program::{Workshop, items, json, number, run};
use ringwright::core::caution::Caution;

const PORT: &str = "thread --od '9.43 mm' --pitch '24 tpi' --gear 'first stage'";

fn sizes(report: &serde_json::Value, list: &str) -> Vec<String> {
    let sizes = items(&report[list])
        .iter()
        .filter_map(|line| line["size"].as_str());
    sizes.map(str::to_owned).collect()
}

#[test]
fn a_port_of_a_regulator_is_named_with_its_rivals_its_ring_and_its_caution() {
    let (code, report) = json(PORT);
    assert_eq!(code, Some(0));
    assert_eq!(sizes(&report, "threads")[0], "3/8-24 UNF");
    let first = &report["threads"][0];
    assert!(
        first["probability"].as_f64().is_some_and(|p| p > 0.9),
        "{first}"
    );
    assert_eq!(first["port"]["ring_code"], "AS568-903");
    assert_eq!(first["port"]["confidence"], "memory");
    let rivals = sizes(&report, "rivals");
    for rival in ["M10x1", "G 1/8"] {
        assert!(rivals.iter().any(|size| size == rival), "{rivals:?}");
    }
    assert_eq!(report["cautions"][0], Caution::Thread.words());
    let listed: f64 = items(&report["threads"])
        .iter()
        .filter_map(|line| line["probability"].as_f64())
        .sum();
    let rest = |key: &str| number(&report[key]);
    assert!((listed + rest("others_listed") + rest("none_listed") - 1.0).abs() < 1e-9);
}

#[test]
fn a_count_of_crests_and_a_gauge_name_the_same_thread() {
    for (flag, words) in [("--crests", "12 over 12.0±0.1 mm"), ("--pitch", "1.0 mm")] {
        let (code, report) = json(&format!("thread --od '9.88 mm' '{flag}' '{words}'"));
        assert_eq!(code, Some(0), "{flag}");
        assert_eq!(sizes(&report, "threads")[0], "M10x1", "{flag}");
        assert!(sizes(&report, "rivals").iter().any(|size| size == "G 1/8"));
    }
}

#[test]
fn what_is_lacking_or_would_part_two_threads_is_asked_for_next() {
    let (_, report) = json("thread --od '9.6 mm'");
    assert_eq!(report["next"], "pitch");
    let (_, report) = json("thread --pitch '1.5 mm'");
    assert_eq!(report["next"], "diameter");
    // G 1/8 and R 1/8 share pitch and form.
    let pipe = "thread --od '9.6 mm' --pitch '28 tpi'";
    let (_, report) = json(pipe);
    assert_eq!(report["next"], "taper", "{report}");
    let (_, report) = json(&format!("{pipe} --taper --angle '55 deg'"));
    assert_eq!(sizes(&report, "threads")[0], "R 1/8");
}

#[test]
fn the_answer_is_one_screen_and_csv_carries_a_notice_in_each_row() {
    let page = Workshop::new().screen(PORT).out;
    assert!(page.lines().count() <= 20, "{page}");
    assert!(page.starts_with("3/8-24 UNF, "), "{page}");
    let csv = run(&format!("{PORT} --format csv")).out;
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    assert!(!rows.is_empty());
    assert!(
        rows.iter()
            .all(|row| row.iter().next_back() == Some(Caution::Row.words()))
    );
}

#[test]
fn what_no_thread_has_is_answered_with_no_and_what_cannot_be_read_with_its_place() {
    let (code, _) = json("thread --od '3.3 mm' --pitch '9 mm'");
    assert_eq!(code, Some(1));
    for (line, said) in [
        ("thread --od '9.4 mm' --pitch 1.5", "1.5"),
        ("thread --od '9.4 mm' --crests '25.4 mm'", "10 over 25.4 mm"),
        ("thread --od '9.4 mm' --pitch '0 tpi'", "24 tpi"),
        ("thread --od '0 mm' --pitch '1 mm'", "over the crests"),
    ] {
        let answer = run(line);
        assert_eq!(answer.code, Some(2), "{}", answer.shown());
        assert!(answer.out.is_empty(), "{}", answer.shown());
        assert!(answer.err.contains(said), "{}", answer.shown());
    }
}
