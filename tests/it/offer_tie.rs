//! `offer tie`, and price lists that follow each other: what a person says counts, and nothing is dropped in silence.

use super::program::{Workshop, find, import_line, items};
use serde_json::Value;

/// A unit with a diaphragm whose offer names it in other words and another order of figures, and a filter that nobody measured.
const NOTE: &str = "maker Probe Works\nmodel Probe\nunit P1\ngear breathing first stage\ndate 2026-02-01\nby M. Okafor\n\
gas air\nlengths mm\n\n[cap]\ndiaphragm ; at cap ; replace ; od 33.5 ; thick 0.8\nfilter ; at inlet ; replace\n";

/// Holds a shop with the unit above and one price list.
struct Shop(Workshop);

impl Shop {
    fn new() -> Self {
        let shop = Workshop::new();
        shop.add_note(NOTE);
        Self(shop)
    }

    fn import(&self, date: &str, list: &str, more: &str) -> (Option<i32>, String) {
        self.0.write("list.csv", list);
        let line = import_line("list.csv", "Harbour").replace("2026-03-01", date);
        let answer = self.0.run(&format!("{line} {more}"));
        (answer.code, answer.said())
    }

    fn order(&self) -> Value {
        self.0.json("order Probe")
    }

    fn price(&self) -> Value {
        self.0.json("offer find D-1")["offers"][0]["price"]["minor"].clone()
    }
}

const LIST: &str = "part no,description,pack,price\nD-1,Diaphragm 0.8 x 33.5 mm NBR,1,4.00\nF-9,FILTER sintered,10,19.00\n";

#[test]
fn parts_that_are_no_rings_meet_their_offers_by_kind_and_lengths_and_the_rest_is_tied_by_a_person()
{
    let shop = Shop::new();
    assert_eq!(shop.import("2026-03-01", LIST, "").0, Some(0));
    let before = shop.order();
    let bought = items(&before["items"]);
    assert_eq!(bought.len(), 1, "{before}");
    assert_eq!(bought[0]["number"], "D-1");
    // Nobody measured the filter: nothing can be ordered for it yet.
    assert!(
        before["undecided"].to_string().contains("filter"),
        "{before}"
    );

    let tie = |number: &str, more: &str| {
        let line = format!(
            "offer tie Probe 'filter at inlet' Harbour {number} --person 'M. Okafor' {more}"
        );
        shop.0.run(&line).code
    };
    assert_eq!(tie("F-8", ""), Some(2), "no such offer");
    assert_eq!(tie("F-9", ""), Some(0));
    let after = shop.order();
    let filter = find(&after["items"], "number", "F-9");
    // A pack of ten at 19.00 is a pack of ten.
    assert_eq!(filter["pack"], 10);
    assert_eq!(filter["cost"]["minor"], 1900);
    assert_eq!(
        after["not_offered"].as_array().map(Vec::len),
        Some(0),
        "{after}"
    );
    assert_eq!(tie("F-9", "--untie"), Some(0));
    assert_eq!(shop.order()["items"].as_array().map(Vec::len), Some(1));
}

#[test]
fn an_older_list_takes_the_place_of_a_newer_one_only_when_told() {
    let shop = Shop::new();
    assert_eq!(shop.import("2026-05-01", LIST, "").0, Some(0));
    let old = LIST.replace("4.00", "3.00");
    let (code, said) = shop.import("2026-03-01", &old, "");
    assert_eq!(code, Some(2));
    assert!(
        said.contains("2026-05-01") && said.contains("--replace-newer"),
        "{said}"
    );
    assert_eq!(shop.price(), 400);
    assert_eq!(
        shop.import("2026-03-01", &old, "--replace-newer").0,
        Some(0)
    );
    assert_eq!(shop.price(), 300);
}

#[test]
fn a_mapping_is_used_again_only_for_the_same_heads() {
    let shop = Shop::new();
    let given = "number=1,description=2,price=4";
    let list = "a,b,c,d\nD-1,Diaphragm 0.8 x 33.5 mm,9.99,4.00\n";
    assert_eq!(
        shop.import("2026-03-01", list, &format!("--mapping {given}"))
            .0,
        Some(0)
    );
    let (_, again) = shop.import(
        "2026-03-02",
        "part no,description,price,weight\nD-1,Diaphragm 0.8 x 33.5 mm,4.50,9.99\n",
        "",
    );
    assert!(again.contains("as the heads say"), "{again}");
    assert_eq!(shop.price(), 450);
}

#[test]
fn heads_that_contradict_what_was_stated_are_refused() {
    let shop = Shop::new();
    for (head, remedy) in [
        ("price incl VAT", "--tax included"),
        ("price USD", "--currency USD"),
    ] {
        let (code, said) = shop.import(
            "2026-03-01",
            &format!("part no,description,{head}\nD-1,Diaphragm,4.00\n"),
            "",
        );
        assert_eq!(code, Some(2));
        assert!(said.contains(remedy), "{said}");
    }
}
