//! `order`: a size that can take the place of another in its gland is proposed with what the whole order saves.

use super::program::{import_words, json, run};

/// Two rings of one unit in glands that both rings seal in, and one in a gland that only its own seals in.
const NOTE: &str = "model Merge\nunit 1\ndate 2026-03-14\nlengths mm\ngas air\n\n[body]\n\
    o-ring ; at upper plug ; replace ; new ; size 2-012 ; od 12.75 12.78 by caliper ; id 9.25 by pin ; cs 1.78 by micrometer\n  \
    gland piston ; bore 12.30 ; groove 9.65 ; width 2.6 ; piston 12.27 ; static ; pressure 10 bar from outside\n\
    o-ring ; at lower plug ; replace ; new ; size 9.5x1.8 mm ; od 13.05 13.08 by caliper ; id 9.50 by pin ; cs 1.80 by micrometer\n  \
    gland piston ; bore 12.30 ; groove 9.65 ; width 2.6 ; piston 12.27 ; static ; pressure 10 bar from outside\n";

/// Whole packs of either ring; both are needed once.
const LIST: &str = "part no,description,pack,price\n\
    012-70,O-RING AS568-012 NBR 70,10,5.00\n\
    95x18-70,O-RING 9.5x1.8 MM NBR 70,10,9.00\n";

#[test]
fn one_ring_for_both_glands_is_proposed_with_the_saving_of_a_whole_pack() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name).display().to_string();
    let (note, list, book) = (path("merge.note"), path("list.csv"), path("shop.book"));
    std::fs::write(&note, NOTE).expect("writes");
    std::fs::write(&list, LIST).expect("writes");
    let added = run(&["note", "add", &note, "--book", &book]);
    assert_eq!(
        added.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&added.stderr)
    );
    let (code, _) = json(&import_words(&list, "2026-03-01", &book));
    assert_eq!(code, Some(0));
    let (code, report) = json(&["order", "Merge=1", "--book", &book]);
    assert_eq!(code, Some(0), "{report}");
    assert_eq!(report["total"]["minor"], 1400, "{report}");
    let merges = report["merges"].as_array().expect("a list");
    let best = merges
        .first()
        .unwrap_or_else(|| panic!("no proposal: {report}"));
    let words = |key: &str| best[key].as_str().expect("words");
    assert!(words("instead_of").contains("9.5x1.8"), "{best}");
    assert!(words("use_ring").contains("AS568-012"), "{best}");
    // Two rings from the pack of ten at 5.00 in place of that pack and another at 9.00.
    assert_eq!(best["saving"]["minor"], 900, "{best}");
}
