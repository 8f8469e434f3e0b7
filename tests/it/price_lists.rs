//! `offer import` of a workbook that `fixtures/price_list.py` wrote with openpyxl (`price_list.xlsx`), and of thirty price lists laid
//! out as suppliers do, in five languages (`fixtures/price_lists`): written, with what a careful person reads in them, by somebody
//! who never saw the reader.
//!
//! Every row must be right, every other line be refused with a reason or passed over, and nothing of a hidden sheet, row or
//! column may be offered.

use super::program::{Workshop, import_line, text};
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn fixtures() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/it/fixtures/price_lists")
}

/// Unpacks one of the lists to a place.
fn unpack(name: &str, path: &Path) {
    let packed = std::fs::File::open(fixtures().join("lists.zip")).expect("the packed lists");
    let mut packed = zip::ZipArchive::new(packed).expect("the packed lists");
    let mut list = packed.by_name(name).expect("a list of that name");
    let mut file = std::fs::File::create(path).expect("a file");
    std::io::copy(&mut list, &mut file).expect("a list");
}

fn expected() -> Vec<Value> {
    let text =
        std::fs::read_to_string(fixtures().join("expected.json")).expect("the expected rows");
    serde_json::from_str(&text).expect("JSON")
}

/// One list read into a book of its own.
struct ReadList {
    report: Value,
    offers: Vec<Value>,
    /// Sheet and line of each rejected row.
    rejects: BTreeSet<u64>,
}

fn read(list: &Value) -> ReadList {
    let shop = Workshop::new();
    let text = |key: &str| text(&list[key]);
    let (file, supplier) = (text("file"), text("supplier"));
    unpack(file, &shop.path(file));
    let (currency, tax, date) = (text("currency"), text("tax"), text("date"));
    let (code, report) = shop.coded(&format!(
        "offer import \"{file}\" --supplier \"{supplier}\" --currency {currency} --tax {tax} --date {date} --rejects rejects.csv"
    ));
    assert_eq!(code, Some(0), "{file}: {report}");
    let listed = shop.json(&format!("offer list \"{supplier}\""));
    let lines = csv::Reader::from_path(shop.path("rejects.csv")).map_or_else(
        |_| BTreeSet::new(),
        |mut rows| {
            rows.records()
                .map(|row| row.expect("a row")[0].parse().expect("a line"))
                .collect()
        },
    );
    ReadList {
        report,
        offers: listed["offers"].as_array().expect("offers").clone(),
        rejects: lines,
    }
}

fn prices(of: &Value) -> Vec<(u64, i64)> {
    let steps = of["prices"].as_array().expect("prices").iter();
    steps
        .map(|step| {
            (
                step["from_packs"].as_u64().expect("packs"),
                step["minor"].as_i64().expect("minor"),
            )
        })
        .collect()
}

/// The kind in the words of the expected rows; what is neither soft part nor spring has none.
fn kind(of: &Value) -> Option<&str> {
    match of.as_str()? {
        "back-up ring" => Some("back-up-ring"),
        "clip" => Some("retaining-ring"),
        "other" | "consumable" => None,
        word => Some(word),
    }
}

/// Where a row differs from what was expected.
fn differences(offer: &Value, row: &Value) -> Vec<String> {
    let doubtful: Vec<&str> = match (row.get("doubt"), row.get("doubt_fields")) {
        (_, Some(fields)) => fields
            .as_array()
            .expect("fields")
            .iter()
            .filter_map(Value::as_str)
            .collect(),
        // A doubt that names no fields leaves only the line to be told.
        (Some(_), None) => return Vec::new(),
        (None, None) => Vec::new(),
    };
    let mut found = Vec::new();
    let mut check = |field: &str, same: bool, got: &Value| {
        if !same && !doubtful.contains(&field) {
            found.push(format!("{field}: {got} in place of {}", row[field]));
        }
    };
    for field in ["number", "description"] {
        check(field, offer[field] == row[field], &offer[field]);
    }
    // Materials that the table of elastomers does not have are no polymer of a ring.
    let known = |value: &Value| {
        value
            .as_str()
            .is_none_or(|word| ringwright::core::elastomer::Polymer::from_word(word).is_some())
    };
    if known(&row["polymer"]) {
        check(
            "polymer",
            offer["polymer"] == row["polymer"],
            &offer["polymer"],
        );
    }
    check(
        "hardness",
        offer["hardness"].as_f64() == row["hardness"].as_f64(),
        &offer["hardness"],
    );
    check(
        "kind",
        kind(&offer["kind"]) == kind(&row["kind"]),
        &offer["kind"],
    );
    // Where the steps of the price are in doubt, so is the pack that they are counted in.
    if !doubtful.contains(&"prices") {
        check("pack", offer["pack"] == row["pack"], &offer["pack"]);
        check("prices", prices(offer) == prices(row), &offer["prices"]);
    }
    // Inch sizes stand in the lists rounded to the thousandth of an inch.
    let near = |a: &Value, b: &Value| match (a.as_f64(), b.as_f64()) {
        (Some(a), Some(b)) => (a - b).abs() < 0.031,
        (a, b) => a == b,
    };
    check(
        "id_mm",
        near(&offer["id_mm"], &row["id_mm"]),
        &offer["id_mm"],
    );
    check(
        "section_mm",
        near(&offer["cs_mm"], &row["section_mm"]),
        &offer["cs_mm"],
    );
    found
}

#[test]
fn rows_of_thirty_lists_are_right_and_nothing_is_lost() {
    let mut wrong = Vec::new();
    let mut rows = 0;
    for list in expected() {
        let file = list["file"].as_str().expect("a file").to_owned();
        let mut read = read(&list);
        for row in list["rows"].as_array().expect("rows") {
            rows += 1;
            match take(&mut read, row) {
                None => wrong.push(format!("{file} line {}: no offer", row["line"])),
                Some(offer) => wrong.extend(named(&file, row, differences(&offer, row))),
            }
        }
        for one in list["refused"].as_array().expect("refused") {
            if !read
                .rejects
                .contains(&one["line"].as_u64().expect("a line"))
            {
                wrong.push(format!("{file} line {}: not refused", one["line"]));
            }
        }
        let unknown: BTreeSet<&str> = read.report["tables"]
            .as_array()
            .expect("tables")
            .iter()
            .flat_map(|table| table["left_out"].as_array().expect("columns"))
            .filter(|column| column["why"] == "not-understood")
            .filter_map(|column| column["head"].as_str())
            .collect();
        let known = list["columns_not_understood"]
            .as_array()
            .expect("columns")
            .iter();
        let known: BTreeSet<&str> = known.filter_map(Value::as_str).collect();
        if unknown != known {
            wrong.push(format!(
                "{file}: columns not understood {unknown:?} in place of {known:?}"
            ));
        }
    }
    assert_eq!(rows, 266);
    assert!(
        wrong.is_empty(),
        "{} differences:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

/// Takes the offer of an expected row out of those that are left.
fn take(read: &mut ReadList, row: &Value) -> Option<Value> {
    let here = read.offers.iter().position(|offer| {
        offer["line"] == row["line"]
            && (offer["number"] == row["number"] || row["doubt"].is_string())
    })?;
    Some(read.offers.remove(here))
}

fn named(file: &str, row: &Value, what: Vec<String>) -> Vec<String> {
    let line = &row["line"];
    what.into_iter()
        .map(|what| format!("{file} line {line}: {what}"))
        .collect()
}

#[test]
fn hidden_sheets_are_named_and_their_prices_not_read() {
    for list in expected() {
        let hidden: BTreeSet<String> = list["hidden"]
            .as_array()
            .expect("hidden")
            .iter()
            .filter_map(|one| one.as_str()?.strip_prefix("sheet ").map(str::to_owned))
            .collect();
        let read = read(&list);
        let named = read.report["hidden_sheets"]
            .as_array()
            .expect("sheets")
            .iter();
        let named: BTreeSet<String> = named
            .filter_map(|name| Some(name.as_str()?.to_owned()))
            .collect();
        assert_eq!(named, hidden, "{}", list["file"]);
    }
}

const LIST: &[u8] = include_bytes!("fixtures/price_list.xlsx");

/// Imports the workbook into a new book.
fn imported() -> (Workshop, Value) {
    let shop = Workshop::new();
    shop.write("price_list.xlsx", LIST);
    let (code, report) = shop.coded(&import_line("price_list.xlsx", "Harbour"));
    assert_eq!(code, Some(0), "{report}");
    (shop, report)
}

#[test]
fn every_row_of_a_workbook_is_accepted_or_named_with_line_and_column() {
    let (shop, report) = imported();
    // Rows 2 to 6 and 8 to 12; the heads and the empty row 7 are no rows of the list, the second sheet is not read.
    assert_eq!(report["rows_read"], 10);
    assert_eq!(report["accepted"], 6);
    assert_eq!(report["rejected"], 4);
    assert_eq!(report["described"]["numbers_restored"], 1);
    let rejects = shop.path("price_list.xlsx.rejects.csv");
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
    let (shop, _) = imported();
    let find = |number: &str| {
        let (_, found) = shop.coded(&format!("offer find {number}"));
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
    assert_eq!(shop.run("book check").code, Some(0));
}
