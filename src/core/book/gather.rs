//! Which parts of several units are the same part of the model.

use super::name::name_key;
use super::unit_record::UnitRecord;
use crate::core::note::{Entry, PartKind};

/// The parts of several units that came from one place of the model; each unit has one at most.
#[derive(Debug, Clone)]
pub struct Gathered<'u> {
    pub kind: PartKind,
    /// The part of each unit, in the order of the units.
    pub members: Vec<Member<'u>>,
    /// Whether a unit has several parts here that the notes tell apart by their order alone.
    pub by_order: bool,
}

/// The part of one unit.
#[derive(Debug, Clone, Copy)]
pub struct Member<'u> {
    /// The unit's place in the list of units.
    pub unit: usize,
    pub entry: &'u Entry,
}

/// Words before a position that do not change where it is; "over" and "under" do.
const LEADING: [&str; 5] = ["at", "on", "in", "of", "from"];

/// Names a place as it is compared between units.
#[derive(Debug, Clone, PartialEq, Eq)]
struct PlaceKey {
    section: String,
    kind: PartKind,
    position: String,
    /// The name, for parts whose kind says nothing.
    name: String,
}

impl PlaceKey {
    fn of(entry: &Entry) -> Self {
        let place = entry.place();
        let name = if place.kind == PartKind::Other {
            name_key(&entry.name)
        } else {
            String::new()
        };
        Self {
            section: name_key(&place.section),
            kind: place.kind,
            position: plain_position(&place.position),
            name,
        }
    }
}

/// Returns a position in plain words without the preposition that leads it.
///
/// ```
/// use ringwright::core::book::plain_position;
/// assert_eq!(plain_position("at Filter-Seat"), plain_position("filter seat"));
/// assert_ne!(plain_position("over stem"), plain_position("under stem"));
/// ```
pub fn plain_position(position: &str) -> String {
    let key = if position.trim().is_empty() {
        String::new()
    } else {
        name_key(position)
    };
    let words: Vec<&str> = key
        .split(' ')
        .skip_while(|word| LEADING.contains(word))
        .collect();
    words.join(" ")
}

/// Gathers the parts of all units by section, kind and position, in the order in which they come off.
///
/// Where a unit has several alike in one place, they are told apart by their names, and those with one name by their
/// order; [`Gathered::by_order`] says so.
pub fn gather(units: &[UnitRecord]) -> Vec<Gathered<'_>> {
    let mut keys: Vec<(PlaceKey, Vec<Member<'_>>)> = Vec::new();
    for (unit, record) in units.iter().enumerate() {
        for entry in &record.parts {
            let key = PlaceKey::of(entry);
            let member = Member { unit, entry };
            match keys.iter_mut().find(|(known, _)| *known == key) {
                Some((_, members)) => members.push(member),
                None => keys.push((key, vec![member])),
            }
        }
    }
    let sections = section_order(&keys);
    let mut gathered: Vec<(usize, u32, Gathered<'_>)> = Vec::new();
    for (key, members) in keys {
        let section = sections.iter().position(|s| *s == key.section).unwrap_or(0);
        for slot in part_slots(key.kind, &members) {
            let order = slot.members.first().map_or(0, |m| m.entry.order);
            gathered.push((section, order, slot));
        }
    }
    gathered.sort_by_key(|(section, order, _)| (*section, *order));
    gathered.into_iter().map(|(_, _, slot)| slot).collect()
}

/// Lists the sections in the order in which the first unit that has them comes to them.
fn section_order(keys: &[(PlaceKey, Vec<Member<'_>>)]) -> Vec<String> {
    let mut sections = Vec::new();
    for (key, _) in keys {
        if !sections.contains(&key.section) {
            sections.push(key.section.clone());
        }
    }
    sections
}

/// Parts the members of one place into slots that hold one part of each unit at most.
fn part_slots<'u>(kind: PartKind, members: &[Member<'u>]) -> Vec<Gathered<'u>> {
    let of_unit = |unit: usize| members.iter().filter(move |m| m.unit == unit);
    let mut units: Vec<usize> = members.iter().map(|m| m.unit).collect();
    units.dedup();
    let most = units
        .iter()
        .copied()
        .max_by_key(|unit| (of_unit(*unit).count(), std::cmp::Reverse(*unit)));
    let Some(template) = most else {
        return Vec::new();
    };
    let names: Vec<String> = of_unit(template)
        .map(|m| name_key(&m.entry.own_name()))
        .collect();
    let ambiguous = |name: &String| names.iter().filter(|n| *n == name).count() > 1;
    let mut slots: Vec<Gathered<'_>> = names
        .iter()
        .map(|name| Gathered {
            kind,
            members: Vec::new(),
            by_order: names.len() > 1 && ambiguous(name),
        })
        .collect();
    for unit in units {
        let mut waiting = Vec::new();
        for member in of_unit(unit) {
            let name = name_key(&member.entry.own_name());
            let free =
                (0..slots.len()).find(|slot| names[*slot] == name && !slots[*slot].has(unit));
            match free {
                Some(slot) => slots[slot].members.push(*member),
                None => waiting.push(*member),
            }
        }
        for member in waiting {
            if let Some(slot) = slots.iter_mut().find(|slot| !slot.has(unit)) {
                slot.by_order |= names.len() > 1;
                slot.members.push(member);
            }
        }
    }
    slots
}

impl Gathered<'_> {
    fn has(&self, unit: usize) -> bool {
        self.members.iter().any(|m| m.unit == unit)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn unit(parts: &[(&str, &str, PartKind, &str)]) -> UnitRecord {
        let parts = (1_u32..)
            .zip(parts)
            .map(|(order, (section, position, kind, name))| Entry {
                order,
                section: (*section).to_owned(),
                position: (*position).to_owned(),
                kind: *kind,
                name: (*name).to_owned(),
                quantity: 1,
                ..Entry::default()
            })
            .collect();
        UnitRecord {
            parts,
            ..UnitRecord::default()
        }
    }

    use PartKind::{Filter, Nut, Other, Ring};

    #[test]
    fn parts_of_one_place_meet_however_it_is_written() {
        let units = [
            unit(&[
                ("inlet", "at filter seat", Ring, "o-ring"),
                ("inlet", "", Filter, "filter"),
            ]),
            unit(&[
                ("Inlet", "", Filter, "filter disc"),
                ("INLET", "Filter-Seat", Ring, "ring"),
            ]),
        ];
        let gathered = gather(&units);
        let shape: Vec<(PartKind, usize)> =
            gathered.iter().map(|g| (g.kind, g.members.len())).collect();
        assert_eq!(shape, [(Ring, 2), (Filter, 2)]);
        assert!(gathered.iter().all(|g| !g.by_order));
    }

    #[test]
    fn several_parts_in_one_place_are_told_apart_by_name_then_by_order() {
        let units = [
            unit(&[
                ("body", "", Nut, "yoke nut"),
                ("body", "", Nut, "lock nut"),
                ("body", "", Ring, "o-ring"),
                ("body", "", Ring, "o-ring"),
            ]),
            unit(&[
                ("body", "", Nut, "lock nut"),
                ("body", "", Ring, "o-ring"),
                ("body", "", Ring, "o-ring"),
            ]),
        ];
        let gathered = gather(&units);
        let shape: Vec<(&str, usize, bool)> = gathered
            .iter()
            .map(|g| {
                let name = g.members[0].entry.name.as_str();
                (name, g.members.len(), g.by_order)
            })
            .collect();
        assert_eq!(
            shape,
            [
                ("yoke nut", 1, false),
                ("lock nut", 2, false),
                ("o-ring", 2, true),
                ("o-ring", 2, true)
            ]
        );
    }

    #[test]
    fn parts_of_no_kind_meet_by_name_alone() {
        let units = [
            unit(&[("body", "", Other, "wire gauze")]),
            unit(&[
                ("body", "", Other, "bell mouth"),
                ("body", "", Other, "Wire-Gauze"),
            ]),
        ];
        let gathered = gather(&units);
        assert_eq!(gathered.len(), 2);
        assert_eq!(gathered[0].members.len(), 2);
    }

    #[test]
    fn no_part_is_lost_or_counted_twice() {
        let units = [
            unit(&[
                ("a", "", Ring, "o-ring"),
                ("a", "", Ring, "ring"),
                ("a", "", Ring, "ring"),
            ]),
            unit(&[
                ("a", "", Ring, "ring"),
                ("a", "", Ring, "o-ring"),
                ("b", "", Ring, "ring"),
            ]),
            unit(&[("a", "", Ring, "seal")]),
        ];
        let gathered = gather(&units);
        let total: usize = gathered.iter().map(|g| g.members.len()).sum();
        assert_eq!(total, 7);
        for slot in &gathered {
            let mut members: Vec<usize> = slot.members.iter().map(|m| m.unit).collect();
            let before = members.len();
            members.dedup();
            assert_eq!(members.len(), before, "a unit stands twice in one slot");
        }
    }
}
