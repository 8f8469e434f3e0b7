//! `offer find` over the parts of the book's models, below the offers.

use super::program::{Workshop, items, text};
use serde_json::Value;

/// Finds parts and offers in the demo's book.
struct Demo(Workshop);

impl Demo {
    fn new() -> Self {
        Self(Workshop::demo())
    }

    fn find(&self, words: &str) -> (Option<i32>, Value) {
        self.0.coded(&format!("offer find {words}"))
    }

    /// The models and positions that a search finds, and how it found the first.
    fn used(&self, words: &str) -> (Vec<(String, String)>, String) {
        let (_, found) = self.find(words);
        let parts = items(&found["parts"]);
        let text = |part: &Value, key: &str| text(&part[key]).to_owned();
        let places = parts
            .iter()
            .map(|part| (text(part, "model"), text(part, "position")));
        let by = parts.first().map_or_else(String::new, |p| text(p, "by"));
        (places.collect(), by)
    }
}

#[test]
fn one_search_shows_offers_and_below_them_where_such_a_part_is_used() {
    let demo = Demo::new();
    let (code, found) = demo.find("AS568-012");
    assert_eq!(code, Some(0));
    assert!(!items(&found["offers"]).is_empty());
    let parts = items(&found["parts"]);
    assert!(!parts.is_empty());
    for part in parts {
        assert_eq!(part["by"], "size", "{part}");
        assert_eq!(part["size"], "AS568-012", "{part}");
    }
    let page = demo.0.printed("offer find AS568-012");
    let below = page.find("Where such a part is used").expect("the heading");
    assert!(page.find("FS-2-012").expect("an offer") < below, "{page}");
}

#[test]
fn parts_are_found_by_words_whole_begun_inside_and_mistyped() {
    let demo = Demo::new();
    let (exact, by) = demo.used("filter disc");
    assert_eq!(by, "exact");
    let models = |places: &[(String, String)]| {
        let mut models: Vec<String> = places.iter().map(|(model, _)| model.clone()).collect();
        models.sort_unstable();
        models.dedup();
        models
    };
    assert!(models(&exact).len() >= 2, "two models have one: {exact:?}");
    assert_eq!(demo.used("filt disc"), (exact.clone(), "begins".to_owned()));
    assert_eq!(
        demo.used("ilter disc"),
        (exact.clone(), "inside".to_owned())
    );
    assert_eq!(
        demo.used("fitler disc"),
        (exact, "typing-errors".to_owned())
    );
    let (piston, by) = demo.used("piston head o-ring Beck");
    assert_eq!(by, "exact");
    assert!(
        piston.iter().all(|(model, _)| model.contains("Beck")),
        "{piston:?}"
    );
}

#[test]
fn parts_are_found_by_a_window_on_both_dimensions_and_words_narrow_it() {
    let demo = Demo::new();
    let window = "--id '9.25±0.05 mm' --cs '1.78±0.05 mm'";
    let (all, by) = demo.used(window);
    assert_eq!(by, "window");
    let (some, _) = demo.used(&format!("Beck {window}"));
    assert!(
        !some.is_empty() && some.len() < all.len(),
        "{some:?} of {all:?}"
    );
    let (code, found) = demo.find("--id '500 mm' --cs '9.9 mm'");
    assert_eq!(code, Some(1));
    assert_eq!(found["parts"].as_array().map(Vec::len), Some(0));
}

#[test]
fn the_code_of_another_ring_is_no_typing_error() {
    let demo = Demo::new();
    // No unit of the demo has this ring; -012, which two models have, is one digit off.
    let (places, _) = demo.used("AS568-013");
    assert_eq!(places, []);
}

#[test]
fn a_name_from_a_drawer_finds_the_offers_of_the_ring_that_it_means() {
    let demo = Demo::new();
    let numbers = |words: &str| -> Vec<String> {
        let (code, found) = demo.find(words);
        assert_eq!(code, Some(0), "{words}");
        items(&found["offers"])
            .iter()
            .filter(|offer| offer["by"] == "size")
            .map(|offer| text(&offer["number"]).to_owned())
            .collect()
    };
    let by_name = numbers("'Drawer 7'");
    assert!(!by_name.is_empty());
    assert_eq!(by_name, numbers("AS568-025"));
}
