//! A variant of a model, or a range of its serial numbers, wherever a model is named.

use super::program::{json, run};

/// A book with four units of one model, whose filters are of two sizes.
fn book() -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("shop.book").display().to_string();
    for (serial, variant, od) in [
        ("FT2-004417", "first series", "14.9"),
        ("FT2-004502", "first series", "14.9"),
        ("FT2-005100", "second series, EU", "14.0"),
        ("FT2-005230", "second series, US", "14.0"),
    ] {
        let note = folder.path().join(format!("{serial}.note"));
        let text = format!(
            "model Tarn 2\nunit {serial}\nvariant {variant}\ndate 2026-03-14\nlengths mm\n\n[inlet]\nfilter disc ; replace ; od {od} ; thick 2.8\n"
        );
        std::fs::write(&note, text).expect("writes");
        let note = note.display().to_string();
        assert_eq!(
            run(&["note", "add", &note, "--book", &book]).status.code(),
            Some(0)
        );
    }
    (folder, book)
}

fn measured(asked: &str, book: &str) -> (Option<i32>, String, u64) {
    let (code, report) = json(&["parts", asked, "--book", book]);
    let line = &report["lines"][0];
    let words = line["measured"].as_str().unwrap_or("").to_owned();
    (code, words, line["units_recorded"].as_u64().unwrap_or(0))
}

#[test]
fn the_units_of_a_variant_or_of_a_range_of_serials_make_a_list_of_their_own() {
    let (_folder, book) = book();
    for (asked, od, units) in [
        ("Tarn 2 (first series)", "od 14.90 mm", 2),
        ("Tarn 2 (second series)", "od 14.00 mm", 2),
        ("Tarn 2 (second series, EU)", "od 14.00 mm", 1),
        ("Tarn 2 (..FT2-004999)", "od 14.90 mm", 2),
        ("Tarn 2 (second, 5200..)", "od 14.00 mm", 1),
    ] {
        let (code, words, count) = measured(asked, &book);
        assert_eq!(code, Some(0), "{asked}");
        assert!(
            words.replace('\u{a0}', " ").starts_with(od),
            "{asked}: {words}"
        );
        assert_eq!(count, units, "{asked}");
    }
}

#[test]
fn a_variant_that_no_unit_has_is_answered_with_the_units_there_are() {
    let (_folder, book) = book();
    let shown = run(&["parts", "Tarn 2 (third series)", "--book", &book]);
    assert_eq!(shown.status.code(), Some(1));
    let text = String::from_utf8_lossy(&shown.stdout);
    assert!(text.contains("FT2-005100 (second series, EU)"), "{text}");
}

#[test]
fn every_command_that_takes_a_model_takes_a_variant() {
    let (folder, book) = book();
    let sheet = folder.path().join("s.pdf").display().to_string();
    let model = "Tarn 2 (second series)";
    for words in [
        vec!["sheet", "parts", model, "--out", &sheet],
        vec!["sheet", "assembly", model, "--unit", "mm", "--out", &sheet],
        vec!["stock", "kit", model, "--for", "FT2-005100"],
    ] {
        let mut words = words;
        words.extend(["--book", &book]);
        let shown = run(&words);
        let errors = String::from_utf8_lossy(&shown.stderr).into_owned();
        assert!(
            matches!(shown.status.code(), Some(0 | 1)),
            "{words:?}: {errors}"
        );
        let text = String::from_utf8_lossy(&shown.stdout);
        assert!(!text.contains("No model"), "{words:?}: {text}");
    }
}
