//! Sizes of rings that notes, bags and drawers state.

use super::gather::Member;
use crate::core::identification::StatedFact;
use crate::core::note::Entry;

/// What one unit's note states of a ring's size.
#[derive(Debug, Clone)]
pub(super) struct StatedRing {
    pub(super) unit: usize,
    pub(super) text: String,
    /// Places in [`SizeTable::rings`](crate::core::sizes::SizeTable::rings) of every listed ring that the text can mean.
    pub(super) rings: Vec<usize>,
}

/// Reads the size that a note states of a ring: every listed ring that it can mean; `None` where it states none.
pub(super) fn stated_ring(entry: &Entry) -> Option<Vec<usize>> {
    Some(rings_meant(&entry.stated_size.as_ref()?.text))
}

/// Returns the places in [`SizeTable::rings`](crate::core::sizes::SizeTable::rings) of every listed ring that a text can mean.
pub(super) fn rings_meant(text: &str) -> Vec<usize> {
    StatedFact::read(text, None).map_or_else(|_| Vec::new(), |stated| stated.rings)
}

/// Reads every stated size; one that cannot be read, or means no listed ring, has no rings.
pub(super) fn stated_rings(members: &[Member<'_>]) -> Vec<StatedRing> {
    members
        .iter()
        .filter_map(|member| {
            let stated = member.entry.stated_size.as_ref()?;
            Some(StatedRing {
                unit: member.unit,
                text: stated.text.clone(),
                rings: stated_ring(member.entry)?,
            })
        })
        .collect()
}

/// Returns the ring that most units state without doubt, with those units; `None` on a tie or where none is stated.
pub(super) fn most_stated(stated: &[StatedRing]) -> Option<(usize, Vec<usize>)> {
    let mut votes: Vec<(usize, Vec<usize>)> = Vec::new();
    for one in stated {
        let [ring] = one.rings.as_slice() else {
            continue;
        };
        match votes.iter_mut().find(|(known, _)| known == ring) {
            Some((_, units)) => units.push(one.unit),
            None => votes.push((*ring, vec![one.unit])),
        }
    }
    votes.sort_by_key(|(ring, units)| (std::cmp::Reverse(units.len()), *ring));
    match votes.as_slice() {
        [] => None,
        [(_, first), (_, second), ..] if first.len() == second.len() => None,
        [first, ..] => Some(first.clone()),
    }
}
