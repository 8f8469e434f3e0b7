//! The inputs that coverage-guided testing kept (`scripts/fuzz`), given once more to the checks that found them.

#[path = "../fuzz/checks/mod.rs"]
mod checks;

use std::io::Read as _;
use std::path::Path;

/// Gives every kept input of a target to its check; a target without inputs would check nothing.
fn replay(target: &str) {
    let check = checks::check_of(target).expect("a target");
    let packed =
        Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/fuzz/corpus/{target}.zip"));
    let packed = std::fs::File::open(packed).expect("packed inputs");
    let mut packed = zip::ZipArchive::new(packed).expect("packed inputs");
    let count = packed.len();
    for number in 0..count {
        let mut input = packed.by_index(number).expect("an input");
        let name = input.name().expect("a name").into_owned();
        let mut bytes = Vec::new();
        input.read_to_end(&mut bytes).expect("an input");
        // A check that fails says what it was given; the name says which input that was.
        let sound = std::panic::catch_unwind(|| check(&bytes));
        assert!(sound.is_ok(), "{target}: {name} does not pass");
    }
    assert!(count >= 150, "{target} has {count} inputs");
}

#[test]
fn kept_notes_and_sheets_come_back_from_what_is_printed() {
    replay("note");
}

#[test]
fn kept_quantities_read_again_as_themselves() {
    replay("quantity");
}

#[test]
fn kept_designations_lead_back_to_their_sizes() {
    replay("designation");
}

#[test]
fn kept_descriptions_name_listed_rings_or_none() {
    replay("description");
}

#[test]
fn kept_price_lists_become_offers_or_reasons() {
    replay("price_table");
}

#[test]
fn kept_books_are_written_as_they_were_read() {
    replay("exchange");
}

/// The words and signs of which sizes are written, parted by upright lines, put together anyhow: what random bytes seldom hit upon.
const SIZE_WORDS: &str = "1|2|3|5|9|16|100|210|012|0.5|1.78|9.25|.070|9,25|,5|1/16|3/32|1/4|1 1/16|-012|2-210|AS568-012|P5|P10A|G25|JIS|B2401|BS|ISO|3601|x|X|×|*| x |+|\
    -|±|+/-|/|,|.|;|mm|MM| mm|in|IN|\"|cm|ID|OD|CS|W|=|:|(|)|#|Ø|P|G|V|S|No|120|70|80|8/13";

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig { failure_persistence: None, ..Default::default() })]

    #[test]
    fn sizes_put_together_anyhow_are_one_ring_or_none(
        words in proptest::collection::vec(
            (proptest::sample::select(SIZE_WORDS.split('|').collect::<Vec<_>>()), proptest::bool::ANY),
            1..9,
        )
    ) {
        let mut text = String::new();
        for (word, apart) in words {
            text.push_str(word);
            if apart {
                text.push(' ');
            }
        }
        for target in ["description", "designation"] {
            checks::check_of(target).expect("a target")(text.as_bytes());
        }
    }
}
