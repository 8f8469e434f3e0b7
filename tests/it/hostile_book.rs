//! `book merge` of a book whose values were changed one by one: what typing refuses is refused, what decides is ours, and what comes
//! in is marked with its shop.

use super::program::{Workshop, find, import_line, items};
use Outcome::{Aside, File, Marked, Same};
use ringwright::app::book::export::ExchangeError;
use ringwright::app::book::merge::{MergeReport, book_merge};
use ringwright::core::exchange::AsideReason::{self, Conflict, Refused, Theirs, Unreadable};
use ringwright::store::BookPlace;
use serde_json::{Value, json};

/// What becomes of an item of which a value was changed.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Outcome {
    /// It is set aside.
    Aside(AsideReason),
    /// It says nothing new: what was changed is not believed in the first place.
    Same,
    /// It is taken, and marked with the shop.
    Marked,
    /// The whole file is refused.
    File,
}

/// One change: the kind of item (the first of it, or the head of the file), where in it, the value that is put there.
type Change = (&'static str, &'static str, Value, Outcome);

const REFUSED: Outcome = Aside(Refused);

fn head_changes() -> Vec<Change> {
    vec![
        ("", "/shop", json!(""), File),
        ("", "/shop", json!("Hill\u{1b}[2J"), File),
        ("", "/written_at", json!("yesterday"), File),
        ("", "/version", json!(99), File),
        ("nickname", "/confidence", json!("divine"), File),
        ("job", "/entries/0/body", json!("{}"), File),
        ("job", "/serial", json!("FT-9"), File),
    ]
}

fn gauge_changes() -> Vec<Change> {
    vec![
        ("gauge", "/offset_bar", json!(1e300), REFUSED),
        ("gauge", "/sd_bar", json!(-1.0), REFUSED),
        ("gauge", "/checked", json!("2099-01-01"), REFUSED),
        ("gauge", "/against", json!(" "), REFUSED),
        ("gauge", "/offset_bar", json!(3.0), Aside(Theirs)),
        ("gauge", "/name", json!("master gauge"), Aside(Theirs)),
        ("known_ring", "/readings/0/error", json!(1.5), Aside(Theirs)),
        ("known_ring", "/person", json!(""), Aside(Theirs)),
        (
            "lot",
            "/moves/0/quantity",
            json!(9_000_000_000_i64),
            Aside(Theirs),
        ),
        (
            "gauge",
            "",
            json!({"what": "setting", "key": "shop", "value": "Hill"}),
            Aside(Theirs),
        ),
    ]
}

fn supply_changes() -> Vec<Change> {
    vec![
        ("supplier", "/carriage", json!(-1), REFUSED),
        (
            "supplier",
            "/carriage",
            json!(9_200_000_000_000_000_000_i64),
            REFUSED,
        ),
        ("supplier", "/minimum", json!(i64::MAX), REFUSED),
        ("supplier", "/terms_currency", json!("XXX"), REFUSED),
        ("supplier", "/terms_currency", Value::Null, REFUSED),
        ("supplier", "/mapping", json!("anything"), REFUSED),
        ("supplier", "/name", json!("  "), REFUSED),
        ("supplier", "/name", json!("Bell\u{7}"), REFUSED),
        ("supplier", "/carriage", json!(1), Aside(Conflict)),
        ("supplier", "/name", json!("Hill Seals"), Marked),
        ("price_list", "/offers/0/prices/0/1", json!(-1000), REFUSED),
        ("price_list", "/offers/0/prices/0/1", json!(0), REFUSED),
        (
            "price_list",
            "/offers/0/prices/0/1",
            json!(i64::MAX),
            REFUSED,
        ),
        ("price_list", "/offers/0/prices/0/0", json!(7), REFUSED),
        ("price_list", "/offers/0/prices", json!([]), REFUSED),
        ("price_list", "/offers/0/pack", json!(0), REFUSED),
        (
            "price_list",
            "/offers/0/pack",
            json!(4_000_000_000_u32),
            REFUSED,
        ),
        ("price_list", "/offers/0/line", json!(u64::MAX), REFUSED),
        (
            "price_list",
            "/offers/0/description",
            json!("ring\nring"),
            REFUSED,
        ),
        ("price_list", "/price_date", json!("2026-02-30"), REFUSED),
        (
            "price_list",
            "/imported_at",
            json!("2099-01-01T00:00:00Z"),
            REFUSED,
        ),
        ("price_list", "/currency", json!("ZZZ"), REFUSED),
        ("price_list", "/tax", json!("perhaps"), REFUSED),
        ("price_list", "/rejected", json!(u64::MAX), REFUSED),
        (
            "price_list",
            "/offers/0/prices/0/1",
            json!(2),
            Aside(Conflict),
        ),
        ("price_list", "/offers/0/polymer", json!("FKM"), Same),
        (
            "price_list",
            "/offers/0/rings",
            json!([{"code": "AS568-001", "id_nm": 1, "section_nm": 1}]),
            Same,
        ),
        ("price_list", "/supplier", json!("Hill Seals"), Marked),
        ("former_list", "/rows", json!([1, 1, 1]), REFUSED),
        ("former_list", "/prices/0/price", json!(-1000), REFUSED),
        ("former_list", "/prices/0/pack", json!(0), REFUSED),
        ("former_list", "/prices/0/key", json!("a b-c"), REFUSED),
        ("former_list", "/prices/0/breaks", json!("10:-5"), REFUSED),
        ("former_list", "/replaced_at", json!("never"), REFUSED),
    ]
}

fn said_changes() -> Vec<Change> {
    vec![
        (
            "statement",
            "/said_at",
            json!("2099-01-01T00:00:00Z"),
            REFUSED,
        ),
        ("statement", "/part", json!("no part at all"), REFUSED),
        ("statement", "/person", json!(""), REFUSED),
        ("statement", "/evidence", json!("x".repeat(3000)), REFUSED),
        (
            "statement",
            "/evidence",
            json!("it held for a year"),
            Marked,
        ),
        ("nickname", "/name", json!("AS568-012"), REFUSED),
        ("nickname", "/part", json!("no part at all"), REFUSED),
        ("nickname", "/source", json!("a\u{0}b"), REFUSED),
        ("nickname", "/name", json!("drawer 8"), Marked),
        ("note", "/date", json!("9999-12-31"), REFUSED),
        ("note", "/added_at", json!("once"), REFUSED),
        ("note", "/unread_lines", json!(u32::MAX), REFUSED),
        ("note", "/named/0/removal", json!(0), REFUSED),
        ("note", "/named/0/unlisted_probability", json!(7.0), REFUSED),
        (
            "note",
            "/named/0/candidates/0/probability",
            json!(-0.5),
            REFUSED,
        ),
        (
            "note",
            "/named/0/candidates/0/misfit_sigma",
            json!(1e300),
            REFUSED,
        ),
        ("note", "/named/0/candidates/0/id_nm", json!(-5), REFUSED),
        (
            "note",
            "/named/0/candidates/0/codes",
            json!(["AS568-001"]),
            REFUSED,
        ),
        ("note", "/unit", json!("FT-9"), Aside(Unreadable)),
        ("note", "/text", json!("model Tarn\n"), Aside(Unreadable)),
        ("note", "/form", json!("pdf"), Aside(Unreadable)),
        ("note", "/added_at", json!("2026-11-01T10:00:00Z"), Marked),
    ]
}

/// Our book: the demo, a gauge, a known ring, a lot, a list that replaced another, and a unit from as found to release.
struct Ours {
    shop: Workshop,
    form: Value,
}

const CLOCK: &str = "2026-12-31T10:00:00Z";

impl Ours {
    fn new() -> Self {
        let shop = Workshop::demo();
        let walk = include_str!("../../data/demo/job_walk.txt").lines();
        for line in walk.filter(|l| l.starts_with("setting gauge") || l.starts_with("job ")) {
            shop.printed(line);
        }
        shop.printed("ring --od '12.65 12.67 mm by caliper' --known AS568-012 --person Ada");
        shop.done("stock add 2-012 --polymer NBR --hardness 70A --bin A3 --quantity 10");
        for price in ["5.00", "6.00"] {
            let head = "part no,description,pack,price";
            shop.write(
                "list.csv",
                format!(
                    "{head}
HX-1,O-RING 9.5x1.8 MM NBR 70,10,{price}
"
                ),
            );
            shop.done(&import_line("list.csv", "Harbour").replace("EUR", "USD"));
        }
        shop.done("book export ours.json --shop Lake");
        let mut form: Value = serde_json::from_str(&shop.read("ours.json")).expect("JSON");
        form["shop"] = json!("Hill");
        Self { shop, form }
    }

    fn json(&self, line: &str) -> Value {
        self.shop.coded(line).1
    }

    /// Merges the form with other things in it.
    fn merge(&self, things: Value) -> Value {
        let mut form = self.form.clone();
        form["items"] = things;
        self.shop.write("theirs.json", form.to_string());
        self.json("book merge theirs.json")
    }

    /// The file with one value changed; a note is first made one of a unit that we do not have, else it would say nothing new.
    fn changed(&self, (what, pointer, value, _): &Change) -> Value {
        let mut form = self.form.clone();
        let place = if what.is_empty() {
            &mut form
        } else {
            let mut items = form["items"].as_array_mut().expect("items").iter_mut();
            items
                .find(|item| item["what"] == *what)
                .unwrap_or_else(|| panic!("no {what}"))
        };
        if *what == "note" {
            let text = place["text"].as_str().expect("a text");
            let unit = place["unit"].as_str().expect("a unit");
            place["text"] = Value::from(text.replacen(unit, "NEW-1", 1));
            place["unit"] = json!("NEW-1");
        }
        let at = place
            .pointer_mut(pointer)
            .unwrap_or_else(|| panic!("{what}{pointer}"));
        *at = value.clone();
        form
    }

    /// Merges a file into a copy of our book.
    fn merged(&self, form: &Value) -> Result<MergeReport, ExchangeError> {
        let file = self.shop.write("theirs.json", form.to_string());
        let copy = self.shop.path("copy.book");
        std::fs::copy(self.shop.book(), &copy).expect("copies");
        book_merge(&BookPlace::named(copy), &file, CLOCK)
    }
}

#[test]
fn every_changed_value_is_refused_set_aside_or_marked() {
    let ours = Ours::new();
    let changes: Vec<Change> = [
        head_changes(),
        gauge_changes(),
        supply_changes(),
        said_changes(),
    ]
    .concat();
    assert!(changes.len() >= 40, "{}", changes.len());
    for change in &changes {
        let (what, pointer, value, expected) = change;
        let found = ours.merged(&ours.changed(change));
        let outcome = match &found {
            Err(_) => File,
            Ok(report) => match (
                report.set_aside.as_slice(),
                report.taken.values().sum::<usize>(),
            ) {
                ([], 0) => Same,
                ([], 1) => Marked,
                ([one], 0) => Aside(one.reason),
                other => panic!("{what}{pointer} {value}: {other:?}"),
            },
        };
        assert_eq!(outcome, *expected, "{what}{pointer} {value}: {found:?}");
        if let Ok(report) = &found {
            for aside in &report.set_aside {
                assert_eq!(
                    aside.reason == Refused,
                    aside.refusal.is_some(),
                    "{aside:?}"
                );
            }
        }
    }
}

/// A unit of ours that another shop took apart later, and earlier.
#[test]
fn a_note_on_a_unit_of_ours_waits_until_it_is_accepted_by_name() {
    let ours = Ours::new();
    let text = |day: &str| {
        format!(
            "maker Fellwater Apparatus\nmodel Tarn\nunit FT-000311\ndate {day}\nlengths mm\nrated 9000 psi\n\n[inlet]\nfilter disc ; \
             under clip ; keep ; od 30 ; thick 9\n"
        )
    };
    let note = |day: &str| {
        json!({"what": "note", "maker": "Fellwater Apparatus", "model": "Tarn", "unit": "FT-000311", "date": day, "form": "text",
            "text": text(day), "unread_lines": 0, "added_at": "2026-11-01T10:00:00Z"})
    };
    let before = ours.json("parts Tarn");
    let merged = ours.merge(json!([note("2026-10-01"), note("1990-01-01")]));
    assert_eq!(
        merged["set_aside"].as_array().map(Vec::len),
        Some(2),
        "{merged}"
    );
    assert_eq!(merged["set_aside"][0]["reason"], "our_unit");
    assert_eq!(ours.json("parts Tarn"), before);
    let page = ours.shop.printed("book set-aside");
    assert!(page.contains("until you accept them by name"), "{page}");
    let accept = |note: &str| {
        let line = format!("book set-aside --accept '{note}' --by 'A. Lind'");
        ours.shop.run(&line)
    };
    assert_eq!(accept("FT-000311").code, Some(2), "two wait");
    assert_eq!(accept("FT-999999").code, Some(2), "none waits");
    assert_eq!(accept("FT-000311 2026-10-01").code, Some(0));
    let list = ours.json("note list --model Tarn");
    let accepted = find(&list["notes"], "date", "2026-10-01");
    assert_eq!(
        (&accepted["from_shop"], &accepted["accepted"]["by"]),
        (&json!("Hill"), &json!("A. Lind"))
    );
    let after = ours.json("parts Tarn");
    assert_ne!(after, before, "it counts now");
    let filter = find(&after["lines"], "position", "under clip");
    assert_eq!(filter["rests_on"], json!(["Hill"]), "{filter}");
}

/// A note of an invented unit: another ring on the piston head, another filter, a ring that no unit of ours has.
fn invented(unit: &str, model: &str) -> Value {
    let maker = "Fellwater Apparatus";
    let text = format!(
        "maker {maker}\nmodel {model}\nunit {unit}\nmade us 1962\ndate 2026-09-01\ngas oxygen\nsupply 200 bar\nrated 9000 psi\nlengths mm\n\n[inlet]\n\
         filter disc ; under clip ; keep ; od 14.7 ; thick 3.2\n\n[cap]\no-ring ; at cap joint ; keep ; used ; od 36.5 36.5 36.5 by \
         caliper ; cs 1.74 1.72 by flat\n\n[piston]\no-ring ; on piston head ; replace ; used ; od 28.58 28.60 28.56 by caliper ; cs \
         2.55 2.56 by caliper\n  gland piston ; bore 28.58±0.02 ; groove 24.04±0.03 ; width 3.6 ; piston 28.51 ; moving ; pressure 10 \
         bar\no-ring x3 ; on piston head of another ; replace ; used ; od 12.70 12.72 by caliper ; cs 1.74 by flat\n"
    );
    json!({"what": "note", "maker": maker, "model": model, "unit": unit, "date": "2026-09-01", "form": "text", "text": text,
        "unread_lines": 0, "added_at": "2026-11-01T10:00:00Z"})
}

/// What must stay as it was, as the program answers it.
fn answers(ours: &Ours) -> Vec<(&'static str, Value)> {
    let decided = |model: &str| {
        let list = ours.json(&format!("parts '{model}'"));
        let lines = items(&list["lines"]).iter();
        let own = lines.filter(|line| {
            line["units_agree"]
                .as_array()
                .is_some_and(|u| !u.is_empty())
        });
        let own = own.filter(|line| line["decided"] == true && line["rests_on"] == json!([]));
        let facts = own.map(|l| {
            let keys = "section position part action quantity size_codes codes measured polymer hardness probability gland units_agree";
            keys.split(' ').map(|key| l[key].clone()).collect::<Value>()
        });
        Value::from(facts.collect::<Vec<_>>())
    };
    let order = ours.json("order Tarn=1 'Tarn 2=1' Beck=1");
    ours.shop
        .done("sheet release 1 --date 2026-12-01 --out release.html");
    let sheet = ours.shop.read("release.html");
    std::fs::remove_file(ours.shop.path("release.html")).expect("removes");
    vec![
        ("Tarn", decided("Tarn")),
        ("Tarn 2", decided("Tarn 2")),
        ("Beck", decided("Beck")),
        ("total", order["total"].clone()),
        ("bought", order["items"].clone()),
        ("gauges", ours.json("setting gauge list")),
        ("limits", ours.json("setting limits")),
        ("job", ours.json("job show 1")),
        ("learned", ours.json("ring --learned --person Ada")),
        ("release", Value::from(sheet)),
    ]
}

#[test]
fn a_whole_hostile_book_leaves_what_is_ours_as_it_was_and_marks_the_rest() {
    let ours = Ours::new();
    let before = answers(&ours);
    let mut form = ours.form.clone();
    let mut items = form["items"].as_array().expect("items").clone();
    let all = [gauge_changes(), supply_changes(), said_changes()].concat();
    // What may move an order is marked and has its own test; everything else goes in at once.
    for change in all.iter().filter(|(what, _, _, outcome)| {
        *outcome != Marked || *what == "statement" || *what == "nickname"
    }) {
        let changed = ours.changed(change);
        let changed = changed["items"].as_array().expect("items");
        items.extend(
            changed
                .iter()
                .filter(|item| !form["items"].as_array().is_some_and(|i| i.contains(item)))
                .cloned(),
        );
    }
    items.extend((1..=6).map(|at| invented(&format!("H-{at}"), "Tarn")));
    items.push(invented("H-9", "Gull"));
    // A model of the bare name must not take the place of ours.
    let mut bare = invented("H-8", "Tarn");
    bare["maker"] = Value::Null;
    bare["text"] = Value::from(
        bare["text"]
            .as_str()
            .expect("text")
            .replace("maker Fellwater Apparatus\n", ""),
    );
    items.push(bare);
    form["items"] = Value::from(items);
    // Whose our own things are is no stranger's to say.
    form["origins"] = json!([{"what": "note", "key": "fellwater apparatus tarn | ft 000311 | 2026-02-07", "shop": "Hill", "merged_at": CLOCK}]);
    ours.shop.write("theirs.json", form.to_string());
    let merged = ours.shop.run("book merge theirs.json");
    assert_eq!(merged.code, Some(1), "{}", merged.shown());
    let page = merged.out;
    assert!(
        page.contains("Refused, as typing would refuse it"),
        "{page}"
    );
    for ((name, was), (_, is)) in before.iter().zip(answers(&ours)) {
        assert_eq!(is, *was, "{name}");
    }
    // The shop keeps its own name.
    ours.shop.done("book export again.json");
    let again: Value = serde_json::from_str(&ours.shop.read("again.json")).expect("JSON");
    assert_eq!(again["shop"], "Lake");
    marks(&ours);
    // Merging again changes nothing.
    let second = ours.json("book merge theirs.json");
    assert_eq!(
        (&second["taken"], &second["set_aside"]),
        (&json!({}), &json!([]))
    );
    assert_eq!(ours.json("book check")["faults"], json!([]));
}

/// Every line, odds and statement that rests on another shop's record names it.
fn marks(ours: &Ours) {
    let list = ours.json("parts Tarn");
    let head = find(&list["lines"], "position", "on piston head");
    assert_eq!(
        (&head["codes"][0], &head["rests_on"]),
        (&json!("AS568-118"), &json!([]))
    );
    let mut elsewhere = items(&head["elsewhere"]).iter();
    assert!(elsewhere.any(|e| e["about"] == "size"), "{head}");
    assert_eq!(head["elsewhere"][0]["shops"], json!(["Hill"]));
    let strange = find(&list["lines"], "position", "on piston head of another");
    assert_eq!(
        (&strange["rests_on"], &strange["action"]),
        (&json!(["Hill"]), &json!("on condition"))
    );
    let theirs = items(&list["units"])
        .iter()
        .filter(|u| u["from_shops"] == json!(["Hill"]) && u["counts_as_ours"] == false);
    assert_eq!(theirs.clone().count(), 6);
    assert!(
        theirs.clone().all(|unit| unit["rated"].is_null()),
        "ratings are not taken"
    );
    for line in [
        "parts Tarn",
        "parts Tarn --format csv",
        "parts Gull",
        "parts Gull --for owner",
        "model show Tarn",
        "model list",
        "uses AS568-119",
        "offer find AS568-119",
        "order Gull=1",
        "size 'drawer 8'",
        "note list",
        "note show H-9 --format md",
        "stock kit Gull --for H-9",
        "book set-aside",
    ] {
        let page = ours.shop.printed(line);
        assert!(page.contains("Hill"), "{line}: {page}");
    }
    for sheet in ["parts Gull", "parts Tarn", "assembly Gull", "labels Gull"] {
        let line = format!("sheet {sheet} --date 2026-12-01 --out sheet.html");
        ours.shop.done(&line);
        let text = ours.shop.read("sheet.html");
        std::fs::remove_file(ours.shop.path("sheet.html")).expect("removes");
        assert!(text.contains("Hill"), "{sheet}");
    }
    // What only another shop has may be used; what becomes of its parts is not said by it.
    let gull = ours.json("parts Gull");
    assert_eq!(
        find(&gull["lines"], "position", "at cap joint")["action"],
        "replace"
    );
    assert_eq!(
        find(&gull["lines"], "position", "on piston head")["rests_on"],
        json!(["Hill"])
    );
}

#[test]
fn prices_of_another_shop_are_read_again_here_and_marked_in_the_order() {
    let ours = Ours::new();
    let offer = |line: u64, description: &str, claimed: &str| {
        json!({"line": line, "number": format!("H{line}"), "description": description, "kind": "ring",
            "rings": [{"code": claimed, "id_nm": 21_890_000, "section_nm": 2_620_000}], "polymer": "NBR", "hardness": [70.0, "Shore A"],
            "pack": 1, "prices": [[1, 1]]})
    };
    // The second says nothing of what the other shop reads in it.
    let list = json!({"what": "price_list", "supplier": "Hill Seals", "file": "h.csv", "imported_at": "2026-11-01T10:00:00Z",
        "price_date": "2026-11-01", "currency": "USD", "tax": "excluded", "rejected": 0,
        "offers": [offer(2, "O-Ring -118 Nitrile 70 Shore A", "AS568-118"), offer(3, "bargain of the day", "AS568-118")]});
    let list = json!([list]);
    let merged = ours.merge(list.clone());
    assert_eq!(merged["taken"], json!({"price_list": 1}), "{merged}");
    let mut otherwise = items(&merged["read_otherwise"]).iter();
    assert!(otherwise.any(|offer| offer["number"] == "H3"), "{merged}");
    let order = ours.json("order Tarn=1");
    let mut bought = items(&order["items"]).iter();
    assert!(
        bought.all(|item| item["number"] != "H3"),
        "a claim is no description: {order}"
    );
    let bought = find(&order["items"], "number", "H2");
    assert_eq!(bought["from_shop"], "Hill");
    let page = ours.shop.printed("order Tarn=1");
    assert!(
        page.contains("OTHER SHOP: prices or carriage marked so are from Hill"),
        "{page}"
    );
    for line in ["offer find H2", "offer supplier"] {
        let page = ours.shop.printed(line);
        assert!(page.contains("Hill"), "{page}");
    }
    let again = ours.merge(list);
    assert_eq!(
        (&again["taken"], &again["set_aside"]),
        (&json!({}), &json!([]))
    );
}

#[test]
fn a_unit_of_another_shop_counts_among_ours_once_it_is_accepted() {
    let ours = Ours::new();
    let units = (1..=6).map(|at| invented(&format!("H-{at}"), "Tarn"));
    let merged = ours.merge(units.collect());
    assert_eq!(merged["taken"]["note"], 6, "{merged}");
    for at in 1..=6 {
        ours.shop
            .printed(&format!("book set-aside --accept H-{at} --by 'A. Lind'"));
    }
    let list = ours.json("parts Tarn");
    let head = find(&list["lines"], "position", "on piston head");
    assert_eq!(
        (&head["codes"][0], &head["rests_on"]),
        (&json!("AS568-119"), &json!(["Hill"])),
        "{head}"
    );
    assert_eq!(ours.json("book set-aside")["not_accepted"], json!([]));
}

/// A note of one ring, as it is measured.
fn one_ring(unit: &str, readings: &str) -> String {
    format!(
        "model Wren\nunit {unit}\ndate 2026-03-14\ngas air\nlengths mm\n\n[body]\no-ring x2 ; at plug ; replace ; {readings}\n"
    )
}

#[test]
fn what_our_units_leave_open_may_rest_on_those_of_another_shop_and_says_so() {
    let (ours, theirs) = (Workshop::new(), Workshop::new());
    ours.add_note(&one_ring(
        "W-1",
        "used ; od 12.80 12.85 by caliper ; cs 1.72 by caliper",
    ));
    for unit in ["W-2", "W-3", "W-4"] {
        let sure = "new ; id 9.25 by pin ; od 12.80 12.81 by caliper ; cs 1.78 by micrometer";
        theirs.add_note(&one_ring(unit, sure));
    }
    let line = || ours.json("parts Wren")["lines"][0].clone();
    let before = line();
    assert_eq!(before["decided"], false, "{before}");
    theirs.done("book export b.json --shop Hill");
    let file = theirs.path("b.json");
    let (code, merged) = ours.coded(&format!("book merge {}", file.display()));
    assert_eq!((code, &merged["taken"]["note"]), (Some(0), &json!(3)));
    let after = line();
    assert_eq!(
        (&after["decided"], &after["codes"][0], &after["rests_on"]),
        (&json!(true), &json!("AS568-012"), &json!(["Hill"])),
        "{after}"
    );
    for field in ["action", "quantity", "polymer", "hardness"] {
        assert_eq!(after[field], before[field], "{field}");
    }
    let page = ours.printed("parts Wren");
    assert!(
        page.contains("rest on the record of another shop"),
        "{page}"
    );
}
