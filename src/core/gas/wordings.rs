//! Wordings of labels, notes and job cards, written by somebody who did not know the grammar, and what they must come to.

use super::{GasService, OxygenThreshold};
use proptest::prelude::*;
use serde::Deserialize;
use std::sync::LazyLock;

#[derive(Debug, Deserialize)]
struct Wording {
    #[serde(rename = "wording")]
    words: String,
    class: String,
    share: String,
    why: String,
}

/// Alternatives that are equally right are parted by a stroke.
static WORDINGS: LazyLock<Vec<Wording>> = LazyLock::new(|| {
    let text = include_str!("../../../tests/it/fixtures/gas_wordings.csv");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect()
});

fn judged(words: &str) -> GasService {
    GasService::judge(Some(words), None, &OxygenThreshold::default())
}

fn class(service: &GasService) -> &'static str {
    match service {
        GasService::Air => "air",
        GasService::Enriched { .. } => "enriched",
        GasService::Other { .. } => "other",
        GasService::Unsettled { .. } => "unsettled",
    }
}

/// The share of a row is that of an enriched gas; none where the words give none.
fn share_fits(row: &Wording, service: &GasService) -> bool {
    let GasService::Enriched { share } = service else {
        return true;
    };
    row.share.split('|').any(|expected| {
        let expected: Option<f64> = expected.parse().ok();
        match (expected, share) {
            (Some(expected), Some(share)) => (expected - share).abs() < 1e-9,
            (expected, share) => expected.is_none() && share.is_none(),
        }
    })
}

#[test]
fn every_wording_comes_to_its_class_and_share() {
    let wrong: Vec<String> = WORDINGS
        .iter()
        .filter_map(|row| {
            let service = judged(&row.words);
            let fits = row.class.split('|').any(|known| known == class(&service));
            (!fits || !share_fits(row, &service)).then(|| {
                format!(
                    "{:?}: {service:?}, not {} {} ({})",
                    row.words, row.class, row.share, row.why
                )
            })
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(WORDINGS.len() > 60);
}

#[test]
fn what_people_write_beside_a_gas_leaves_it_settled_and_a_share_out_of_place_does_not() {
    for (words, expected) in [
        ("compressed breathing air, grade E", "air"),
        ("air to EN 12021", "air"),
        ("air (dry)", "air"),
        ("air, max. working pressure 232 bar", "air"),
        ("air 200 bar max", "air"),
        ("21 % oxygen in air", "air"),
        ("medical oxygen", "enriched"),
        ("O2 clean air", "unsettled"),
        ("air, oxygen compatible", "unsettled"),
        ("air/O2 80/20", "unsettled"),
        ("10 % oxygen, rest air", "unsettled"),
        ("nitrogen 60 %", "unsettled"),
        ("oxygen - enriched air", "enriched"),
        ("oxygen - 21 %", "enriched"),
        ("argon -> 100 %", "unsettled"),
        ("trimix 50/20 - 21 % oxygen", "enriched"),
        ("oil-free air, 80 cu.ft", "air"),
        ("min. 21 % O2", "unsettled"),
        ("nitrous oxide", "unsettled"),
        ("air with 30 percent O2", "enriched"),
        ("helium/oxygen 79/21", "other"),
        ("fuel gas", "other"),
    ] {
        let service = judged(words);
        assert_eq!(class(&service), expected, "{words}: {service:?}");
    }
}

/// What may stand between two wordings.
const SEPARATORS: [&str; 13] = [
    ", ", "; ", " / ", " + ", " and ", " or ", " then ", ". ", "\n", " - ", " (", " -> ", "? ",
];

/// Says how a whole falls below one of its parts, where it does.
fn lowered(part: &str, joined: &str) -> Option<String> {
    let (alone, whole) = (judged(part), judged(joined));
    let enriched = matches!(alone, GasService::Enriched { .. }) || alone.share().is_some();
    let lower = (enriched && !whole.asks_oxygen_care()) || whole.share() < alone.share();
    lower.then(|| format!("{part:?} {alone:?} in {joined:?}: {whole:?}"))
}

#[test]
fn no_two_wordings_beside_each_other_are_less_than_each_alone() {
    let mut wrong: Vec<String> = Vec::new();
    for first in WORDINGS.iter().map(|row| row.words.as_str()) {
        for (at, second) in WORDINGS.iter().map(|row| row.words.as_str()).enumerate() {
            let joined = format!("{first}{}{second}", SEPARATORS[at % SEPARATORS.len()]);
            wrong.extend(lowered(first, &joined));
            wrong.extend(lowered(second, &joined));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn wording() -> impl Strategy<Value = &'static str> {
    (0..WORDINGS.len()).prop_map(|at| WORDINGS[at].words.as_str())
}

fn separator() -> impl Strategy<Value = &'static str> {
    (0..SEPARATORS.len()).prop_map(|at| SEPARATORS[at])
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: ProptestConfig::default().cases.max(4000),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// Whatever is written beside it, a share above the threshold that was named keeps counting.
    #[test]
    fn adding_words_never_lowers_the_class_below_the_highest_share_named(
        first in wording(),
        between in separator(),
        second in wording(),
        again in separator(),
        third in wording(),
    ) {
        let joined = format!("{first}{between}{second}{again}{third}");
        for part in [first, second, third] {
            prop_assert_eq!(lowered(part, &joined), None);
        }
    }

    /// Text of any kind is read without a panic, and every doubt stands inside it.
    #[test]
    fn any_text_is_read(text in "\\PC{0,40}|[a-zO0-9%/.,±()?+ -]{0,30}|(air|O2|EAN|nitrox|[0-9]{1,3}|%| |/|-|bar|rest|not){0,9}") {
        if let GasService::Unsettled { doubts, .. } = judged(&text) {
            for span in doubts.iter().filter_map(super::Doubt::span) {
                prop_assert!(text.trim().get(span.range()).is_some());
            }
        }
    }
}
