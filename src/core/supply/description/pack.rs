//! How many pieces a pack has: "PK/100", "10er-Pack", "sachet de 50", "100 Stk".

use super::item::{Item, Items};
use super::lexicon::Role;

/// Gathers the counts that a text names.
#[derive(Debug, Default)]
pub(super) struct Packs {
    pub(super) counts: Vec<u32>,
    /// A word for several parts stands without a number: a kit.
    pub(super) is_set: bool,
}

impl Packs {
    pub(super) fn read(&mut self, items: &mut Items<'_>) {
        for at in 0..items.list.len() {
            if items.list[at].taken {
                continue;
            }
            match items.role(at) {
                Some(Role::Each) => {
                    let glued = items
                        .is_glued(at)
                        .then(|| count_at(items, at.checked_sub(1)))
                        .flatten();
                    self.push(items, at..at + 1, glued.unwrap_or(1));
                }
                Some(Role::Pack | Role::Set) => self.pack(items, at),
                Some(Role::Pieces) => self.pieces(items, at),
                _ => {}
            }
        }
    }

    fn push(&mut self, items: &mut Items<'_>, places: std::ops::Range<usize>, count: u32) {
        items.take(places);
        self.counts.push(count);
    }

    /// A pack has its number behind it, "pack of 100", or before it, "10 per pack".
    fn pack(&mut self, items: &mut Items<'_>, at: usize) {
        let mut next = items.skip(at + 1, &['/', ':', '=', '-', '.', '(']);
        let of = matches!(
            items.role(next),
            Some(Role::Of | Role::OutsideBesideInside | Role::Inside)
        );
        next += usize::from(of && items.is(next, |i| i.text.len() <= 4));
        if let Some(count) = count_at(items, Some(next)) {
            return self.push(items, at..next + 1, count);
        }
        match number_before(items, at) {
            Some((place, count)) => self.push(items, place..at + 1, count),
            None => self.is_set |= items.role(at) == Some(Role::Set),
        }
    }

    fn pieces(&mut self, items: &mut Items<'_>, at: usize) {
        if let Some((place, count)) = number_before(items, at) {
            return self.push(items, place..at + 1, count);
        }
        // "шт. 10", "ks 10": a count that may be one of the order.
        let next = items.skip(at + 1, &['.', ':']);
        if count_at(items, Some(next)).is_some() {
            items.take(at..next + 1);
            return;
        }
        // "10 x 100 pcs": a count, and no dimension.
        let linked = items.before(at).filter(|i| !i.taken).and_then(Item::count);
        if let Some(count) = linked.filter(|_| at > 1 && items.list[at - 2].is_times()) {
            self.push(items, at - 1..at + 1, count);
        }
    }
}

fn number_before(items: &Items<'_>, at: usize) -> Option<(usize, u32)> {
    let mut place = at.checked_sub(1)?;
    let joins = |item: &Item<'_>| {
        matches!(item.what, super::item::What::Sign('/' | '-'))
            || item.role() == Some(Role::For)
            || item.text == "IN"
    };
    if joins(&items.list[place]) {
        place = place.checked_sub(1)?;
    }
    Some((place, count_at(items, Some(place))?))
}

fn count_at(items: &Items<'_>, place: Option<usize>) -> Option<u32> {
    let place = place?;
    let item = items.get(place).filter(|item| !item.taken)?;
    // "NBR 70 pcs": the number is a hardness.
    let behind_material = place
        .checked_sub(1)
        .is_some_and(|before| items.role(before) == Some(Role::Material));
    let hardness = |count: &u32| behind_material && (30..=98).contains(count);
    item.count()
        .filter(|count| !items.is_dimension(place) && !hardness(count))
}
