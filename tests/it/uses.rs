//! `uses`: where a part is used and what takes its place.

use super::program::{Workshop, items, text};

fn models(part: &serde_json::Value) -> Vec<&str> {
    let used = items(&part["used"]).iter();
    used.map(|one| text(&one["model"])).collect()
}

#[test]
fn two_models_of_the_demo_share_a_filter_and_two_rings() {
    let shop = Workshop::demo();
    for part in [
        "'filter disc ; od 12.7 mm ; thick 3.2 mm'",
        "AS568-025",
        "AS568-011",
    ] {
        let (code, report) = shop.coded(&format!("uses {part}"));
        assert_eq!(code, Some(0), "{part}");
        let models = models(&report["parts"][0]);
        assert!(
            models.contains(&"Tarn") && models.contains(&"Tarn 2"),
            "{part}: {models:?}"
        );
    }
}

#[test]
fn a_substitute_that_fits_by_its_size_but_fails_a_gland_is_no_proposal() {
    let shop = Workshop::demo();
    let (_, report) = shop.coded("uses AS568-118");
    let mut stand_ins = items(&report["parts"][0]["stand_ins"]).iter();
    let near = stand_ins
        .find(|one| text(&one["part"]).starts_with("ISO 3601-1 22.4x2.65"))
        .expect("near by its dimensions");
    assert_eq!(near["near"], "near");
    assert_eq!(near["glands"][0]["verdict"], "reject");
    assert!(near["grade"].is_null(), "{near}");
    // Gland check by hand: the groove of the Tarn's piston as its note has it.
    let page = shop.run("uses AS568-118 --format md");
    assert!(page.out.contains("FAILS a gland"));
}

#[test]
fn what_was_tried_and_failed_comes_first_and_is_not_outvoted() {
    let shop = Workshop::demo();
    let says = |grade: &str| {
        shop.run(&format!(
            "uses AS568-011 --stand-in \"ISO 3601-1 7.5x1.8\" --grade \"{grade}\" --by \"A. Lind\" --evidence \"three dives\""
        ))
    };
    assert_eq!(says("same").code, Some(0));
    let (_, report) = shop.coded("uses AS568-011");
    let first = &report["parts"][0]["stand_ins"][0];
    assert_eq!(first["grade"], "tried and failed");
    assert_eq!(first["said"].as_array().expect("both").len(), 2);
    // Said to be the same, it is shown the other way round too; the failure is not.
    let (_, other) = shop.coded("uses 'ISO 3601-1 7.5x1.8'");
    let back = &other["parts"][0]["stand_ins"][0];
    assert_eq!(
        (
            back["grade"].as_str(),
            back["said"].as_array().map(Vec::len)
        ),
        (Some("same"), Some(1))
    );
    assert_eq!(
        other["parts"][0]["stands_in_for"].as_array().map(Vec::len),
        Some(2)
    );
    assert_eq!(says("perhaps").code, Some(2));
}

#[test]
fn a_name_from_a_drawer_is_known_to_uses_and_to_size_and_two_meanings_are_both_shown() {
    let shop = Workshop::demo();
    let (code, report) = shop.coded("uses 'Drawer 7'");
    assert_eq!(code, Some(0));
    assert_eq!(report["parts"][0]["known_as"]["confidence"], "memory");
    assert_eq!(report["parts"][0]["part"], "AS568-025");
    let (_, size) = shop.coded("size 'drawer 7'");
    assert_eq!(size["matches"][0]["code"], "AS568-025");
    // A dead maker's number that is a listed number as well.
    let named = shop.run(&format!(
        "uses AS568-118 --nickname 2-012 --by \"A. Lind\" --evidence \"old price book\" --confidence \"supplier table\""
    ));
    assert_eq!(named.code, Some(0));
    let code = shop.run(&format!(
        "uses AS568-118 --nickname AS568-014 --by \"A. Lind\" --evidence x"
    ));
    assert_eq!(code.code, Some(2));
    assert!(code.out.is_empty(), "{}", code.shown());
    let (_, size) = shop.coded("size 2-012");
    let codes: Vec<&str> = items(&size["matches"])
        .iter()
        .filter_map(|one| one["code"].as_str())
        .collect();
    assert!(
        codes.contains(&"AS568-118") && codes.contains(&"AS568-012"),
        "{codes:?}"
    );
    let (_, both) = shop.coded("uses 2-012");
    assert_eq!(both["parts"].as_array().map(Vec::len), Some(2));
}

#[test]
fn what_nobody_knows_is_answered_with_no_and_what_is_no_part_is_refused() {
    let shop = Workshop::demo();
    assert_eq!(shop.run("uses AS568-475").code, Some(1));
    let wrong = shop.run("uses thingummy");
    assert_eq!(wrong.code, Some(2));
    assert!(wrong.out.is_empty(), "{}", wrong.shown());
    assert!(wrong.err.contains("filter disc"));
}

#[test]
fn a_statement_whose_part_cannot_be_read_is_shown_and_not_dropped() {
    let shop = Workshop::demo();
    let connection = rusqlite::Connection::open(shop.book()).expect("opens");
    let changed = connection
        .execute(
            "UPDATE statement SET stand_in = 'a thing of an older version' WHERE id = 1",
            [],
        )
        .expect("changes");
    assert_eq!(changed, 1);
    drop(connection);
    let shown = shop.run("uses AS568-011");
    let text = shown.out;
    assert!(text.contains("cannot be compared"), "{text}");
    assert!(text.contains("a thing of an older version"), "{text}");
    let (_, report) = shop.coded("uses AS568-011");
    assert_eq!(report["unread"].as_array().map(Vec::len), Some(1));
}
