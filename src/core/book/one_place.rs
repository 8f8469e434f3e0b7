//! Places that may be one, named otherwise by another hand.

use super::gather::plain_position;
use super::name::name_key;
use super::unit_record::UnitRecord;
use crate::core::note::Entry;

/// A place that another unit names otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NearPlace<'u> {
    /// The serial number of that unit.
    pub serial: &'u str,
    pub position: &'u str,
}

/// Names that differ in so many letters may be one, written wrong.
const MOST_LETTERS: usize = 2;

impl Entry {
    /// Tells whether two parts of one kind and section may have sat in one place, named by two hands: one name holds every word of
    /// the other and more ("retainer", "yoke retainer"), or they differ in a letter or two.
    pub fn may_share_place(&self, other: &Self) -> bool {
        let alike = self.kind == other.kind && name_key(&self.section) == name_key(&other.section);
        let (own, others) = (
            plain_position(&self.position),
            plain_position(&other.position),
        );
        let within = |a: &str, b: &str| {
            let mut words = a.split(' ').filter(|word| *word != "the");
            words.all(|word| b.split(' ').any(|w| w == word))
        };
        let some = !(own.is_empty() || others.is_empty());
        let letters = strsim::osa_distance(&own, &others);
        let is_slip = letters <= MOST_LETTERS && own.chars().count() > 2 * MOST_LETTERS;
        let is_near = is_slip || within(&own, &others) || within(&others, &own);
        alike && some && own != others && is_near
    }
}

/// Finds a place of another unit that may be the place of this part, which no unit names alike; `own` are the parts of the same
/// unit: what it has itself at both places are two.
pub fn near_place<'u>(
    units: &'u [UnitRecord],
    entry: &Entry,
    own: &[Entry],
) -> Option<NearPlace<'u>> {
    let all = || {
        let units = units.iter();
        units.flat_map(|unit| unit.parts.iter().map(move |part| (unit, part)))
    };
    let same = |one: &Entry, other: &Entry| {
        one.kind == other.kind
            && name_key(&one.section) == name_key(&other.section)
            && plain_position(&one.position) == plain_position(&other.position)
    };
    if all().any(|(_, other)| same(entry, other)) {
        return None;
    }
    let taken = |other: &Entry| own.iter().any(|part| same(part, other));
    all()
        .find(|(_, other)| entry.may_share_place(other) && !taken(other))
        .map(|(unit, other)| NearPlace {
            serial: &unit.serial,
            position: &other.position,
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::note::PartKind;

    fn ring(position: &str) -> Entry {
        Entry {
            section: "inlet".to_owned(),
            position: position.to_owned(),
            kind: PartKind::Ring,
            ..Entry::default()
        }
    }

    #[test]
    fn a_place_that_another_unit_names_with_a_word_more_is_near() {
        let units = [UnitRecord {
            serial: "U1".to_owned(),
            parts: vec![ring("at yoke retainer"), ring("at piston head")],
            ..UnitRecord::default()
        }];
        let near = |position: &str, own: &[Entry]| {
            near_place(&units, &ring(position), own).map(|near| near.position)
        };
        assert_eq!(near("at the retainer", &[]), Some("at yoke retainer"));
        assert_eq!(near("yoke retainer", &[]), None);
        assert_eq!(near("at piston stem", &[]), None);
        assert_eq!(near("retainer", &[ring("yoke retainer")]), None);
    }
}
