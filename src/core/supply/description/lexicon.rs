//! The words of descriptions in many languages, from one table.
//!
//! A row of `data/supply/description_words.csv` is a word or several, what it does, and what it means. To teach the reader a
//! word, add a row. Signs that join words ("-", "/", ".") and white space make no difference, nor do accents and capitals.

use super::atom::{Atom, AtomKind, atoms};
use super::fold::fold;
use crate::core::data_table::shipped_rows;
use crate::core::elastomer::Polymer;
use crate::core::note::PartKind;
use crate::core::quantity::HardnessScale;
use serde::Deserialize;
use std::collections::HashMap;
use std::sync::LazyLock;

/// Says what a word does in a description.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Role {
    /// It names a ring of round section.
    Ring,
    /// It names seals of many shapes; with a ring's size it is one.
    RingIfSized,
    /// It names a ring where it is the first word.
    RingIfFirst,
    /// The number beside it is the inside diameter.
    Inside,
    /// The number beside it is the outside diameter.
    Outside,
    /// It is a word for the outside only where another tells the inside.
    OutsideBesideInside,
    /// The number beside it is the cross-section.
    Section,
    /// It is the section beside a diameter, and cord by length else.
    Cord,
    /// The part is sold by its length.
    SoldByLength,
    /// It says that a number is a diameter, and not which.
    Diameter,
    /// The sign between two dimensions, as a word.
    Times,
    UnitMm,
    UnitIn,
    /// It names a polymer, or another material.
    Material,
    /// The outside is another material than the core.
    MaterialInJacket,
    /// A class of material beside a JIS code.
    JisClass,
    /// The number beside it counts the pieces in a pack.
    Pack,
    /// It is a pack where a number is beside it, and several sizes else.
    Set,
    /// The number before it counts pieces.
    Pieces,
    /// The part is sold singly.
    Each,
    /// It joins a pack and its number.
    Of,
    /// The part is no longer sold.
    Discontinued,
    /// It names a kind of part.
    Part,
    /// It says that the part is no ring of round section, or not one ring of one size.
    NotARing,
    /// What follows is not the part that is sold.
    For,
    /// The number behind it is a dash number.
    SizeLabel,
    /// The number behind it is no size.
    NotASize,
    /// It names where the part lies.
    Place,
    /// The number behind it is that of a standard.
    Standard,
    /// The number before it is no length.
    OtherUnit,
    /// The number before it is a length in a unit that no ring is written in.
    OtherLength,
    /// The number beside it is a price.
    Currency,
    ScaleA,
    ScaleD,
    ScaleIrhd,
    /// A degree, of hardness behind a hardness.
    Degree,
    /// It says nothing that is kept.
    PassOver,
}

/// What a word means.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Meaning {
    pub(super) role: Role,
    pub(super) polymer: Option<Polymer>,
    pub(super) kind: Option<PartKind>,
    pub(super) hardness: Option<f64>,
}

impl Meaning {
    /// The scale of hardness that it names.
    pub(super) fn scale(self) -> Option<HardnessScale> {
        match self.role {
            Role::ScaleA => Some(HardnessScale::ShoreA),
            Role::ScaleD => Some(HardnessScale::ShoreD),
            Role::ScaleIrhd => Some(HardnessScale::Irhd),
            _ => None,
        }
    }
}

#[derive(Deserialize)]
struct Row {
    word: String,
    role: Role,
    part: Option<String>,
    polymer: Option<Polymer>,
    hardness: Option<f64>,
}

/// The atoms behind the first, and the meaning.
type Tail = (Vec<String>, Meaning);

static WORDS: LazyLock<HashMap<String, Vec<Tail>>> = LazyLock::new(|| {
    let rows: Vec<Row> = shipped_rows!("supply/description_words.csv");
    let mut words: HashMap<String, Vec<Tail>> = HashMap::new();
    for row in rows {
        let kind = row.part.as_deref().and_then(PartKind::from_words);
        add(
            &mut words,
            &row.word,
            Meaning {
                role: row.role,
                polymer: row.polymer,
                kind,
                hardness: row.hardness,
            },
        );
    }
    for (spelling, kind) in PartKind::spellings().filter(|(_, kind)| *kind != PartKind::Ring) {
        add(
            &mut words,
            spelling,
            Meaning {
                role: Role::Part,
                polymer: None,
                kind: Some(kind),
                hardness: None,
            },
        );
    }
    for tails in words.values_mut() {
        tails.sort_by_key(|(rest, _)| std::cmp::Reverse(rest.len()));
    }
    words
});

/// Adds a word; one that stands there already keeps its meaning.
fn add(words: &mut HashMap<String, Vec<Tail>>, word: &str, meaning: Meaning) {
    let folded = fold(word);
    let mut key = atoms(&folded)
        .into_iter()
        .filter(|atom| !joins(atom))
        .map(|atom| atom.text.to_owned());
    let Some(first) = key.next() else { return };
    let rest: Vec<String> = key.collect();
    let tails = words.entry(first).or_default();
    if tails.iter().all(|(known, _)| *known != rest) {
        tails.push((rest, meaning));
    }
}

/// Signs that join the words of one name.
fn joins(atom: &Atom<'_>) -> bool {
    matches!(atom.text, "-" | "/" | "." | "'" | "_")
}

/// Finds the longest word or words with which these atoms begin, and how many atoms they are.
pub(super) fn find(atoms: &[Atom<'_>]) -> Option<(Meaning, usize)> {
    let tails = WORDS.get(atoms.first()?.text)?;
    tails.iter().find_map(|(rest, meaning)| {
        let length = length(rest, atoms)?;
        // "Shore d1 12.4": the letter belongs to the number behind it.
        let glued = atoms
            .get(length)
            .is_some_and(|next| next.kind == AtomKind::Number && !next.spaced);
        (!glued || length == 1 || meaning.scale().is_none()).then_some((*meaning, length))
    })
}

fn length(rest: &[String], atoms: &[Atom<'_>]) -> Option<usize> {
    let mut at = 1;
    for wanted in rest {
        while atoms
            .get(at)
            .is_some_and(|atom| joins(atom) && atom.text != wanted)
        {
            at += 1;
        }
        let atom = atoms.get(at).filter(|atom| atom.text == wanted)?;
        // "70D 1 PC" has no "D1" in it.
        let short = atom.text.len() < 3 || atoms[at - 1].kind == AtomKind::Number;
        if atom.spaced
            && short
            && (atom.kind == AtomKind::Number || atoms[at - 1].kind == AtomKind::Number)
        {
            return None;
        }
        at += 1;
    }
    Some(at)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_has_a_meaning_of_its_kind() {
        let rows: Vec<Row> = shipped_rows!("supply/description_words.csv");
        assert!(rows.len() > 1500);
        for row in rows {
            let part = row.part.as_deref().map(PartKind::from_words);
            assert_eq!(part.is_some(), row.role == Role::Part, "{}", row.word);
            assert_ne!(part, Some(None), "{}", row.word);
            let folded = fold(&row.word);
            assert!(find(&atoms(&folded)).is_some(), "{}", row.word);
        }
    }

    #[test]
    fn a_word_is_found_however_it_is_written() {
        let role = |text: &str| find(&atoms(&fold(text))).map(|(meaning, _)| meaning.role);
        for ring in [
            "O-Ring",
            "o ring",
            "O/RING",
            "O'ring",
            "Oリング",
            "О-ринг",
            "O型圈",
            "junta tórica",
            "JUNTA TORICA",
        ] {
            assert_eq!(role(ring), Some(Role::Ring), "{ring}");
        }
        assert_eq!(role("fuori produzione"), Some(Role::Discontinued));
        assert_eq!(role("no such word"), Some(Role::SizeLabel));
        assert_eq!(role("D 1"), None);
    }
}
