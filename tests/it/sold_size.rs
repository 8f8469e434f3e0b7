//! Ring sizes that a supplier sells and no standard lists compete where rings are named.

use super::program::{import_words, json, run};
use serde_json::Value;
use std::path::Path;

/// A list with a ring that no standard has, and one under another name that AS568-012 has.
const LIST: &[u8] = b"part no,description,price\nL-1,O-RING 17.3x2.2 NBR 70,0.40\nL-2,O-RING 9.25 x 1.78 NBR 70,0.30\n";

/// A new ring of a size that no list has.
const RING: [&str; 7] = [
    "ring",
    "--od",
    "21.60 21.55 mm by caliper",
    "--cs",
    "2.20 mm by caliper",
    "--condition",
    "new",
];

fn named(book: &Path) -> Value {
    let book = book.to_str().expect("letters");
    json(&[&RING[..], &["--book", book]].concat()).1
}

fn imported(folder: &Path, book: &Path) {
    let file = folder.join("list.csv");
    std::fs::write(&file, LIST).expect("writes");
    let (file, book) = (
        file.to_str().expect("letters"),
        book.to_str().expect("letters"),
    );
    let output = run(&import_words(file, "2026-03-01", book));
    assert_eq!(output.status.code(), Some(0));
}

#[test]
fn a_size_that_is_sold_here_is_named_and_less_is_of_no_listed_size() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("shop.book");
    let before = named(&book);
    imported(folder.path(), &book);
    let after = named(&book);
    let unlisted = |answer: &Value| answer["unlisted_probability"].as_f64().expect("a share");
    assert!(unlisted(&after) < 0.5 * unlisted(&before), "{after}");
    let candidates = after["candidates"].as_array().expect("a list");
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
    let book = book.to_str().expect("letters");
    let text = run(&[&RING[..], &["--book", book]].concat());
    let text = String::from_utf8_lossy(&text.stdout).into_owned();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("sold by Harbour, in no standard"), "{text}");
}

#[test]
fn a_list_of_listed_rings_changes_no_odds() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("shop.book");
    let before = named(&book);
    let file = folder.path().join("list.csv");
    std::fs::write(
        &file,
        "part no,description,price\nL-2,O-RING 9.25 x 1.78 NBR 70,0.30\n",
    )
    .expect("writes");
    let words = [
        file.to_str().expect("letters"),
        book.to_str().expect("letters"),
    ];
    assert_eq!(
        run(&import_words(words[0], "2026-03-01", words[1]))
            .status
            .code(),
        Some(0)
    );
    assert_eq!(named(&book), before);
}

/// The parts list names it where a place may be of no listed size, and names it anew when the list is gone.
#[test]
fn a_parts_list_says_who_sells_a_size_that_no_standard_has() {
    let folder = tempfile::tempdir().expect("a folder");
    let book = folder.path().join("shop.book");
    imported(folder.path(), &book);
    let note = folder.path().join("unit.note");
    std::fs::write(
        &note,
        "model Tarn\nunit 1\ndate 2026-03-14\ngas air\nsupply 200 bar\nlengths mm\n[body]\no-ring ; at stem ; replace ; new ; od 21.60 21.55 by caliper ; cs 2.20 2.20 by caliper\n",
    )
    .expect("writes");
    let book = book.to_str().expect("letters");
    let add = run(&[
        "note",
        "add",
        note.to_str().expect("letters"),
        "--book",
        book,
    ]);
    assert_eq!(
        add.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&add.stderr)
    );
    let (_, list) = json(&["parts", "Tarn", "--book", book]);
    let list = list.to_string();
    assert!(
        list.contains("17.3x2.2 mm, sold by Harbour, in no standard"),
        "{list}"
    );
}
