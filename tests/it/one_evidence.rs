//! One evidence for a whole model: every command gives one ring the same odds, a decision of a person stands beside it.

use super::program::{Workshop, find, items, json, number, text};
use serde_json::Value;

const FIRST: &str = "maker Fellwater\nmodel Scar\nunit 1\ndate 2026-03-14\nmade us 1962\ngas air\nlengths mm\n\n[body]\n\
    o-ring ; at stem ; replace ; used ; od 11.10 11.12 by caliper ; cs 1.74 by flat\n\
    o-ring ; at plug ; replace ; used ; od 12.80 12.81 by scan ; cs 1.76 1.77 by flat ; id 9.24 9.25 by scan\n\
    [cap]\no-ring ; at joint ; replace ; used ; od 33.33 33.35 by caliper ; cs 1.75 by flat\n";
const SECOND: &str = "maker Fellwater\nmodel Scar\nunit 2\ndate 2026-03-15\ngas air\nlengths mm\n\n[body]\n\
    o-ring ; at plug ; replace ; used ; od 12.70 by caliper ; cs 1.74 by flat\n";

struct Shop(Workshop);

impl Shop {
    fn new() -> Self {
        Self(Workshop::new())
    }

    fn add(&self, text: &str) -> Value {
        self.0.write("added.note", text);
        let (code, added) = self.0.coded("note add added.note");
        assert_eq!(code, Some(0), "{added}");
        added
    }

    /// The line of the model Scar at a position.
    fn line(&self, position: &str) -> Value {
        let (code, list) = self.0.coded("parts Scar");
        assert_eq!(code, Some(0));
        find(&list["lines"], "position", position).clone()
    }
}

#[test]
fn one_ring_has_the_same_odds_by_ring_of_a_model_by_note_add_and_by_parts() {
    let shop = Shop::new();
    shop.add(FIRST);
    let (code, ring) = shop.0.coded(
        "ring --of Scar --at 'body, at plug' --od '12.70 mm by caliper' --cs '1.74 mm by flat'",
    );
    assert_eq!(code, Some(0), "{ring}");
    let added = shop.add(SECOND);
    let named = &added["notes"][0]["rings"][0];
    let line = shop.line("at plug");
    let out = &line["came_out"][1];
    assert_eq!(out["unit"], "2");
    assert_eq!(ring["candidates"][0]["probability"], named["probability"]);
    assert_eq!(ring["candidates"][0]["probability"], out["probability"]);
    assert_eq!(ring["candidates"][0]["codes"], out["codes"]);
    assert_eq!(ring["made_for"], line["made_for"]);
    assert_eq!(ring["made_for"], named["made_for"]);
    assert_eq!(named["foreign_probability"], out["foreign_probability"]);
    // By itself the ring is less sure: the model tells something.
    let (_, alone) = json("ring --od \"12.70 mm by caliper\" --cs \"1.74 mm by flat\"");
    let odds = |answer: &Value| number(&answer["candidates"][0]["probability"]);
    assert!(odds(&alone) < odds(&ring), "{alone}");
}

#[test]
fn a_line_says_what_to_fit_and_what_told_it() {
    let shop = Shop::new();
    shop.add(FIRST);
    shop.add(SECOND);
    let line = shop.line("at plug");
    assert_eq!(line["fit"]["codes"][0], "AS568-012");
    assert!(number(&line["does_job"]) >= 0.95, "{line}");
    assert_eq!(line["decided"], true);
    let page = shop
        .0
        .printed(&format!("parts Scar --why {}", line["number"]));
    assert!(page.contains("where and when it was made"), "{page}");
    let none = shop.0.run("parts Scar --why 99");
    assert_eq!(none.code, Some(2));
    assert!(none.out.is_empty(), "{}", none.shown());
}

#[test]
fn the_country_in_a_note_makes_its_family_likelier() {
    let plain = Shop::new();
    plain.add(SECOND);
    let told = Shop::new();
    told.add(&SECOND.replace("gas air", "made us 1962\ngas air"));
    let odds = |shop: &Shop| number(&shop.line("at plug")["made_for"]["probability"]);
    assert!(odds(&told) > odds(&plain) + 0.2);
}

#[test]
fn a_ring_that_somebody_fitted_is_named_and_the_right_one_is_to_be_fitted() {
    let shop = Shop::new();
    shop.add(FIRST);
    shop.add(SECOND);
    let wrong = SECOND
        .replace("unit 2", "unit 3")
        .replace("od 12.70 by caliper", "od 14.25 by caliper");
    shop.add(&wrong);
    let line = shop.line("at plug");
    assert_eq!(line["fit"]["codes"][0], "AS568-012", "{line}");
    let wrong = find(&line["came_out"], "unit", "3");
    assert_eq!(wrong["codes"][0], "AS568-013");
    assert!(number(&wrong["misfit_probability"]) > 0.9, "{wrong}");
    let mut conflicts = items(&line["conflicts"]).iter();
    assert!(
        conflicts.any(|one| one["about"] == "foreign" && one["units"][0] == "3"),
        "{line}"
    );
}

#[test]
fn a_person_decides_sees_what_speaks_against_it_and_takes_it_back() {
    let shop = Shop::new();
    shop.add(FIRST);
    shop.add(SECOND);
    let decide = |words: &str| shop.0.coded(&format!("decide Scar {words}"));
    let (code, report) = decide(
        "--at 'body, at plug' --by Ada --why \"maker's drawing\" --ring AS568-013 --polymer FKM --hardness 90A",
    );
    assert_eq!(code, Some(0), "{report}");
    let line = shop.line("at plug");
    assert_eq!(line["codes"][0], "AS568-013");
    assert_eq!(
        (&line["decided"], &line["basis"]),
        (&Value::Bool(true), &Value::from("decided"))
    );
    assert_eq!(line["polymer"], "FKM");
    let mut against = items(&line["decided_by"]["against"]).iter();
    assert!(
        against.any(|words| text(words).contains("AS568-012")),
        "{line}"
    );
    let page = shop.0.printed("parts Scar");
    assert!(
        page.contains("decided by Ada") && page.contains("AGAINST IT"),
        "{page}"
    );
    let (code, report) = decide("--at 'body, at plug' --take-back --by Bo --why 'another series'");
    assert_eq!(code, Some(0), "{report}");
    assert_eq!(report["decisions"][0]["taken_back"]["person"], "Bo");
    assert_eq!(shop.line("at plug")["codes"][0], "AS568-012");
    let again = "decide Scar --at 'body, at plug' --take-back --by Bo --why again";
    assert_eq!(shop.0.run(again).code, Some(2));
    let (code, _) = decide("--at 'body, at nowhere' --ring AS568-013 --by Bo --why x");
    assert_eq!(code, Some(1));
}

/// A model of the same maker with one ring that may be of several families.
const BECK: &str = "maker Fellwater\nmodel Beck\nunit 7\ndate 2026-03-16\ngas air\nlengths mm\n\n[body]\n\
    o-ring ; at plug ; replace ; used ; od 12.70 by caliper ; cs 1.74 by flat\n";

/// A third model of the maker whose rings are of inch sizes: AS568-110, -210 and -325 have metric neighbours only at a distance.
const CRAG: &str = "maker Fellwater\nmodel Crag\nunit 3\ndate 2026-03-12\ngas air\nlengths mm\n\n[body]\n\
    o-ring ; at stem ; replace ; used ; od 14.40 14.41 by scan ; cs 2.60 2.61 by flat ; id 9.18 9.20 by scan\n\
    o-ring ; at plug ; replace ; used ; od 25.66 25.68 by scan ; cs 3.50 3.51 by flat ; id 18.62 18.64 by scan\n\
    [cap]\no-ring ; at joint ; replace ; used ; od 47.98 48.00 by scan ; cs 5.29 5.30 by flat ; id 37.42 37.44 by scan\n";

fn line_of(shop: &Shop, model: &str) -> Value {
    shop.0.json(&format!("parts {model}"))["lines"][0].clone()
}

#[test]
fn the_other_models_of_the_maker_are_heard_whatever_the_order_of_the_notes() {
    let alone = Shop::new();
    alone.add(BECK);
    let (before, after) = (Shop::new(), Shop::new());
    before.add(CRAG);
    let added = before.add(BECK);
    after.add(BECK);
    after.add(CRAG);
    let odds = |line: &Value| number(&line["made_for"]["probability"]);
    let (heard, other) = (line_of(&before, "Beck"), line_of(&after, "Beck"));
    assert_eq!(heard["made_for_odds"], other["made_for_odds"]);
    assert!(odds(&heard) > odds(&line_of(&alone, "Beck")), "{heard}");
    let mut told = items(&heard["told"]).iter();
    assert!(told.any(|one| one["fact"] == "maker"), "{heard}");
    assert_eq!(added["notes"][0]["rings"][0]["made_for"], heard["made_for"]);
}

#[test]
fn a_decision_travels_as_the_word_of_its_shop_and_decides_nothing_elsewhere() {
    let (ours, theirs) = (Shop::new(), Shop::new());
    for shop in [&ours, &theirs] {
        shop.add(FIRST);
    }
    let decided = "decide Scar --at 'body, at plug' --ring AS568-013 --by Ada --why drawing";
    assert_eq!(theirs.0.coded(decided).0, Some(0));
    let (code, sent) = theirs.0.coded("book export theirs.json --shop Lake");
    assert_eq!(
        (code, &sent["counts"]["decision"]),
        (Some(0), &Value::from(1))
    );
    let file = theirs.0.path("theirs.json");
    let (code, merged) = ours.0.coded(&format!("book merge {}", file.display()));
    assert_eq!(code, Some(0), "{merged}");
    let decision = find(&merged["set_aside"], "what", "decision");
    assert_eq!(
        (&decision["shop"], &decision["reason"]),
        (&"Lake".into(), &"theirs".into())
    );
    assert_eq!(decision["item"]["ring"], "AS568-013");
    assert_eq!(ours.line("at plug")["codes"][0], "AS568-012");
}

#[test]
fn facts_and_the_groove_are_asked_for_until_they_are_told() {
    let ring = "ring --od '12.80 mm by caliper' --cs '1.72 mm by caliper'";
    let asked = |more: &str| {
        let (_, answer) = json(&format!("{ring} {more}"));
        let facts = items(&answer["ask_first"]).iter();
        let facts = facts.map(|next| text(&next["fact"]).to_owned());
        facts.collect::<Vec<String>>()
    };
    let plain = asked("");
    assert!(plain.contains(&"origin".to_owned()), "{plain:?}");
    assert!(plain.contains(&"other-places".to_owned()), "{plain:?}");
    assert!(plain.contains(&"gland".to_owned()), "{plain:?}");
    let told = asked("--made 'us 1962'");
    assert!(!told.contains(&"origin".to_owned()), "{told:?}");
    let measured = asked("--gland 'piston ; bore 12.00 mm ; groove 9.40 mm ; width 2.40 mm'");
    assert!(!measured.contains(&"gland".to_owned()), "{measured:?}");
}
