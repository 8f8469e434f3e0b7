//! What all units together say of one part, before it becomes a line of the list.

use super::gather::Gathered;
use super::model_units::ModelUnits;
use super::part_line::{Conflict, ConflictAbout, PartAction};
use crate::core::note::Fate;
use std::collections::BTreeMap;

/// Returns the greatest count of a part over the units, and says where the units differ.
pub(super) fn quantity(part: &Gathered<'_>, units: &ModelUnits<'_>) -> (u32, Option<Conflict>) {
    let mut counts: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for member in &part.members {
        let alike = counts.entry(member.entry.quantity).or_default();
        alike.push(member.unit);
    }
    let Some((most, with_most)) = counts.last_key_value() else {
        return (1, None);
    };
    let conflict = (counts.len() > 1).then(|| {
        let each = counts.iter();
        let each = each.map(|(count, with)| format!("{count} in {}", units.named(with)));
        let words = format!(
            "the units differ in how many ({}); the greatest count is listed",
            each.collect::<Vec<_>>().join(", ")
        );
        units.conflict(ConflictAbout::Quantity, with_most, words)
    });
    (*most, conflict)
}

/// Returns the most careful of the actions that our notes ask for, and names the units that ask for less. What another shop does with
/// a part of its own unit decides nothing of ours.
pub(super) fn action(
    part: &Gathered<'_>,
    units: &ModelUnits<'_>,
) -> (PartAction, Option<Conflict>) {
    let soft = part.kind.is_soft();
    let stated: Vec<(usize, PartAction)> = part
        .members
        .iter()
        .filter(|m| units.units[m.unit].whose.is_ours() && m.entry.fate != Fate::Unstated)
        .map(|m| (m.unit, PartAction::of(m.entry.fate, soft)))
        .collect();
    let most_careful = stated.iter().map(|(_, action)| *action).min();
    let action = most_careful.unwrap_or_else(|| PartAction::of(Fate::Unstated, soft));
    let less = stated.iter().filter(|(_, other)| *other > action);
    let less: Vec<usize> = less.map(|(unit, _)| *unit).collect();
    let conflict = (!less.is_empty()).then(|| {
        let words = format!(
            "{} asked for less than {:?}; the most careful is listed",
            units.named(&less),
            action.word()
        );
        units.conflict(ConflictAbout::Action, &less, words)
    });
    (action, conflict)
}

/// Names the units that do not have a part which others have.
pub(super) fn missing(part: &Gathered<'_>, units: &ModelUnits<'_>) -> Option<Conflict> {
    let lacking: Vec<usize> = (0..units.units.len())
        .filter(|unit| !part.members.iter().any(|m| m.unit == *unit))
        .collect();
    (!lacking.is_empty()).then(|| {
        let words = format!(
            "not in the note of {}: lost, not written down, or another variant",
            units.named(&lacking)
        );
        units.conflict(ConflictAbout::Missing, &lacking, words)
    })
}
