//! `offer import` of a workbook: `fixtures/price_list.xlsx`, which `fixtures/price_list.py` wrote with openpyxl.

use super::program::{import_words, json, run};
use std::path::Path;

const LIST: &[u8] = include_bytes!("fixtures/price_list.xlsx");

fn text(path: &Path) -> &str {
    path.to_str().expect("a path of letters")
}

/// Imports the workbook into a new book in a folder.
fn import(folder: &Path) -> serde_json::Value {
    let file = folder.join("price_list.xlsx");
    std::fs::write(&file, LIST).expect("writes");
    let place = folder.join("shop.book");
    let (code, report) = json(&import_words(text(&file), "2026-03-01", text(&place)));
    assert_eq!(code, Some(0), "{report}");
    report
}

#[test]
fn every_row_of_a_workbook_is_accepted_or_named_with_line_and_column() {
    let folder = tempfile::tempdir().expect("a folder");
    let report = import(folder.path());
    // Rows 2 to 6 and 8 to 12; the heads and the empty row 7 are no rows of the list, the second sheet is not read.
    assert_eq!(report["rows_read"], 10);
    assert_eq!(report["accepted"], 6);
    assert_eq!(report["rejected"], 4);
    assert_eq!(report["described"]["numbers_restored"], 1);
    let rejects = folder.path().join("price_list.xlsx.rejects.csv");
    let mut reader = csv::Reader::from_path(&rejects).expect("the rejects");
    let rows: Vec<[String; 3]> = reader
        .records()
        .map(|row| row.expect("a row"))
        .map(|row| [0, 1, 2].map(|at| row[at].to_owned()))
        .collect();
    let places: Vec<[&str; 2]> = rows
        .iter()
        .map(|[line, column, _]| [line.as_str(), column])
        .collect();
    assert_eq!(places, [["6", "1"], ["9", "4"], ["10", "4"], ["12", "4"]]);
    let reasons: Vec<&str> = rows.iter().map(|[_, _, reason]| reason.as_str()).collect();
    assert!(reasons[0].contains("date"), "{reasons:?}");
    // A formula that was saved without its value, and one whose value is an error.
    assert_eq!(reasons[1], "no price here");
    assert!(reasons[2].contains("#DIV/0!"), "{reasons:?}");
    assert!(reasons[3].contains("on request"), "{reasons:?}");
}

#[test]
fn cells_of_a_workbook_are_taken_as_a_person_sees_them_and_formulas_are_not_worked_out() {
    let folder = tempfile::tempdir().expect("a folder");
    import(folder.path());
    let place = folder.path().join("shop.book");
    let find = |number: &str| {
        let (_, found) = json(&["offer", "find", number, "--book", text(&place)]);
        let offer = found["offers"][0].clone();
        (
            offer["number"].clone(),
            offer["price"]["minor"].clone(),
            offer["pack"].clone(),
        )
    };
    // A text cell; number cells as number, price and pack; a price in a text cell with a decimal comma.
    assert_eq!(find("XK-40712"), ("XK-40712".into(), 310.into(), 10.into()));
    assert_eq!(find("40999"), ("40999".into(), 195.into(), 1.into()));
    assert_eq!(find("2-014"), ("2-014".into(), 95.into(), 1.into()));
    // Kept as the date 2012-02-01; the description names the same ring.
    assert_eq!(find("2-012"), ("2-012".into(), 42.into(), 1.into()));
    // =1.05*3, saved with 2.10: the saved value holds, not 3.15.
    assert_eq!(find("XK-1"), ("XK-1".into(), 210.into(), 1.into()));
    // =1.1*3, saved as 3.3000000000000003 and shown as 3.30.
    assert_eq!(find("XK-4"), ("XK-4".into(), 330.into(), 1.into()));
    assert_eq!(
        run(&["book", "check", "--book", text(&place)])
            .status
            .code(),
        Some(0)
    );
}
