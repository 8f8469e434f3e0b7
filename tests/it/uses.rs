//! `uses`: where a part is used and what takes its place.

use super::program::{json, lay_demo, run, run_line};

fn demo() -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("demo.book").display().to_string();
    lay_demo(std::path::Path::new(&book));
    (folder, book)
}

fn models(part: &serde_json::Value) -> Vec<&str> {
    let used = part["used"].as_array().expect("a list").iter();
    used.map(|one| one["model"].as_str().expect("a model"))
        .collect()
}

#[test]
fn two_models_of_the_demo_share_a_filter_and_two_rings() {
    let (_folder, book) = demo();
    for part in [
        "filter disc ; od 12.7 mm ; thick 3.2 mm",
        "AS568-025",
        "AS568-011",
    ] {
        let (code, report) = json(&["uses", part, "--book", &book]);
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
    let (_folder, book) = demo();
    let (_, report) = json(&["uses", "AS568-118", "--book", &book]);
    let stand_ins = report["parts"][0]["stand_ins"].as_array().expect("a list");
    let near = stand_ins
        .iter()
        .find(|one| {
            one["part"]
                .as_str()
                .expect("words")
                .starts_with("ISO 3601-1 22.4x2.65")
        })
        .expect("near by its dimensions");
    assert_eq!(near["near"], "near");
    assert_eq!(near["glands"][0]["verdict"], "reject");
    assert!(near["grade"].is_null(), "{near}");
    // Gland check by hand: the groove of the Tarn's piston as its note has it.
    let page = run(&["uses", "AS568-118", "--book", &book, "--format", "md"]);
    assert!(String::from_utf8_lossy(&page.stdout).contains("FAILS a gland"));
}

#[test]
fn what_was_tried_and_failed_comes_first_and_is_not_outvoted() {
    let (_folder, book) = demo();
    let says = |grade: &str| {
        run_line(&format!(
            "uses AS568-011 --stand-in \"ISO 3601-1 7.5x1.8\" --grade \"{grade}\" --by \"A. Lind\" --evidence \"three dives\" --book \"{book}\""
        ))
    };
    assert_eq!(says("same").status.code(), Some(0));
    let (_, report) = json(&["uses", "AS568-011", "--book", &book]);
    let first = &report["parts"][0]["stand_ins"][0];
    assert_eq!(first["grade"], "tried and failed");
    assert_eq!(first["said"].as_array().expect("both").len(), 2);
    // Said to be the same, it is shown the other way round too; the failure is not.
    let (_, other) = json(&["uses", "ISO 3601-1 7.5x1.8", "--book", &book]);
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
    assert_eq!(says("perhaps").status.code(), Some(2));
}

#[test]
fn a_name_from_a_drawer_is_known_to_uses_and_to_size_and_two_meanings_are_both_shown() {
    let (_folder, book) = demo();
    let (code, report) = json(&["uses", "Drawer 7", "--book", &book]);
    assert_eq!(code, Some(0));
    assert_eq!(report["parts"][0]["known_as"]["confidence"], "memory");
    assert_eq!(report["parts"][0]["part"], "AS568-025");
    let (_, size) = json(&["size", "drawer 7", "--book", &book]);
    assert_eq!(size["matches"][0]["code"], "AS568-025");
    // A dead maker's number that is a listed number as well.
    let named = run_line(&format!(
        "uses AS568-118 --nickname 2-012 --by \"A. Lind\" --evidence \"old price book\" --confidence \"supplier table\" --book \"{book}\""
    ));
    assert_eq!(named.status.code(), Some(0));
    let code = run_line(&format!(
        "uses AS568-118 --nickname AS568-014 --by \"A. Lind\" --evidence x --book \"{book}\""
    ));
    assert_eq!(code.status.code(), Some(2));
    let (_, size) = json(&["size", "2-012", "--book", &book]);
    let codes: Vec<&str> = size["matches"]
        .as_array()
        .expect("matches")
        .iter()
        .filter_map(|one| one["code"].as_str())
        .collect();
    assert!(
        codes.contains(&"AS568-118") && codes.contains(&"AS568-012"),
        "{codes:?}"
    );
    let (_, both) = json(&["uses", "2-012", "--book", &book]);
    assert_eq!(both["parts"].as_array().map(Vec::len), Some(2));
}

#[test]
fn what_nobody_knows_is_answered_with_no_and_what_is_no_part_is_refused() {
    let (_folder, book) = demo();
    assert_eq!(
        run(&["uses", "AS568-475", "--book", &book]).status.code(),
        Some(1)
    );
    let wrong = run(&["uses", "thingummy", "--book", &book]);
    assert_eq!(wrong.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&wrong.stderr).contains("filter disc"));
}

#[test]
fn a_statement_whose_part_cannot_be_read_is_shown_and_not_dropped() {
    let (_folder, book) = demo();
    let connection = rusqlite::Connection::open(&book).expect("opens");
    let changed = connection
        .execute(
            "UPDATE statement SET stand_in = 'a thing of an older version' WHERE id = 1",
            [],
        )
        .expect("changes");
    assert_eq!(changed, 1);
    drop(connection);
    let shown = run(&["uses", "AS568-011", "--book", &book]);
    let text = String::from_utf8_lossy(&shown.stdout);
    assert!(text.contains("cannot be compared"), "{text}");
    assert!(text.contains("a thing of an older version"), "{text}");
    let (_, report) = json(&["uses", "AS568-011", "--book", &book]);
    assert_eq!(report["unread"].as_array().map(Vec::len), Some(1));
}
