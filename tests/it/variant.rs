//! A variant of a model, or a range of its serial numbers, wherever a model is named.

use super::program::Workshop;

/// A shop with four units of one model, whose filters are of two sizes.
fn shop() -> Workshop {
    let shop = Workshop::new();
    for (serial, variant, od) in [
        ("FT2-004417", "first series", "14.9"),
        ("FT2-004502", "first series", "14.9"),
        ("FT2-005100", "second series, EU", "14.0"),
        ("FT2-005230", "second series, US", "14.0"),
    ] {
        shop.add_note(&format!(
            "model Tarn 2\nunit {serial}\nvariant {variant}\ndate 2026-03-14\nlengths mm\n\n[inlet]\nfilter disc ; replace ; od {od} ; thick 2.8\n"
        ));
    }
    shop
}

fn measured(shop: &Workshop, asked: &str) -> (Option<i32>, String, u64) {
    let (code, report) = shop.coded(&format!("parts '{asked}'"));
    let line = &report["lines"][0];
    let words = line["measured"].as_str().unwrap_or("").to_owned();
    (code, words, line["units_recorded"].as_u64().unwrap_or(0))
}

#[test]
fn the_units_of_a_variant_or_of_a_range_of_serials_make_a_list_of_their_own() {
    let shop = shop();
    for (asked, od, units) in [
        ("Tarn 2 (first series)", "od 14.90 mm", 2),
        ("Tarn 2 (second series)", "od 14.00 mm", 2),
        ("Tarn 2 (second series, EU)", "od 14.00 mm", 1),
        ("Tarn 2 (..FT2-004999)", "od 14.90 mm", 2),
        ("Tarn 2 (second, 5200..)", "od 14.00 mm", 1),
    ] {
        let (code, words, count) = measured(&shop, asked);
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
    let shop = shop();
    let shown = shop.run("parts 'Tarn 2 (third series)'");
    assert_eq!(shown.code, Some(1));
    let text = shown.out;
    assert!(text.contains("FT2-005100 (second series, EU)"), "{text}");
}

#[test]
fn every_command_that_takes_a_model_takes_a_variant() {
    let shop = shop();
    for line in [
        "sheet parts 'Tarn 2 (second series)' --out s.pdf",
        "sheet assembly 'Tarn 2 (second series)' --unit mm --out s.pdf",
        "stock kit 'Tarn 2 (second series)' --for FT2-005100",
    ] {
        let text = shop.printed(line);
        assert!(!text.contains("No model"), "{line}: {text}");
    }
}
