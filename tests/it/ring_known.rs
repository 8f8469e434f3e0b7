//! `ring --known`, `--learned`, `--forget-last`, `--instruments` and `--hardness` as a user gives them.

use super::program::{Workshop, number};

const OD: &str = "ring --od '12.70 mm by caliper'";

#[test]
fn what_a_known_ring_taught_is_used_for_its_person_from_then_on() {
    let shop = Workshop::new();
    // To the tenth of a micrometre, as machine output carries lengths.
    let value = |line: &str| (number(&shop.json(line)["readings"][0]["value"]) * 1e4).round() / 1e4;
    let ada = &format!("{OD} --person Ada");
    assert_eq!(value(OD), 12.8);
    let report = shop.json("ring --known AS568-012 --od '12.65 mm by caliper' --person Ada");
    let line = &report["instruments"][0];
    let now = number(&line["now"]["bias_mm"]);
    assert!(now < number(&line["before"]["bias_mm"]));
    assert_eq!(line["rings"], 1);
    let learned = value(ada);
    assert!((learned - (12.70 - now)).abs() < 1e-4, "{learned} {now}");
    assert_eq!(value(OD), 12.8, "nobody named: the table stands");
    let back = "ring --forget-last --person Ada";
    assert_eq!(shop.run(back).code, Some(0));
    assert_eq!(value(ada), 12.8);
    assert_eq!(shop.run(back).code, Some(1));
}

#[test]
fn a_known_ring_that_cannot_be_that_ring_is_refused_and_nothing_is_kept() {
    let shop = Workshop::new();
    for (asked, told) in [
        (
            "--known AS568-014 --od '12.70 mm by caliper'",
            "is it that ring",
        ),
        ("--known AS568-012", "teaches nothing without a reading"),
        ("--known AS568-012 --od '12.70 mm'", "names no instrument"),
        ("--known AS568-012 --mass '0.1 g by scale'", "known weight"),
        (
            "--known zzz --od '12.70 mm by caliper'",
            "not a known ring code",
        ),
        ("--known AS568-012 --od '12.70 mm by pin'", "caliper"),
    ] {
        let answer = shop.run(&format!("ring {asked}"));
        assert_eq!(answer.code, Some(2), "{}", answer.shown());
        assert!(answer.out.is_empty(), "{}", answer.shown());
        assert!(answer.err.contains(told), "{}", answer.shown());
    }
    let shown = shop.run("ring --learned");
    assert_ne!(shown.code, Some(0));
}

#[test]
fn the_users_own_table_is_read_from_the_data_folder_and_its_faults_are_shown() {
    let shop = Workshop::new();
    std::fs::create_dir_all(shop.path("ringwright")).expect("a folder");
    let table = "ringwright/instruments.csv";
    let header = "method,measurand,bias,sd_between,sd_repeat\n";
    shop.write(table, format!("{header}old-caliper,od,-0.12,0.04,0.02\n"));
    let answer = shop.json("ring --od '12.70 mm by old-caliper'");
    let value = number(&answer["readings"][0]["value"]);
    assert!((value - 12.82).abs() < 1e-9, "{value}");
    shop.write(table, format!("{header}old caliper,od,x,0.04,0.02\n"));
    let output = shop.run(OD);
    assert_eq!(output.code, Some(2));
    assert!(output.out.is_empty(), "{}", output.shown());
    let told = output.err;
    assert!(
        told.contains("instruments.csv:2:1") && told.contains("instruments.csv:2:16"),
        "{told}"
    );
    let missing = shop.run("ring --instruments no.csv --od '12.7 mm'");
    assert!(missing.err.contains("no.csv cannot be read"));
}

#[test]
fn hard_rubber_counts_as_read_less_small() {
    let shop = Workshop::new();
    let value = |hardness: &str| {
        number(
            &shop.json(&format!("ring --cs '1.75 mm by caliper' {hardness}"))["readings"][0]["value"],
        )
    };
    assert!((value("") - 1.78).abs() < 1e-9);
    // 0.03 mm at 70 Shore A becomes 0.0124 mm at 90 (stiffer by 3.775, to the power -2/3) on a 1.78 mm section.
    assert!((value("--hardness 90A") - 1.7624).abs() < 5e-4);
    let refused = shop.run("ring --cs '1.75 mm' --hardness '70 IRHD'");
    assert_eq!(refused.code, Some(2));
    assert!(refused.out.is_empty(), "{}", refused.shown());
}
