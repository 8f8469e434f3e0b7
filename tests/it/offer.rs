//! `offer` and `order`: price lists in, offers found, the cheapest order planned.

use super::program::{Workshop, find, import_line, items, text};
use serde_json::Value;

fn import(shop: &Workshop, list: impl AsRef<[u8]>) -> (Option<i32>, Value) {
    shop.write("list.csv", list);
    shop.coded(&import_line("list.csv", "Harbour"))
}

/// A list in the forms in which lists are broken: semicolons, decimal commas, Windows-1252, ragged rows, a number that a
/// spreadsheet made a date, a price of two meanings.
const BROKEN: &[u8] = b"Part No;Bezeichnung;VE;Preis\r\n2-012;O-RING 012 BUNA-N 70D PK/100;100;4,20\r\n\
02-Dec;\"O-RING AS568-012 FKM 75\";1;0,85\nMar-14;WASHER;1;0,10\nx;FILTER DISC 12.7 x 3.2 mm;1;1.234\n\n\
y;O-Ring 9,25 x 1,78 NBR 70\nz;St\xfcck O-RING 112/FKM/90 10 PCS;10;3,10\n";

#[test]
fn every_row_is_accepted_or_rejected_with_its_reason() {
    let shop = Workshop::new();
    let (code, report) = import(&shop, BROKEN);
    assert_eq!(code, Some(0));
    assert_eq!(report["rows_read"], 6);
    assert_eq!(report["accepted"], 3);
    assert_eq!(report["rejected"], 3);
    assert_eq!(report["described"]["numbers_restored"], 1);
    let rejects = shop.read("list.csv.rejects.csv");
    assert_eq!(rejects.lines().count(), 4, "{rejects}");
    assert!(
        rejects.contains("4,1,") && rejects.contains("thousands or decimals"),
        "{rejects}"
    );
    let (_, found) = shop.coded("offer find AS568-012");
    assert_eq!(found["offers"].as_array().map(Vec::len), Some(2));
    let (_, found) = shop.coded("offer find 'stück'");
    assert_eq!(found["offers"][0]["code"], "AS568-112");
}

#[test]
fn a_new_list_takes_the_place_of_the_former_one_and_its_prices_become_history() {
    let shop = Workshop::new();

    import(
        &shop,
        b"part no,description,price\nAB-1,O-RING 012 NBR 70,1.00\nAB-2,O-RING 014 NBR 70,2.00\n",
    );
    import(
        &shop,
        b"part no,description,price\nAB-1,O-RING 012 NBR 70,1.10\n",
    );
    let (_, found) = shop.coded("offer find ab1");
    assert_eq!(found["offers"][0]["price"]["minor"], 110);
    assert_eq!(found["former_prices"][0]["minor"], 100);
    let (code, _) = shop.coded("offer find AB-2 --top 1");
    // Only the one near number is left, one typing error away.
    assert_eq!(code, Some(0));
    // A list of which nothing can be read changes nothing.
    shop.write(
        "bad.csv",
        "part no,description,price\nAB-1,O-RING,on request\n",
    );
    let output = shop.run(&import_line("bad.csv", "Harbour"));
    assert_eq!(output.code, Some(2));
    assert!(output.out.is_empty(), "{}", output.shown());
    let (_, found) = shop.coded("offer find ab1");
    assert_eq!(found["offers"][0]["price"]["minor"], 110);
    assert_eq!(shop.run("book check").code, Some(0));
}

#[test]
fn search_finds_numbers_parts_of_them_words_dimensions_and_mistyped_numbers() {
    let shop = Workshop::new();

    import(&shop, b"part no,description,price\nXK-40712,O-RING 9.25x1.78 mm NBR 70,1.00\nXK-40999,FILTER DISC 12.7 x 3.2 mm,2.00\n",
    );
    let by = |words: &str| {
        let found = shop.json(&format!("offer find {words}"));
        (
            found["offers"][0]["number"].clone(),
            found["offers"][0]["by"].clone(),
        )
    };
    assert_eq!(by("'xk 40712'"), ("XK-40712".into(), "number".into()));
    assert_eq!(by("XK-407"), ("XK-40712".into(), "number-begins".into()));
    assert_eq!(by("0999"), ("XK-40999".into(), "words".into()));
    assert_eq!(by("filter 12.7"), ("XK-40999".into(), "words".into()));
    assert_eq!(by("XK-47012"), ("XK-40712".into(), "typing-errors".into()));
    assert_eq!(by("2-012"), ("XK-40712".into(), "size".into()));
    assert_eq!(
        by("--id '9.3 mm' --cs '1.8 mm'"),
        ("XK-40712".into(), "window".into())
    );
}

#[test]
fn the_order_of_the_demo_shop_is_proved_and_cheaper_than_line_by_line() {
    let shop = Workshop::demo();
    let (code, order) = shop.coded("order Tarn=1 'Tarn 2=1' Beck=1");
    assert_eq!(code, Some(0));
    assert_eq!(order["total"], order["bound"], "proved");
    let minor = |of: &Value, key: &str| of[key]["minor"].as_i64().expect("money");
    assert!(
        minor(&order, "total") < minor(&order, "line_by_line"),
        "{order}"
    );
    let goods: i64 = items(&order["items"])
        .iter()
        .map(|item| minor(item, "cost"))
        .sum();
    let beside = |s| minor(s, "carriage") + minor(s, "short_of_minimum");
    let beside: i64 = items(&order["suppliers"]).iter().map(beside).sum();
    assert_eq!(
        goods + beside,
        minor(&order, "total"),
        "what is bought adds up to the total"
    );
    for line in items(&order["lines"]) {
        let (bought, wanted) = (line["bought"].as_u64(), line["to_buy"].as_u64());
        assert!(bought >= wanted || bought == Some(0), "{line}");
    }
    let (_, dear) = shop.coded("order Tarn=1 --ceiling '0.50 USD'");
    let flagged = items(&dear["lines"])
        .iter()
        .filter(|l| l["flags"][0].is_string())
        .count();
    assert!(flagged > 0, "a filter costs more than half a dollar");
    assert_eq!(shop.run("order Tarn=0").code, Some(2));
}

#[test]
fn what_lies_on_the_shelf_is_not_bought_again_and_what_is_past_its_life_is_not_counted() {
    let shop = Workshop::demo();
    let order = || shop.json("order Tarn=2");
    let first = |order: &serde_json::Value| {
        let ring = |line: &&Value| line["polymer"].is_string() && line["bought"] != 0;
        items(&order["lines"])
            .iter()
            .find(ring)
            .expect("a ring is bought")
            .clone()
    };
    let before = order();
    let line = first(&before);
    let words: Vec<&str> = text(&line["part"]).split(' ').collect();
    let add = |bin: &str, cured: &str| {
        let (ring, polymer) = (words[0], words[1]);
        shop.done(&format!("stock add {ring} --polymer {polymer} --hardness 70A --bin {bin} --quantity 1 --cured {cured}"))
    };
    add("OLD", "2Q82");
    add("A3", "2025-Q2");
    let after = order();
    let same = find(&after["lines"], "part", text(&line["part"]));
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
    let shop = Workshop::new();
    let other = "list.csv.rejects.csv";
    shop.write(other, "my own notes\n");
    shop.write("list.csv", BROKEN);
    let refused = shop.run(&import_line("list.csv", "Harbour"));
    assert_eq!(refused.code, Some(2));
    assert!(refused.out.is_empty(), "{}", refused.shown());
    assert_eq!(shop.read(other), "my own notes\n");
    std::fs::remove_file(shop.path(other)).expect("removes");
    for _ in 0..2 {
        assert_eq!(import(&shop, BROKEN).0, Some(0));
        let rows = shop.read(other);
        assert!(rows.starts_with("line,column,reason,row\n"), "{rows}");
    }
}

#[test]
fn a_part_put_on_the_shelf_in_the_words_of_the_note_is_the_part_of_the_list() {
    let shop = Workshop::demo();
    let filter = || find(&shop.json("order Tarn=2")["lines"], "kind", "filter").clone();
    assert_eq!(filter()["from_stock"], 0);
    let add = |part: &str, bin: &str| {
        shop.done(&format!(
            "stock add --part '{part}' --bin {bin} --quantity 1"
        ))
    };
    add("filter disc ; od 12.7 ; thick 3.2", "F1");
    add("filter disc ; od 12.7 ; thick 2.5", "F2");
    assert_eq!(filter()["from_stock"], 1);
    assert_eq!(filter()["bins"][0], "1 from F1");
}

#[test]
fn carriage_that_nobody_recorded_is_told_and_not_taken_for_nothing() {
    let shop = Workshop::demo();
    shop.write(
        "cheap.csv",
        "part no,description,price\nZ1,O-RING AS568-118 NBR 70 EACH,0.01\n",
    );
    shop.done(&import_line("cheap.csv", "Harbour").replace("EUR", "USD"));
    let (_, order) = shop.coded("order Tarn=1");
    let unknown = items(&order["carriage_unknown"]);
    assert_eq!(unknown.len(), 1, "{order}");
    let page = shop.printed("order Tarn=1");
    assert!(
        page.contains("is not recorded and was counted as 0"),
        "{page}"
    );
}
