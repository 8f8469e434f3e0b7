//! Notes to begin from.

use crate::core::gear::GearKind;
use crate::core::word::Word;

/// Names a note to begin from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Template {
    /// A first stage, filled in as an example, with a word of explanation.
    FirstStage,
    /// A second stage, filled in as an example.
    SecondStage,
    /// A regulator of welding or industrial gas, filled in as an example.
    GasRegulator,
    /// A header to fill in and nothing else.
    Blank,
}

impl Word for Template {
    fn words() -> Vec<&'static str> {
        Self::ALL.map(|(_, word)| word).to_vec()
    }

    /// Finds the template of a word, or of a kind of gear in any of its spellings.
    fn of_word(word: &str) -> Option<Self> {
        let lower = word.trim().to_lowercase();
        let named = Self::ALL.iter().find(|(_, w)| *w == lower).map(|(t, _)| *t);
        named.or_else(|| GearKind::from_words(word).ok().map(Self::of))
    }
}

impl Template {
    const ALL: [(Self, &'static str); 4] = [
        (Self::FirstStage, "first-stage"),
        (Self::SecondStage, "second-stage"),
        (Self::GasRegulator, "gas-regulator"),
        (Self::Blank, "blank"),
    ];

    /// Returns the template for a kind of gear: the blank one where none is filled in for it.
    pub const fn of(kind: GearKind) -> Self {
        match kind {
            GearKind::FirstStage => Self::FirstStage,
            GearKind::SecondStage => Self::SecondStage,
            GearKind::GasRegulator => Self::GasRegulator,
            GearKind::Pneumatic | GearKind::Other => Self::Blank,
        }
    }

    /// Returns the text.
    pub const fn text(self) -> &'static str {
        match self {
            Self::FirstStage => include_str!("../../../data/notes/templates/first_stage.note"),
            Self::SecondStage => include_str!("../../../data/notes/templates/second_stage.note"),
            Self::GasRegulator => {
                include_str!("../../../data/notes/templates/gas_regulator.note")
            }
            Self::Blank => include_str!("../../../data/notes/templates/blank.note"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::note::{PartKind, Severity, read_note};

    #[test]
    fn the_filled_templates_are_sound_and_warn_of_nothing() {
        for kind in [
            GearKind::FirstStage,
            GearKind::SecondStage,
            GearKind::GasRegulator,
        ] {
            let reading = read_note(Template::of(kind).text());
            assert_eq!(reading.note.header.gear, Some(kind));
            let told: Vec<&str> = reading
                .diagnostics
                .iter()
                .map(|d| d.message.as_str())
                .collect();
            assert!(told.is_empty(), "{told:?}");
        }
        let blank = read_note(Template::Blank.text());
        assert_eq!(
            blank.count(Severity::Error),
            3,
            "model, unit and kind of gear are to be filled in"
        );
    }

    #[test]
    fn the_first_stage_changes_what_common_practice_changes() {
        // Common practice, no source: clip, filter, seat and three rings; the yoke nut takes a 1 in wrench.
        let reading = read_note(Template::FirstStage.text());
        let mut changed: Vec<PartKind> = reading
            .note
            .entries
            .iter()
            .filter(|e| e.fate == crate::core::note::Fate::Replace)
            .map(|e| e.kind)
            .collect();
        changed.sort_unstable();
        assert_eq!(
            changed,
            [
                PartKind::Ring,
                PartKind::Ring,
                PartKind::Ring,
                PartKind::Seat,
                PartKind::Filter,
                PartKind::Clip
            ]
        );
        assert_eq!(reading.note.entries[0].tool.as_deref(), Some("1 in wrench"));
    }
}
