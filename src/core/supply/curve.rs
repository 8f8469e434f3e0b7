//! What so many pieces of a line cost, at one supplier and at several together.

use super::market::{Bought, Market};

/// More than any order costs, in minor units; sums of two stay in range.
pub const NEVER: i64 = i64::MAX / 4;

/// Holds the least cost of at least 0, 1, 2 … pieces of one line at one supplier.
#[derive(Debug, Clone)]
pub(super) struct Curve {
    pub(super) cost: Vec<i64>,
    offers: Vec<usize>,
}

impl Curve {
    /// Makes the curve of a line at a supplier; `None` where the supplier does not sell it.
    pub(super) fn of(market: &Market, line: usize, supplier: usize) -> Option<Self> {
        let sold = |at: &usize| {
            let offer = &market.offers[*at];
            offer.line == line && offer.supplier == supplier
        };
        let offers: Vec<usize> = (0..market.offers.len()).filter(sold).collect();
        let need = market.needs[line] as usize;
        let stages = stages(market, &offers, need);
        let cost = stages.last().filter(|_| !offers.is_empty())?.clone();
        Some(Self { cost, offers })
    }

    /// Says which packs make up the least cost of so many pieces.
    pub(super) fn bought(&self, market: &Market, pieces: usize) -> Vec<Bought> {
        let stages = stages(market, &self.offers, self.cost.len() - 1);
        let mut found = Vec::new();
        let mut left = pieces;
        for (at, offer) in self.offers.iter().enumerate().rev() {
            let goal = stages[at + 1][left];
            if stages[at][left] == goal {
                continue;
            }
            let sold = &market.offers[*offer];
            let need = u32::try_from(self.cost.len() - 1).unwrap_or(u32::MAX);
            let chosen = sold.counts(need).into_iter().find(|packs| {
                let rest = left.saturating_sub(*packs as usize * sold.pack as usize);
                stages[at][rest] + sold.cost(*packs) == goal
            });
            if let Some(packs) = chosen {
                found.push(Bought {
                    offer: *offer,
                    packs,
                });
                left = left.saturating_sub(packs as usize * sold.pack as usize);
            }
        }
        found
    }
}

/// The least cost of at least q pieces with the first offers only, offer by offer.
fn stages(market: &Market, offers: &[usize], need: usize) -> Vec<Vec<i64>> {
    let mut first = vec![NEVER; need + 1];
    first[0] = 0;
    let mut stages = vec![first];
    let pieces = u32::try_from(need).unwrap_or(u32::MAX);
    for offer in offers.iter().map(|at| &market.offers[*at]) {
        let before = &stages[stages.len() - 1];
        let mut after = before.clone();
        for packs in offer.counts(pieces) {
            let (cost, covers) = (offer.cost(packs), packs as usize * offer.pack as usize);
            for (pieces, best) in after.iter_mut().enumerate().skip(1) {
                *best = (*best).min(before[pieces.saturating_sub(covers)] + cost);
            }
        }
        stages.push(after);
    }
    stages
}

/// Returns the least cost of a need from several suppliers together, with the pieces taken from each.
pub(super) fn together(curves: &[(usize, &Curve)], need: usize) -> (i64, Vec<(usize, usize)>) {
    let mut first = vec![NEVER; need + 1];
    first[0] = 0;
    let mut stages = vec![first];
    for (_, curve) in curves {
        let before = &stages[stages.len() - 1];
        let mut after = before.clone();
        for (pieces, best) in after.iter_mut().enumerate() {
            for taken in 1..=pieces {
                *best = (*best).min(before[pieces - taken] + curve.cost[taken]);
            }
        }
        stages.push(after);
    }
    let total = stages[curves.len()][need];
    let mut left = need;
    let mut split = Vec::new();
    for (at, (supplier, curve)) in curves.iter().enumerate().rev() {
        let goal = stages[at + 1][left];
        if goal >= NEVER || stages[at][left] == goal {
            continue;
        }
        if let Some(taken) = (1..=left).find(|n| stages[at][left - n] + curve.cost[*n] == goal) {
            split.push((*supplier, taken));
            left -= taken;
        }
    }
    (total, split)
}
