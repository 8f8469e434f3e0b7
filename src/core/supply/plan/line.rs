//! What one need costs from several sellers, exactly.
//!
//! Offers are weighed one after the other over the number of pieces, each price step as an unbounded count of packs, so that the
//! work grows with pieces times offers. Costs are counted in 64ths, because the search weighs only a part of a price.

use super::super::market::{Bought, Market, MarketOffer};
use super::account::{Mask, places};

/// The whole of a price; what the search leaves to a minimum is taken off it.
pub(super) const WHOLE: i64 = 64;

/// More than any need costs, in 64ths; sums of two stay in range.
pub(super) const OUT_OF_REACH: i64 = i64::MAX / 4;

/// One need with the offers for it.
#[derive(Debug)]
pub(super) struct Line<'m> {
    /// Pieces.
    pub(super) need: usize,
    /// The suppliers that sell it.
    pub(super) sellers: Mask,
    offers: Vec<Vec<(usize, &'m MarketOffer)>>,
}

/// A seller as a line is weighed with it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Source {
    /// Who is named in the purchase.
    pub(super) seller: usize,
    /// Whose offers they are.
    pub(super) supplier: usize,
    /// How much of a price counts, in 64ths.
    pub(super) share: i64,
    /// What is paid once where anything is bought, in 64ths.
    pub(super) fixed: i64,
}

impl Source {
    /// Makes a supplier whose prices count in full.
    pub(super) fn plain(supplier: usize) -> Self {
        Self {
            seller: supplier,
            supplier,
            share: WHOLE,
            fixed: 0,
        }
    }
}

/// What is bought for one line, and from whom.
#[derive(Debug, Clone, Default)]
pub(super) struct Purchase {
    /// What it costs as it was weighed, in 64ths.
    pub(super) cost: i64,
    /// Packs by seller.
    pub(super) bought: Vec<(usize, Bought)>,
}

impl Purchase {
    /// Who sells anything of it.
    pub(super) fn sellers(&self) -> Mask {
        let sellers = self.bought.iter();
        sellers.fold(0, |mask, (seller, _)| mask | (1 << seller))
    }
}

/// How the packs of one seller led to each number of pieces.
struct Trace {
    opened: Vec<bool>,
    packs: Vec<Vec<u32>>,
}

impl<'m> Line<'m> {
    /// Gathers the offers for a line of a market.
    pub(super) fn of(market: &'m Market, line: usize) -> Self {
        let mut offers = vec![Vec::new(); market.suppliers.len()];
        for (at, offer) in market.offers.iter().enumerate() {
            if offer.line == line {
                offers[offer.supplier].push((at, offer));
            }
        }
        let sold = offers.iter().enumerate().filter(|(_, o)| !o.is_empty());
        Self {
            need: market.needs[line] as usize,
            sellers: sold.fold(0, |mask, (s, _)| mask | (1 << s)),
            offers,
        }
    }

    /// Lists the offers of a supplier, with their places in the market.
    pub(super) fn offers(&self, supplier: usize) -> &[(usize, &'m MarketOffer)] {
        &self.offers[supplier]
    }

    /// Returns the cheapest purchase of so many pieces; its cost is out of reach where nobody sells it.
    pub(super) fn cheapest(&self, sources: &[Source], pieces: usize) -> Purchase {
        let (costs, traces) = self.weigh(sources, pieces);
        let mut left = pieces;
        let mut bought = Vec::new();
        for (source, trace) in sources.iter().zip(&traces).rev() {
            if !trace.opened[left] {
                continue;
            }
            let offers = self.offers[source.supplier].iter().zip(&trace.packs);
            for ((offer, sold), packs) in offers.rev() {
                let packs = packs[left];
                if packs > 0 {
                    bought.push((
                        source.seller,
                        Bought {
                            offer: *offer,
                            packs,
                        },
                    ));
                    left = left.saturating_sub(packs as usize * sold.pack as usize);
                }
            }
        }
        Purchase {
            cost: costs[pieces],
            bought,
        }
    }

    /// Returns the least cost of at least 0, 1, 2 … pieces from one supplier, in minor units.
    pub(super) fn curve(&self, supplier: usize) -> Vec<i64> {
        let source = Source {
            share: 1,
            ..Source::plain(supplier)
        };
        self.weigh(&[source], self.need).0
    }

    fn weigh(&self, sources: &[Source], need: usize) -> (Vec<i64>, Vec<Trace>) {
        let mut costs = vec![OUT_OF_REACH; need + 1];
        costs[0] = 0;
        let mut traces = Vec::with_capacity(sources.len());
        for source in sources {
            let mut layer: Vec<i64> = costs
                .iter()
                .map(|c| c.saturating_add(source.fixed))
                .collect();
            let mut packs = Vec::new();
            for (_, offer) in &self.offers[source.supplier] {
                let (after, counts) = with_offer(&layer, offer, source.share);
                layer = after;
                packs.push(counts);
            }
            let opened: Vec<bool> = layer
                .iter()
                .zip(&costs)
                .map(|(new, old)| new < old)
                .collect();
            for (cost, new) in costs.iter_mut().zip(layer) {
                *cost = new.min(*cost);
            }
            traces.push(Trace { opened, packs });
        }
        (costs, traces)
    }

    /// The suppliers among these that sell the line, with prices in full.
    pub(super) fn plain_sources(&self, suppliers: Mask) -> Vec<Source> {
        places(suppliers & self.sellers)
            .map(Source::plain)
            .collect()
    }
}

/// The least costs with one offer more, and how many of its packs they hold.
fn with_offer(before: &[i64], offer: &MarketOffer, share: i64) -> (Vec<i64>, Vec<u32>) {
    let mut after = before.to_vec();
    let mut packs = vec![0; before.len()];
    let pack = offer.pack.max(1) as usize;
    for (at, price) in offer.prices.iter().enumerate() {
        let each = price.minor.saturating_mul(share);
        let first = if at == 0 { 1 } else { price.from_packs.max(1) };
        let next = offer.prices.get(at + 1);
        // A dearer step ends what the cheaper one before it sells; a cheaper one only makes more of it pointless.
        let last = next.filter(|next| next.minor > price.minor);
        let last = last.map_or(u32::MAX, |next| next.from_packs.saturating_sub(1));
        if first > last {
            continue;
        }
        let mut keep = |pieces: usize, cost: i64, count: u32| {
            if cost < after[pieces] {
                after[pieces] = cost;
                packs[pieces] = count;
            }
        };
        let covered = |count: u32| pack.saturating_mul(count as usize);
        let cost_of = |count: u32| each.saturating_mul(i64::from(count));
        if last < u32::MAX {
            let cover = u32::try_from((before.len() - 1).div_ceil(pack)).unwrap_or(u32::MAX);
            for count in first..=last.min(cover.max(first)) {
                for pieces in 1..before.len() {
                    let rest = before[pieces.saturating_sub(covered(count))];
                    keep(pieces, rest.saturating_add(cost_of(count)), count);
                }
            }
            continue;
        }
        let mut step: Vec<(i64, u32)> = Vec::with_capacity(before.len());
        for pieces in 0..before.len() {
            let begun =
                before[pieces.saturating_sub(covered(first))].saturating_add(cost_of(first));
            let mut best = (begun, first);
            if pieces > 0 {
                let (cost, count) = step[pieces.saturating_sub(pack)];
                if cost.saturating_add(each) < best.0 {
                    best = (cost.saturating_add(each), count + 1);
                }
            }
            keep(pieces, best.0, best.1);
            step.push(best);
        }
    }
    (after, packs)
}
