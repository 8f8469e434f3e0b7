//! The gas of a unit from the command line: what is chosen for it, what is said against, and what is never praised.

use super::program::{Workshop, flat, items, json, run};
use serde_json::Value;

/// What of a material's answer a gas decides.
fn material(gas: &str) -> (Value, Value, String) {
    let (code, report) = json(&format!("material --gas '{gas}' --pressure '200 bar'"));
    assert_eq!(code, Some(0), "{gas}");
    let service = report["service"]["gas"].clone();
    (
        service,
        report["choice"]["polymer"].clone(),
        report.to_string(),
    )
}

#[test]
fn what_could_hold_more_oxygen_than_air_is_never_lubricated_or_sealed_as_air() {
    for gas in [
        "oxygen 20 bar",
        "air/O2",
        "50 % oxygen, rest air",
        "air topped with oxygen",
        "18 C, EAN36",
        "nitrox 21-40",
        "oxigen",
        "the usual",
        "not oxygen",
    ] {
        let (service, polymer, report) = material(gas);
        assert!(
            service == "enriched" || service == "unsettled",
            "{gas}: {service}"
        );
        assert_eq!(polymer, "FKM", "{gas}");
        assert!(!report.contains("usual for breathing air"), "{gas}");
        assert!(report.contains("silicone grease burns"), "{gas}");
    }
    let (service, polymer, report) = material("compressed breathing air, grade E, 232 bar");
    assert_eq!((service, polymer), ("air".into(), "NBR".into()));
    assert!(report.contains("usual for breathing air"));
}

#[test]
fn a_misspelt_gas_is_asked_about_and_a_gas_without_rules_gets_no_praise() {
    let page = flat(&run("material --gas oxigen").out);
    assert!(page.contains("did you mean oxygen?"), "{page}");
    assert!(page.contains("treated as oxygen-enriched"), "{page}");
    for gas in ["acetylene", "argon", "trimix 18/45"] {
        let (code, report) = json(&format!("material --gas '{gas}'"));
        assert_eq!(code, Some(0));
        assert_eq!(report["choice"]["polymer"], Value::Null, "{gas}");
        assert_eq!(report["lubricants"], Value::Array(Vec::new()), "{gas}");
        let polymers = items(&report["polymers"]);
        let unpraised = |p: &Value| p["against"].as_array().is_some_and(|a| !a.is_empty());
        assert!(polymers.iter().all(unpraised), "{gas}");
        assert!(
            flat(&run(&format!("material --gas '{gas}'")).out).contains("none is called suitable")
        );
    }
}

#[test]
fn care_takes_the_words_of_the_gas_and_where_none_are_given_says_so() {
    let (_, nitrox) = json("care NBR --gas EAN32");
    assert_eq!(nitrox["enriched"], true);
    assert!(nitrox["warnings"].to_string().contains("NBR is unsuitable"));
    let (_, air) = json("care NBR --gas air");
    assert_eq!(air["enriched"], false);
    assert_eq!(air["lubricants"][0]["lubricant"], "silicone_grease");
    let (_, unsaid) = json("care NBR");
    assert_eq!(unsaid["service"]["gas"], "unsettled");
    assert!(
        unsaid["warnings"]
            .to_string()
            .contains("no gas is recorded")
    );
    assert_eq!(unsaid["lubricants"][0]["lubricant"], "halogenated_grease");
    let (_, other) = json("care NBR --gas nitrogen");
    assert_eq!(other["lubricants"], Value::Array(Vec::new()));
}

/// A shop with one note, `unit.note`, that has these lines on its gas.
fn shop(gas: &str) -> Workshop {
    let shop = Workshop::new();
    let text = format!(
        "model Fellwater Tarn 9
unit A1
date 2026-03-14
{gas}supply 200 bar
lengths mm

[inlet]
\
         o-ring ; at plug ; replace ; used ; NBR ; 90A ; od 12.80 12.85 by caliper ; cs 1.72 by caliper
"
    );
    shop.write("unit.note", text);
    shop
}

/// The polymer of the list's one ring, and the whole report.
fn polymer_of(shop: &Workshop, asked: &str) -> (Value, String) {
    let (code, report) = shop.coded(&format!("parts 'Tarn 9' {asked}"));
    assert_eq!(code, Some(0), "{report}");
    (report["lines"][0]["polymer"].clone(), report.to_string())
}

#[test]
fn the_parts_list_is_that_of_the_gas_that_is_asked_for() {
    let shop = shop("gas air\n");
    assert_eq!(shop.run("note add unit.note").code, Some(0));
    assert_eq!(polymer_of(&shop, "").0, "NBR");
    let (polymer, report) = polymer_of(&shop, "--gas EAN32");
    assert_eq!(polymer, "FKM");
    assert!(report.contains("made for use with EAN32"));
    assert!(
        report.contains("records NBR"),
        "what is on enriched gas is told"
    );
    let (polymer, _) = polymer_of(&shop, "--oxygen '32 %'");
    assert_eq!(polymer, "FKM");
    let (polymer, report) = polymer_of(&shop, "--gas oxigen");
    assert_eq!(polymer, "FKM");
    assert_eq!(report.matches("did you mean oxygen?").count(), 1);
    let (polymer, _) = polymer_of(&shop, "--gas argon");
    assert_eq!(polymer, Value::Null);
    // The threshold of another body makes the same gas not enriched.
    assert_eq!(
        polymer_of(&shop, "--gas EAN32 --enriched-above 40").0,
        "NBR"
    );
}

#[test]
fn a_note_whose_gas_is_not_settled_is_warned_about_where_it_stands_and_its_list_is_for_enriched_gas()
 {
    let shop = shop("gas oxigen\n");
    let checked = shop.run("note check unit.note");
    assert_eq!(checked.code, Some(0), "a warning, no error");
    let page = checked.said();
    assert!(page.contains("the gas is not settled"), "{page}");
    assert!(page.contains("did you mean oxygen?"), "{page}");
    assert!(page.contains("4 | gas oxigen\n  |     ^^^^^^"), "{page}");
    assert_eq!(shop.run("note add unit.note").code, Some(0));
    let (polymer, report) = polymer_of(&shop, "");
    assert_eq!(polymer, "FKM");
    assert!(
        report.contains("unit A1: the gas is not settled"),
        "{report}"
    );
    for sheet in ["assembly", "parts"] {
        let written = shop.run(&format!("sheet {sheet} 'Tarn 9' --out go.svg"));
        assert_eq!(written.code, Some(0), "{}", written.shown());
    }
    let shown = |asked: &str| {
        let line = format!("sheet assembly 'Tarn 9' --out steps.html {asked}");
        assert_eq!(shop.run(&line).code, Some(0), "{line}");
        shop.read("steps.html")
    };
    assert!(shown("").contains("not settled"));
    assert!(shown("").contains("PFPE"));
    let air = shown("--gas air");
    assert!(air.contains("silicone grease") && !air.contains("PFPE"));
}

#[test]
fn an_analysed_share_and_a_gas_by_name_agree_or_are_told() {
    let warned = |gas: &str| shop(gas).run("note check unit.note").said();
    assert!(warned("gas oxygen\n").contains("oxygen is above 23.5 %"));
    assert!(warned("gas nitrox\n").contains("the share of oxygen in this gas is not stated"));
    assert!(!warned("gas nitrox 21\n").contains("oxygen"));
    assert!(!warned("gas air\noxygen 21 %\n").contains("oxygen"));
    let contradicted = warned("gas air\noxygen 32 %\n");
    assert!(
        contradicted.contains("21 % and 32 % of oxygen contradict each other"),
        "{contradicted}"
    );
}
