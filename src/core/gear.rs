//! Kinds of gear: what a unit is, and what follows from that for its setting and its release.
//!
//! The table `data/stage/gear_kinds.csv` holds the facts, one row a kind. Bare words that a breathing regulator and another
//! one share ("regulator", "gas regulator", "reducer") name no kind, because what is no life support is asked for less.

use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use crate::core::near_word::nearest_of;
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// Names a kind of gear.
///
/// ```
/// use ringwright::core::gear::GearKind;
/// let kind = GearKind::from_words("Welding-Regulator").unwrap();
/// assert_eq!(kind, GearKind::GasRegulator);
/// assert!(!kind.is_life_support() && kind.needs_two_supplies());
/// assert_eq!(kind.governed_by(), Some("ISO 2503"));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum GearKind {
    /// Takes breathing gas from the cylinder to the intermediate pressure.
    #[serde(rename = "breathing first stage")]
    FirstStage,
    /// Gives breathing gas on demand, from the intermediate pressure.
    #[serde(rename = "breathing second stage")]
    SecondStage,
    /// Sets the outlet pressure of a cylinder of welding or industrial gas.
    #[serde(rename = "welding or industrial gas regulator")]
    GasRegulator,
    /// Works by compressed air that nobody breathes.
    #[serde(rename = "pneumatic")]
    Pneumatic,
    /// Anything else under pressure.
    #[serde(rename = "other")]
    Other,
}

/// Says that words name no kind of gear.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "{asked:?} is not a kind of gear{}: write {}",
    .meant.map_or(String::new(), |meant| format!(" (did you mean {meant:?}?)")),
    GearKind::listed()
)]
pub struct GearFault {
    /// The words.
    pub asked: String,
    /// The spelling nearest to them, where one is near.
    pub meant: Option<&'static str>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Said {
    Yes,
    No,
}

/// One row of the table.
#[derive(Debug, Deserialize)]
struct GearFacts {
    kind: GearKind,
    spellings: String,
    life_support: Said,
    two_supplies: Said,
    lock_up_and_creep: Said,
    leak_test: Said,
    cracking_effort: Said,
    set_pressure: String,
    governed_by: Option<String>,
    source: String,
    confidence: Confidence,
}

/// The facts in the order of [`GearKind::ALL`].
static FACTS: LazyLock<Vec<GearFacts>> = LazyLock::new(|| {
    let rows: Vec<GearFacts> = shipped_rows!("stage/gear_kinds.csv");
    let kinds: Vec<GearKind> = rows.iter().map(|row| row.kind).collect();
    assert!(
        kinds == GearKind::ALL,
        "shipped table stage/gear_kinds.csv: one row a kind, in the order of the kinds"
    );
    rows
});

/// What stands between the spellings of a kind in the table.
const BETWEEN: &str = " | ";

impl GearKind {
    /// Every kind, in the order of the words.
    pub const ALL: [Self; 5] = [
        Self::FirstStage,
        Self::SecondStage,
        Self::GasRegulator,
        Self::Pneumatic,
        Self::Other,
    ];

    /// What a unit of unstated kind is taken for: the kind that most is asked of.
    pub const ASSUMED: Self = Self::FirstStage;

    /// Returns the words that a note prints and a page shows.
    pub const fn word(self) -> &'static str {
        match self {
            Self::FirstStage => "breathing first stage",
            Self::SecondStage => "breathing second stage",
            Self::GasRegulator => "welding or industrial gas regulator",
            Self::Pneumatic => "pneumatic",
            Self::Other => "other",
        }
    }

    /// Reads a kind in any of its spellings, with spaces, hyphens or underscores between the words.
    ///
    /// # Errors
    /// Words that name no kind, with the spelling that was perhaps meant.
    pub fn from_words(words: &str) -> Result<Self, GearFault> {
        let plain = plain(words);
        if let Some((kind, _)) = spellings().find(|(_, spelling)| *spelling == plain) {
            return Ok(kind);
        }
        let near = |word: &str| nearest_of(spellings().map(|(_, spelling)| spelling), word);
        let inside = || {
            let mut parts = plain.split(' ');
            parts.find_map(|part| {
                let mut all = spellings().map(|(_, spelling)| spelling);
                all.find(|spelling| *spelling == part && part != Self::Other.word())
            })
        };
        Err(GearFault {
            asked: words.trim().to_owned(),
            meant: near(&plain).or_else(inside),
        })
    }

    /// Lists the words of every kind for a sentence: "a, b or c".
    pub fn listed() -> String {
        let words: Vec<&str> = Self::ALL.iter().map(|kind| kind.word()).collect();
        let (last, most) = words.split_last().unwrap_or((&"", &[]));
        format!("{} or {last}", most.join(", "))
    }

    /// Tells whether somebody breathes from it.
    pub fn is_life_support(self) -> bool {
        self.facts().life_support == Said::Yes
    }

    /// Tells whether it has a set pressure that is read at a high and a low supply.
    pub fn needs_two_supplies(self) -> bool {
        self.facts().two_supplies == Said::Yes
    }

    /// Tells whether its lock-up is timed and its creep watched before release.
    pub fn needs_lock_up_and_creep(self) -> bool {
        self.facts().lock_up_and_creep == Said::Yes
    }

    /// Tells whether a leak test is recorded before release.
    pub fn needs_leak_test(self) -> bool {
        self.facts().leak_test == Said::Yes
    }

    /// Tells whether it is judged by its cracking effort and has no pressure to set.
    pub fn needs_cracking_effort(self) -> bool {
        self.facts().cracking_effort == Said::Yes
    }

    /// Returns what the pressure behind its seat is called.
    pub fn set_pressure(self) -> &'static str {
        &self.facts().set_pressure
    }

    /// Returns the name of the document that governs gear of this kind, where one is known.
    pub fn governed_by(self) -> Option<&'static str> {
        self.facts().governed_by.as_deref()
    }

    /// Returns where the facts of the kind come from.
    pub fn source(self) -> &'static str {
        &self.facts().source
    }

    /// Returns how well the facts of the kind are known.
    pub fn confidence(self) -> Confidence {
        self.facts().confidence
    }

    fn facts(self) -> &'static GearFacts {
        &FACTS[self as usize]
    }
}

impl std::fmt::Display for GearKind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.word())
    }
}

/// Gives every spelling with its kind, the words of the kind first.
fn spellings() -> impl Iterator<Item = (GearKind, &'static str)> {
    FACTS.iter().flat_map(|row| {
        let others = row.spellings.split(BETWEEN);
        std::iter::once(row.kind.word())
            .chain(others)
            .map(|spelling| (row.kind, spelling))
    })
}

fn plain(words: &str) -> String {
    let lower = words.to_lowercase().replace(['-', '_'], " ");
    lower.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_spelling_is_plain_and_names_one_kind() {
        let all: Vec<(GearKind, &str)> = spellings().collect();
        for (at, (kind, spelling)) in all.iter().enumerate() {
            assert_eq!(plain(spelling), *spelling);
            assert!(!all[..at].iter().any(|(_, s)| s == spelling), "{spelling}");
            assert_eq!(GearKind::from_words(spelling), Ok(*kind));
        }
        for kind in GearKind::ALL {
            assert!(!kind.source().is_empty(), "{kind}");
            assert_eq!(kind.confidence(), Confidence::Memory);
            assert_eq!(
                serde_json::to_value(kind).expect("writes"),
                kind.word(),
                "a book and a page have the same words"
            );
        }
    }

    #[test]
    fn a_kind_says_what_is_asked_of_it() {
        let asked = |kind: GearKind| {
            [
                kind.is_life_support(),
                kind.needs_two_supplies(),
                kind.needs_lock_up_and_creep(),
                kind.needs_leak_test(),
                kind.needs_cracking_effort(),
            ]
        };
        assert_eq!(asked(GearKind::FirstStage), [true, true, true, true, false]);
        assert_eq!(
            asked(GearKind::SecondStage),
            [true, false, false, true, true]
        );
        assert_eq!(
            asked(GearKind::GasRegulator),
            [false, true, true, true, false]
        );
        for kind in [GearKind::Pneumatic, GearKind::Other] {
            assert_eq!(asked(kind), [false, false, false, true, false]);
        }
        assert_eq!(GearKind::Other.governed_by(), None);
    }

    #[test]
    fn what_is_not_stated_is_taken_for_the_kind_that_most_is_asked_of() {
        let asked = |kind: GearKind| {
            u8::from(kind.is_life_support())
                + u8::from(kind.needs_two_supplies())
                + u8::from(kind.needs_lock_up_and_creep())
                + u8::from(kind.needs_leak_test())
        };
        for kind in GearKind::ALL {
            assert!(asked(kind) <= asked(GearKind::ASSUMED), "{kind}");
        }
    }

    #[test]
    fn a_misspelt_kind_is_met_with_the_one_that_was_meant() {
        for (words, meant) in [
            ("frist stage", Some("first stage")),
            ("penumatic", Some("pneumatic")),
            ("welding set of 1962", Some("welding")),
            ("regulator", None),
            ("gas regulator", None),
            ("", None),
        ] {
            let fault = GearKind::from_words(words).expect_err(words);
            assert_eq!(fault.meant, meant, "{words}");
            assert!(fault.to_string().contains(&GearKind::listed()));
        }
    }
}
