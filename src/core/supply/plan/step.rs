//! The amounts of a line that are worth buying at one supplier.

use super::super::market::Bought;
use super::line::Line;
use std::collections::BTreeMap;

/// The most amounts that are kept for a line at a supplier.
const MOST_STEPS: usize = 2000;

/// An amount with what it costs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Step {
    /// Pieces of the need that it covers.
    pub(super) pieces: usize,
    /// What it costs, in minor units.
    pub(super) cost: i64,
    /// The packs, where they are not simply the cheapest for the pieces.
    pub(super) packs: Option<Vec<Bought>>,
}

/// Lists the most pieces at each cost of a curve.
pub(super) fn steps(curve: &[i64]) -> Vec<Step> {
    let rises = |at: &usize| curve.get(at + 1).is_none_or(|next| *next > curve[*at]);
    let step = |pieces: usize| Step {
        pieces,
        cost: curve[pieces],
        packs: None,
    };
    (1..curve.len()).filter(rises).map(step).collect()
}

/// Lists every amount that costs at most `slack` more than the cheapest that covers as many pieces, nothing bought left out;
/// `None` where there are too many.
///
/// Where the goods must reach a sum, the cheapest cover is not always the one that is wanted.
pub(super) fn all_steps(
    line: &Line<'_>,
    supplier: usize,
    curve: &[i64],
    slack: i64,
) -> Option<Vec<Step>> {
    let most = curve[line.need].saturating_add(slack);
    let mut found: BTreeMap<(usize, i64), Vec<Bought>> = BTreeMap::new();
    found.insert((0, 0), Vec::new());
    for (at, offer) in line.offers(supplier) {
        let before = found.clone();
        let last = offer.prices.last().map_or(1, |price| price.from_packs);
        for packs in 1_u32.. {
            let cost = offer.cost(packs);
            if cost > most && packs >= last {
                break;
            }
            let covers = (packs as usize).saturating_mul(offer.pack as usize);
            let bought = Bought { offer: *at, packs };
            for ((pieces, spent), with) in &before {
                let key = ((pieces + covers).min(line.need), spent.saturating_add(cost));
                if key.1 <= most {
                    found
                        .entry(key)
                        .or_insert_with(|| with.iter().copied().chain([bought]).collect());
                }
            }
            if found.len() > MOST_STEPS || packs as usize > MOST_STEPS {
                return None;
            }
        }
    }
    let worth = |((pieces, cost), _): &((usize, i64), Vec<Bought>)| {
        *cost > 0 && *cost <= curve[*pieces].saturating_add(slack)
    };
    let step = |((pieces, cost), packs)| Step {
        pieces,
        cost,
        packs: Some(packs),
    };
    Some(found.into_iter().filter(worth).map(step).collect())
}

/// Asks whether a search may go on, and keeps to the first no.
pub(super) struct Patience<'p> {
    keep_going: &'p mut dyn FnMut() -> bool,
    spent: bool,
}

impl<'p> Patience<'p> {
    /// Makes the patience of one search.
    pub(super) fn new(keep_going: &'p mut dyn FnMut() -> bool) -> Self {
        Self {
            keep_going,
            spent: false,
        }
    }

    /// Tells whether the search must stop.
    pub(super) fn is_spent(&mut self) -> bool {
        self.spent = self.spent || !(self.keep_going)();
        self.spent
    }
}
