//! Ring sizes that a supplier sells and no standard lists compete where rings are named.

use super::program::{Workshop, import_line, items, number};
use serde_json::Value;

/// A list with a ring that no standard has, and one under another name that AS568-012 has.
const LIST: &str = "part no,description,price\nL-1,O-RING 17.3x2.2 NBR 70,0.40\nL-2,O-RING 9.25 x 1.78 NBR 70,0.30\n";

/// A new ring of a size that no list has.
const RING: &str =
    "ring --od '21.60 21.55 mm by caliper' --cs '2.20 mm by caliper' --condition new";

fn import(shop: &Workshop, list: &str) {
    shop.write("list.csv", list);
    shop.done(&import_line("list.csv", "Harbour"));
}

#[test]
fn a_size_that_is_sold_here_is_named_and_less_is_of_no_listed_size() {
    let shop = Workshop::new();
    let before = shop.json(RING);
    import(&shop, LIST);
    let after = shop.json(RING);
    let unlisted = |answer: &Value| number(&answer["unlisted_probability"]);
    assert!(unlisted(&after) < 0.5 * unlisted(&before), "{after}");
    let candidates = items(&after["candidates"]);
    let sold: Vec<&Value> = candidates
        .iter()
        .filter(|c| !c["sold_by"].is_null())
        .collect();
    assert_eq!(sold.len(), 1, "9.25 x 1.78 is AS568-012: {after}");
    assert_eq!(sold[0]["codes"][0], "17.3x2.2 mm");
    assert_eq!(sold[0]["sold_by"][0], "Harbour");
    let sum: f64 = candidates
        .iter()
        .filter_map(|c| c["probability"].as_f64())
        .sum();
    assert!((sum + unlisted(&after) - 1.0).abs() < 1e-3, "{sum}");
    let text = shop.page(RING);
    assert!(text.contains("sold by Harbour, in no standard"), "{text}");
}

#[test]
fn a_list_of_listed_rings_changes_no_odds() {
    let shop = Workshop::new();
    let before = shop.json(RING);
    import(
        &shop,
        "part no,description,price\nL-2,O-RING 9.25 x 1.78 NBR 70,0.30\n",
    );
    assert_eq!(shop.json(RING), before);
}

/// The parts list names it where a place may be of no listed size, and names it anew when the list is gone.
#[test]
fn a_parts_list_says_who_sells_a_size_that_no_standard_has() {
    let shop = Workshop::new();
    import(&shop, LIST);
    shop.add_note("model Tarn\nunit 1\ndate 2026-03-14\ngas air\nsupply 200 bar\nlengths mm\n[body]\no-ring ; at stem ; replace ; new ; od 21.60 21.55 by caliper ; cs 2.20 2.20 by caliper\n");
    let list = shop.json("parts Tarn").to_string();
    assert!(
        list.contains("17.3x2.2 mm, sold by Harbour, in no standard"),
        "{list}"
    );
}
