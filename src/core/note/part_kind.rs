//! Kinds of parts, and the words that name them.

use super::record::LengthName;
use crate::core::data_table::shipped_rows;
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// Names a kind of part; the words for each stand in `data/notes/part_kinds.csv`.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum PartKind {
    /// Sealing ring of round section.
    Ring,
    /// Back-up ring beside a sealing ring.
    BackupRing,
    /// Sealing ring of four lobes (X-ring).
    QuadRing,
    /// Sealing ring of square or rectangular section.
    SquareRing,
    /// Flat gasket.
    Gasket,
    /// Seat, soft or with a metal edge.
    Seat,
    Filter,
    /// Retaining clip.
    Clip,
    Diaphragm,
    /// Flap or mushroom valve, such as an exhaust valve.
    Flap,
    Washer,
    Shim,
    Spring,
    Screw,
    Plug,
    Nut,
    Hose,
    Piston,
    /// Stem, poppet or pin.
    Stem,
    Lever,
    /// Yoke or clamp.
    Yoke,
    /// Cap or cover.
    Cap,
    Body,
    /// Anything else.
    #[default]
    Other,
}

#[derive(Debug, Deserialize)]
struct KindRow {
    spelling: String,
    kind: PartKind,
    soft: String,
}

static ROWS: LazyLock<Vec<KindRow>> = LazyLock::new(|| shipped_rows!("notes/part_kinds.csv"));

/// Says which lengths a kind of part is asked for by.
#[derive(Debug, Deserialize)]
struct KindLength {
    kind: String,
    length: String,
    wanted: String,
}

static KIND_LENGTHS: LazyLock<Vec<KindLength>> =
    LazyLock::new(|| shipped_rows!("notes/kind_dimensions.csv"));

impl PartKind {
    /// Lists the lengths that a part of the kind needs.
    pub fn needed_lengths(self) -> impl Iterator<Item = LengthName> {
        KIND_LENGTHS
            .iter()
            .filter(move |row| Self::from_words(&row.kind) == Some(self) && row.wanted == "needed")
            .filter_map(|row| LengthName::from_word(&row.length))
    }

    /// Finds the kind of a word or of two words, whatever their case: `o-ring`, `back-up ring`, `circlip`.
    pub fn from_words(words: &str) -> Option<Self> {
        let lower = words.trim().to_lowercase();
        ROWS.iter()
            .find(|row| row.spelling == lower)
            .map(|row| row.kind)
    }

    /// Lists the spellings that are read, in the order of the table.
    pub fn spellings() -> impl Iterator<Item = (&'static str, Self)> {
        ROWS.iter().map(|row| (row.spelling.as_str(), row.kind))
    }

    /// Returns the word in which the kind is shown: the first of its spellings.
    pub fn word(self) -> &'static str {
        ROWS.iter()
            .find(|row| row.kind == self)
            .map_or("other", |row| row.spelling.as_str())
    }

    /// Tells whether parts of this kind wear or age, so that a rebuild changes or inspects them.
    pub fn is_soft(self) -> bool {
        ROWS.iter()
            .find(|row| row.kind == self)
            .is_some_and(|row| row.soft == "soft")
    }

    /// Tells whether lengths given for the part are readings of a ring.
    pub const fn is_ring(self) -> bool {
        matches!(
            self,
            Self::Ring | Self::BackupRing | Self::QuadRing | Self::SquareRing
        )
    }

    /// Tells whether a part seals, and so is of rubber or plastic.
    pub const fn is_seal(self) -> bool {
        self.is_ring() || matches!(self, Self::Seat | Self::Diaphragm | Self::Gasket)
    }
}

impl std::fmt::Display for PartKind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.word())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_and_length_of_the_table_is_known() {
        for row in KIND_LENGTHS.iter() {
            assert!(PartKind::from_words(&row.kind).is_some(), "{row:?}");
            assert!(LengthName::from_word(&row.length).is_some(), "{row:?}");
            assert!(
                matches!(row.wanted.as_str(), "needed" | "useful"),
                "{row:?}"
            );
        }
    }

    #[test]
    fn no_spelling_is_listed_twice_and_every_kind_is_soft_or_hard_throughout() {
        for (at, row) in ROWS.iter().enumerate() {
            assert!(matches!(row.soft.as_str(), "soft" | "hard"), "{row:?}");
            assert_eq!(row.spelling, row.spelling.to_lowercase());
            assert_eq!(row.soft == "soft", row.kind.is_soft(), "{row:?}");
            assert!(
                !ROWS[..at].iter().any(|r| r.spelling == row.spelling),
                "{row:?}"
            );
        }
    }

    #[test]
    fn the_soft_parts_of_an_old_first_stage_are_soft() {
        // Common practice, no source: clip, filter, seat and three rings are changed in an old two-moving-part first stage.
        for word in ["clip", "filter", "seat", "o-ring"] {
            assert!(
                PartKind::from_words(word).is_some_and(PartKind::is_soft),
                "{word}"
            );
        }
        assert_eq!(PartKind::from_words("Retaining Nut"), None);
        assert!(!PartKind::Nut.is_soft());
    }
}
