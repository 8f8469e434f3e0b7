//! `offer` and `order`: price lists in, offers found, the cheapest order planned.

use super::program::{import_words, json, lay_demo, run};
use std::path::Path;

fn text(path: &Path) -> &str {
    path.to_str().expect("a path of letters")
}

fn import(folder: &Path, book: &str, list: &[u8]) -> (Option<i32>, serde_json::Value) {
    let file = folder.join("list.csv");
    std::fs::write(&file, list).expect("writes");
    json(&import_words(text(&file), "2026-03-01", book))
}

/// A list in the forms in which lists are broken: semicolons, decimal commas, Windows-1252, ragged rows, a number that a
/// spreadsheet made a date, a price of two meanings.
const BROKEN: &[u8] = b"Part No;Bezeichnung;VE;Preis\r\n2-012;O-RING 012 BUNA-N 70D PK/100;100;4,20\r\n\
02-Dec;\"O-RING AS568-012 FKM 75\";1;0,85\nMar-14;WASHER;1;0,10\nx;FILTER DISC 12.7 x 3.2 mm;1;1.234\n\n\
y;O-Ring 9,25 x 1,78 NBR 70\nz;St\xfcck O-RING 112/FKM/90 10 PCS;10;3,10\n";

#[test]
fn every_row_is_accepted_or_rejected_with_its_reason() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = folder.path().join("shop.book");
    let (code, report) = import(folder.path(), text(&place), BROKEN);
    assert_eq!(code, Some(0));
    assert_eq!(report["rows_read"], 6);
    assert_eq!(report["accepted"], 3);
    assert_eq!(report["rejected"], 3);
    assert_eq!(report["described"]["numbers_restored"], 1);
    let rejects =
        std::fs::read_to_string(folder.path().join("list.csv.rejects.csv")).expect("rejects");
    assert_eq!(rejects.lines().count(), 4, "{rejects}");
    assert!(
        rejects.contains("4,1,") && rejects.contains("thousands or decimals"),
        "{rejects}"
    );
    let (_, found) = json(&["offer", "find", "AS568-012", "--book", text(&place)]);
    assert_eq!(found["offers"].as_array().map(Vec::len), Some(2));
    let (_, found) = json(&["offer", "find", "stück", "--book", text(&place)]);
    assert_eq!(found["offers"][0]["code"], "AS568-112");
}

#[test]
fn a_new_list_takes_the_place_of_the_former_one_and_its_prices_become_history() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = folder.path().join("shop.book");
    let book = text(&place);
    import(
        folder.path(),
        book,
        b"part no,description,price\nAB-1,O-RING 012 NBR 70,1.00\nAB-2,O-RING 014 NBR 70,2.00\n",
    );
    import(
        folder.path(),
        book,
        b"part no,description,price\nAB-1,O-RING 012 NBR 70,1.10\n",
    );
    let (_, found) = json(&["offer", "find", "ab1", "--book", book]);
    assert_eq!(found["offers"][0]["price"]["minor"], 110);
    assert_eq!(found["former_prices"][0]["minor"], 100);
    let (code, _) = json(&["offer", "find", "AB-2", "--top", "1", "--book", book]);
    // Only the one near number is left, one typing error away.
    assert_eq!(code, Some(0));
    // A list of which nothing can be read changes nothing.
    let file = folder.path().join("bad.csv");
    std::fs::write(&file, "part no,description,price\nAB-1,O-RING,on request\n").expect("writes");
    let output = run(&import_words(text(&file), "2026-03-02", book));
    assert_eq!(output.status.code(), Some(2));
    let (_, found) = json(&["offer", "find", "ab1", "--book", book]);
    assert_eq!(found["offers"][0]["price"]["minor"], 110);
    assert_eq!(
        run(&["book", "check", "--book", book]).status.code(),
        Some(0)
    );
}

#[test]
fn search_finds_numbers_parts_of_them_words_dimensions_and_mistyped_numbers() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = folder.path().join("shop.book");
    let book = text(&place);
    import(
        folder.path(),
        book,
        b"part no,description,price\nXK-40712,O-RING 9.25x1.78 mm NBR 70,1.00\nXK-40999,FILTER DISC 12.7 x 3.2 mm,2.00\n",
    );
    let by = |words: &[&str]| {
        let all: Vec<&str> = ["offer", "find"]
            .iter()
            .chain(words)
            .copied()
            .chain(["--book", book])
            .collect();
        let (_, found) = json(&all);
        (
            found["offers"][0]["number"].clone(),
            found["offers"][0]["by"].clone(),
        )
    };
    assert_eq!(by(&["xk 40712"]), ("XK-40712".into(), "number".into()));
    assert_eq!(by(&["XK-407"]), ("XK-40712".into(), "number-begins".into()));
    assert_eq!(by(&["0999"]), ("XK-40999".into(), "words".into()));
    assert_eq!(by(&["filter", "12.7"]), ("XK-40999".into(), "words".into()));
    assert_eq!(
        by(&["XK-47012"]),
        ("XK-40712".into(), "typing-errors".into())
    );
    assert_eq!(by(&["2-012"]), ("XK-40712".into(), "size".into()));
    assert_eq!(
        by(&["--id", "9.3 mm", "--cs", "1.8 mm"]),
        ("XK-40712".into(), "window".into())
    );
}

#[test]
fn the_order_of_the_demo_shop_is_proved_and_cheaper_than_line_by_line() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = folder.path().join("demo.book");
    let book = text(&place);
    lay_demo(Path::new(book));
    let (code, order) = json(&["order", "Tarn=1", "Tarn 2=1", "Beck=1", "--book", book]);
    assert_eq!(code, Some(0));
    assert_eq!(order["total"], order["bound"], "proved");
    let minor = |key: &str| order[key]["minor"].as_i64().expect("money");
    assert!(minor("total") < minor("line_by_line"), "{order}");
    let cost = |item: &serde_json::Value| item["cost"]["minor"].as_i64().expect("money");
    let goods: i64 = order["items"]
        .as_array()
        .expect("items")
        .iter()
        .map(cost)
        .sum();
    let beside: i64 = order["suppliers"]
        .as_array()
        .expect("suppliers")
        .iter()
        .map(|s| {
            s["carriage"]["minor"].as_i64().expect("money")
                + s["short_of_minimum"]["minor"].as_i64().expect("money")
        })
        .sum();
    assert_eq!(
        goods + beside,
        minor("total"),
        "what is bought adds up to the total"
    );
    for line in order["lines"].as_array().expect("lines") {
        let (bought, wanted) = (line["bought"].as_u64(), line["to_buy"].as_u64());
        assert!(bought >= wanted || bought == Some(0), "{line}");
    }
    let (_, dear) = json(&["order", "Tarn=1", "--ceiling", "0.50 USD", "--book", book]);
    let flagged = dear["lines"]
        .as_array()
        .expect("lines")
        .iter()
        .filter(|l| l["flags"][0].is_string())
        .count();
    assert!(flagged > 0, "a filter costs more than half a dollar");
    assert_eq!(
        run(&["order", "Tarn=0", "--book", book]).status.code(),
        Some(2)
    );
}

#[test]
fn what_lies_on_the_shelf_is_not_bought_again_and_what_is_past_its_life_is_not_counted() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = folder.path().join("demo.book");
    let book = text(&place);
    lay_demo(Path::new(book));
    let order = || json(&["order", "Tarn=2", "--book", book]).1;
    let first = |order: &serde_json::Value| {
        let lines = order["lines"].as_array().expect("lines").clone();
        let ring = |line: &&serde_json::Value| line["polymer"].is_string() && line["bought"] != 0;
        lines.iter().find(ring).expect("a ring is bought").clone()
    };
    let before = order();
    let line = first(&before);
    let words: Vec<&str> = line["part"].as_str().expect("words").split(' ').collect();
    let add = |bin: &str, cured: &str| {
        let words = [
            "stock",
            "add",
            words[0],
            "--polymer",
            words[1],
            "--hardness",
            "70A",
            "--bin",
            bin,
            "--quantity",
            "1",
            "--cured",
            cured,
            "--book",
            book,
        ];
        assert_eq!(run(&words).status.code(), Some(0), "{words:?}");
    };
    add("OLD", "2Q82");
    add("A3", "2025-Q2");
    let after = order();
    let same = after["lines"].as_array().expect("lines").iter();
    let same = same
        .clone()
        .find(|l| l["part"] == line["part"])
        .expect("the same line");
    assert_eq!(same["from_stock"], 1);
    assert_eq!(same["bins"][0], "1 from A3");
    assert_eq!(same["expired"], 1, "{same}");
    assert_eq!(
        same["to_buy"].as_u64(),
        line["to_buy"].as_u64().map(|n| n - 1)
    );
    assert!(after["total"]["minor"].as_i64() <= before["total"]["minor"].as_i64());
}

#[test]
fn rejected_rows_take_the_place_of_rejected_rows_and_of_nothing_else() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = folder.path().join("shop.book");
    let other = folder.path().join("list.csv.rejects.csv");
    std::fs::write(&other, "my own notes\n").expect("writes");
    let list = folder.path().join("list.csv");
    std::fs::write(&list, BROKEN).expect("writes");
    let refused = run(&import_words(text(&list), "2026-03-01", text(&place)));
    assert_eq!(refused.status.code(), Some(2));
    let kept = std::fs::read_to_string(&other).expect("reads");
    assert_eq!(kept, "my own notes\n");
    std::fs::remove_file(&other).expect("removes");
    for _ in 0..2 {
        assert_eq!(import(folder.path(), text(&place), BROKEN).0, Some(0));
        let rows = std::fs::read_to_string(&other).expect("reads");
        assert!(rows.starts_with("line,column,reason,row\n"), "{rows}");
    }
}

#[test]
fn a_part_put_on_the_shelf_in_the_words_of_the_note_is_the_part_of_the_list() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = folder.path().join("demo.book");
    let book = text(&place);
    lay_demo(Path::new(book));
    let filter = || {
        let order = json(&["order", "Tarn=2", "--book", book]).1;
        let lines = order["lines"].as_array().expect("lines").clone();
        let filter = |line: &&serde_json::Value| line["kind"] == "filter";
        lines.iter().find(filter).expect("a filter").clone()
    };
    assert_eq!(filter()["from_stock"], 0);
    let add = |words: &str, bin: &str| {
        let words = [
            "stock",
            "add",
            "--part",
            words,
            "--bin",
            bin,
            "--quantity",
            "1",
            "--book",
            book,
        ];
        assert_eq!(run(&words).status.code(), Some(0), "{words:?}");
    };
    add("filter disc ; od 12.7 ; thick 3.2", "F1");
    add("filter disc ; od 12.7 ; thick 2.5", "F2");
    assert_eq!(filter()["from_stock"], 1);
    assert_eq!(filter()["bins"][0], "1 from F1");
}

#[test]
fn carriage_that_nobody_recorded_is_told_and_not_taken_for_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = folder.path().join("demo.book");
    let book = text(&place);
    lay_demo(Path::new(book));
    let list = folder.path().join("cheap.csv");
    std::fs::write(
        &list,
        "part no,description,price\nZ1,O-RING AS568-118 NBR 70 EACH,0.01\n",
    )
    .expect("writes");
    let mut words = import_words(text(&list), "2026-03-01", book);
    for word in &mut words {
        if *word == "EUR" {
            *word = "USD";
        }
    }
    assert_eq!(run(&words).status.code(), Some(0), "{words:?}");
    let (_, order) = json(&["order", "Tarn=1", "--book", book]);
    let unknown = order["carriage_unknown"].as_array().expect("a list");
    assert_eq!(unknown.len(), 1, "{order}");
    let page = run(&["order", "Tarn=1", "--book", book]);
    let page = String::from_utf8_lossy(&page.stdout).into_owned();
    assert!(
        page.contains("is not recorded and was counted as 0"),
        "{page}"
    );
}
