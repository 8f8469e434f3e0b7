//! Common practice, no source: what a counter asks for small parts and what a first stage needs, told by people of the trade.
//!
//! The demo's price lists and units are invented; these values check that they are plausible, nothing more. The bounds around
//! "about" and "well under" are this test's own.

use super::program::{Workshop, items, text};
use serde_json::Value;
use std::collections::BTreeMap;

/// Fills a demo book and answers a question of it.
fn ask(questions: &[&str]) -> Vec<Value> {
    let shop = Workshop::demo();
    questions.iter().map(|line| shop.json(line)).collect()
}

/// The prices in US cents of the offers that are sold singly and of which `wanted` is true.
fn single_prices(found: &Value, wanted: impl Fn(&Value) -> bool) -> Vec<i64> {
    items(&found["offers"])
        .iter()
        .filter(|offer| offer["pack"] == 1 && wanted(offer))
        .map(|offer| {
            assert_eq!(offer["price"]["currency"], "USD", "{offer}");
            offer["price"]["minor"].as_i64().expect("cents")
        })
        .collect()
}

#[test]
fn common_practice_no_source_prices_of_rings_filters_and_clips() {
    let found = ask(&[
        "offer find o-ring --top 200",
        "offer find filter --top 200",
        "offer find clip --top 200",
    ]);
    // "A plain nitrile ring at a counter costs well under a dollar": three quarters of one at most.
    let plain = |offer: &Value| offer["polymer"] == "NBR" && offer["hardness"] == 70.0;
    let rings = single_prices(&found[0], plain);
    assert!(rings.len() >= 5, "{rings:?}");
    assert!(
        rings.iter().all(|cents| (5..=75).contains(cents)),
        "{rings:?}"
    );
    // "A filter about two": half a dollar either way.
    let filters = single_prices(&found[1], |offer| offer["kind"] == "filter");
    assert!(!filters.is_empty());
    assert!(
        filters.iter().all(|cents| (150..=250).contains(cents)),
        "{filters:?}"
    );
    // "A clip about a quarter": ten cents either way.
    let clips = single_prices(&found[2], |offer| offer["kind"] == "clip");
    assert!(clips.len() >= 3, "{clips:?}");
    assert!(
        clips.iter().all(|cents| (15..=35).contains(cents)),
        "{clips:?}"
    );
}

/// Counts the parts that one unit gets anew, by kind.
fn replaced(list: &Value) -> BTreeMap<String, u64> {
    let mut counts = BTreeMap::new();
    for line in items(&list["lines"]) {
        if line["action"] == "replace" {
            let kind = text(&line["kind"]).to_owned();
            *counts.entry(kind).or_default() += line["quantity"].as_u64().expect("a count");
        }
    }
    counts
}

#[test]
fn common_practice_no_source_parts_that_a_first_stage_needs() {
    let lists = ask(&["parts Tarn", "parts 'Tarn 2'", "parts Beck"]);
    // "An old first stage needs three rings, one filter, one clip, one seat": the Tarn is the demo's oldest and plainest.
    let tarn = replaced(&lists[0]);
    let count = |counts: &BTreeMap<String, u64>, kind: &str| counts.get(kind).copied();
    for (kind, wanted) in [("ring", 3), ("filter", 1), ("clip", 1), ("seat", 1)] {
        assert_eq!(count(&tarn, kind), Some(wanted), "{kind} of {tarn:?}");
    }
    // "A modern kit holds about a dozen rings." The demo has no modern model, so that this is a bound from above alone: none of
    // its old ones needs more.
    for list in &lists {
        let rings = count(&replaced(list), "ring");
        assert!(rings.is_some_and(|n| (3..=12).contains(&n)), "{rings:?}");
    }
}
