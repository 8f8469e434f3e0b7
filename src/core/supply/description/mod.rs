//! Reads a supplier's description into size, polymer, hardness and pack, and guesses nothing.
//!
//! The reader is a grammar over words of a table. `fold` makes one sign of each spelling; `atom` parts the text into numbers,
//! letters and signs; `lexicon` finds the words (`data/supply/description_words.csv`, in many languages: to teach the reader a
//! word, add a row); `item` holds what stands where. Then each part of the grammar takes what is its own, in this order: `kind`,
//! `code` (families), `pack`, `material`, `quantity` (numbers that are no size), `code` (dash numbers), `dimension` with `label`
//! and `size`. What two parts say of one ring is compared at the end.

mod atom;
mod code;
mod dimension;
mod figure;
mod fold;
mod item;
mod kind;
mod label;
mod lexicon;
mod material;
mod pack;
mod quantity;
mod size;

use super::described::{Described, NamedRing, SizeFlag};
use crate::core::note::PartKind;
use code::{Codes, KnownCodes};
use dimension::Dimensions;
use item::{Item, Items, What};
use kind::Kinds;
use lexicon::Role;
use material::{Materials, only};
use pack::Packs;
use size::Reading;

/// Reads descriptions; codes that were read once are remembered, because lists repeat them.
#[derive(Debug, Default)]
pub struct DescriptionReader {
    codes: KnownCodes,
}

impl DescriptionReader {
    /// Reads one description.
    ///
    /// Codes with their family and dimensions outrank bare numbers. Where numbers can mean several rings, all are given; where a
    /// text lists several sizes, none is. A text that names another kind of part, or no kind and no material beside words that
    /// are not known, names no ring.
    ///
    /// ```
    /// use ringwright::core::supply::DescriptionReader;
    /// let read = DescriptionReader::default().read("O-RING 012 BUNA-N 70D PK/100");
    /// assert_eq!(read.rings[0].code.as_deref(), Some("AS568-012"));
    /// assert_eq!(read.pack, Some(100));
    /// ```
    pub fn read(&mut self, text: &str) -> Described {
        let folded = fold::fold(text);
        let mut items = Items::of(&folded);
        let mut kinds = Kinds::read(&mut items);
        let mut codes = Codes::new(&mut self.codes);
        let (mut materials, mut packs) = (Materials::default(), Packs::default());
        codes.read_families(&mut items, &mut materials);
        if codes.names_ring && kinds.kind == Some(PartKind::Gasket) {
            // Military sheets call the rings of bosses gaskets.
            kinds.kind = Some(PartKind::Ring);
        }
        packs.read(&mut items);
        materials.read(&mut items);
        quantity::mark(&mut items);
        kinds.not_a_ring |= packs.is_set;
        if !kinds.place {
            codes.read_dashed(&mut items);
        }
        let dimensions = Dimensions::read(&mut items);
        kinds.not_a_ring |= dimensions.cord_alone && kinds.kind.is_none();
        if !kinds.place {
            codes.read_bare(&mut items);
        }
        let mut found = Described {
            kind: kinds.kind,
            polymer: materials.polymer(),
            hardness: materials.hardness(),
            pack: only(&packs.counts),
            discontinued: kinds.discontinued.clone(),
            ..Described::default()
        };
        let family = codes.family;
        let sizes = Sizes {
            plain: codes.plain,
            bare: codes.bare,
            dimensions,
            lengths: codes.lengths,
        };
        // A seal of copper or nylon is no ring of round section unless a word says so.
        let foreign = materials.foreign && kinds.kind.is_none();
        if kinds.may_be_ring() && !foreign {
            let material = materials.named || !materials.hardnesses.is_empty();
            let bare = kinds.kind.is_some() || family || material;
            let named = bare && (kinds.kind.is_some() || family || !has_other_words(&items));
            let plain = named || kinds.perhaps_ring || is_size_alone(&items);
            sizes.settle(&mut found, plain, bare);
        } else {
            found.lengths = sizes.lengths(kinds.kind.is_none_or(is_sealing_ring));
        }
        if kinds.not_a_ring && found.kind.is_none_or(|kind| kind == PartKind::Ring) {
            found.kind = Some(PartKind::Other);
        }
        found.unread = unread(&items);
        found
    }
}

/// Tells whether a part is a sealing ring of any section: its two dimensions are those of a ring.
fn is_sealing_ring(kind: PartKind) -> bool {
    matches!(
        kind,
        PartKind::Ring | PartKind::QuadRing | PartKind::SquareRing
    )
}

/// Sizes that a text gives.
struct Sizes {
    plain: Vec<NamedRing>,
    bare: Vec<NamedRing>,
    dimensions: Dimensions,
    lengths: Vec<crate::core::quantity::Length>,
}

impl Sizes {
    /// The lengths of a part that is no round ring: those with a unit, or those of a ring of another section or a cord.
    fn lengths(self, ring: bool) -> Vec<crate::core::quantity::Length> {
        let lengths = self.dimensions.lengths;
        match self.dimensions.groups.as_slice() {
            [readings] if ring && lengths.is_empty() => match readings.as_slice() {
                [one] => vec![one.written.id, one.written.section],
                _ => lengths,
            },
            _ => lengths,
        }
    }

    /// Compares codes and dimensions. `plain` and `bare` tell whether the words beside them let such sizes name a ring.
    fn settle(mut self, found: &mut Described, plain: bool, bare: bool) {
        found.lengths.append(&mut self.lengths);
        if !plain {
            self.plain.clear();
            self.dimensions.groups.clear();
        }
        let mut codes = distinct(self.plain);
        let mut groups = self.dimensions.groups;
        if codes.is_empty() && bare {
            codes = distinct(self.bare);
            codes.retain(|ring| {
                let mut readings = groups.iter().flatten();
                groups.is_empty() || readings.any(|reading| reading.ring.is_same(ring))
            });
        }
        if !codes.is_empty() && groups.is_empty() && !self.dimensions.beside_code.is_empty() {
            groups.push(self.dimensions.beside_code);
        }
        match codes.as_slice() {
            _ if codes.len() > 1 => found.flags.push(SizeFlag::SeveralSizes),
            [code] => with_code(found, code, groups),
            _ => without_code(found, groups),
        }
        if !found.rings.is_empty() {
            found.kind = Some(PartKind::Ring);
        }
    }
}

/// A code, and dimensions that are its own or contradict it.
fn with_code(found: &mut Described, code: &NamedRing, groups: Vec<Vec<Reading>>) {
    found.rings.push(code.clone());
    for readings in groups {
        if let Some(same) = readings.iter().find(|reading| reading.ring.is_same(code)) {
            found.flags.extend(same.flag);
        } else {
            found.flags.push(SizeFlag::Contradiction);
            let other = readings.into_iter().map(|reading| reading.ring);
            found.rings.extend(other);
        }
    }
    found.rings = distinct(std::mem::take(&mut found.rings));
}

/// Dimensions alone: several groups are one size in two ways of writing, or several sizes.
fn without_code(found: &mut Described, mut groups: Vec<Vec<Reading>>) {
    let Some(mut readings) = groups.pop() else {
        return;
    };
    for others in groups {
        readings.retain(|one| others.iter().any(|other| other.ring.is_same(&one.ring)));
        if readings.is_empty() {
            found.flags.push(SizeFlag::SeveralSizes);
            return;
        }
    }
    for reading in readings {
        found.flags.extend(reading.flag);
        found.rings.push(reading.ring);
    }
}

/// The rings without those that are the same.
fn distinct(rings: Vec<NamedRing>) -> Vec<NamedRing> {
    let mut unique: Vec<NamedRing> = Vec::new();
    for ring in rings {
        if !unique.iter().any(|known| known.is_same(&ring)) {
            unique.push(ring);
        }
    }
    unique
}

/// Tells whether a text is a size and nothing else that would have to be known.
fn is_size_alone(items: &Items<'_>) -> bool {
    items.list.iter().all(|item| match item.what {
        What::Letters => item.taken,
        What::Word(meaning) => {
            item.taken
                || matches!(
                    meaning.role,
                    Role::UnitMm
                        | Role::UnitIn
                        | Role::Times
                        | Role::Inside
                        | Role::Outside
                        | Role::Section
                        | Role::Diameter
                        | Role::PassOver
                        | Role::SizeLabel
                        | Role::Standard
                )
        }
        What::Number => !item.no_size || item.taken,
        What::Sign(_) => true,
    })
}

/// Tells whether a text has words that are not known: "NBR foam 20x3" names something else than a ring.
fn has_other_words(items: &Items<'_>) -> bool {
    const SHORT: usize = 3;
    let word = |item: &Item<'_>| {
        item.what == What::Letters && !item.taken && item.text.chars().count() > SHORT
    };
    items.list.iter().any(word)
}

/// Words and numbers that nothing took.
fn unread(items: &Items<'_>) -> Vec<String> {
    let loose = |item: &&Item<'_>| !item.taken && matches!(item.what, What::Letters | What::Number);
    items
        .list
        .iter()
        .filter(loose)
        .map(|item| item.text.to_owned())
        .collect()
}
