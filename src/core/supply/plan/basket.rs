//! Whole orders: what is bought for every line, and how one order is made a cheaper one.
//!
//! Nothing here proves anything. A good order known early lets the search pass over most sets of suppliers, and is what remains
//! where the search must stop.

use super::super::market::{Bought, Market, MarketOffer};
use super::account::{Mask, places};
use super::line::{Line, OUT_OF_REACH, Purchase, Source, WHOLE};
use super::step::Patience;
use std::collections::HashMap;

/// An order: packs by line.
#[derive(Debug, Clone)]
pub(super) struct Basket {
    /// What it costs with carriage.
    pub(super) total: i64,
    /// Packs of each line, one entry an offer.
    pub(super) rows: Vec<Vec<Bought>>,
}

impl Basket {
    /// Makes an order of purchases, those of one offer put together.
    pub(super) fn of(market: &Market, purchases: &[Vec<Bought>]) -> Self {
        let together = |bought: &Vec<Bought>| {
            let mut row: Vec<Bought> = Vec::new();
            for one in bought {
                match row.iter_mut().find(|known| known.offer == one.offer) {
                    Some(known) => known.packs = known.packs.saturating_add(one.packs),
                    None => row.push(*one),
                }
            }
            row.sort_by_key(|one| one.offer);
            row
        };
        let rows: Vec<Vec<Bought>> = purchases.iter().map(together).collect();
        Self {
            total: market.charged(&goods_of(market, &rows)),
            rows,
        }
    }
}

/// The value of the goods of an order at each supplier.
pub(super) fn goods_of(market: &Market, rows: &[Vec<Bought>]) -> Vec<i64> {
    let mut goods = vec![0; market.suppliers.len()];
    for one in rows.iter().flatten() {
        let offer = &market.offers[one.offer];
        goods[offer.supplier] = i64::saturating_add(goods[offer.supplier], offer.cost(one.packs));
    }
    goods
}

/// Makes orders from sets of suppliers, and betters them.
pub(super) struct Shopper<'m> {
    market: &'m Market,
    lines: &'m [Line<'m>],
    known: HashMap<(usize, Mask), Purchase>,
}

impl<'m> Shopper<'m> {
    /// Makes a shopper for the lines of a market.
    pub(super) fn new(market: &'m Market, lines: &'m [Line<'m>]) -> Self {
        Self {
            market,
            lines,
            known: HashMap::new(),
        }
    }

    fn purchase(&mut self, row: usize, set: Mask) -> &Purchase {
        let line = &self.lines[row];
        let set = set & line.sellers;
        self.known
            .entry((row, set))
            .or_insert_with(|| line.cheapest(&line.plain_sources(set), line.need))
    }

    /// The least cost of all lines from a set, in 64ths and without carriage.
    pub(super) fn least(&mut self, set: Mask) -> i64 {
        let costs = (0..self.lines.len()).map(|row| self.purchase(row, set).cost);
        costs.fold(0, |sum: i64, cost| {
            sum.saturating_add(cost).min(OUT_OF_REACH)
        })
    }

    /// Buys each line for itself from a set; `None` where the set does not sell every line.
    pub(super) fn plain(&mut self, set: Mask) -> Option<Basket> {
        let mut purchases = Vec::with_capacity(self.lines.len());
        for row in 0..self.lines.len() {
            let purchase = self.purchase(row, set);
            if purchase.cost >= OUT_OF_REACH {
                return None;
            }
            purchases.push(purchase.bought.iter().map(|(_, bought)| *bought).collect());
        }
        Some(Basket::of(self.market, &purchases))
    }

    /// The cheapest of an order and those that are reached from these sets.
    pub(super) fn bettered(
        &mut self,
        order: Basket,
        starts: &[Mask],
        patience: &mut Patience<'_>,
    ) -> Basket {
        let mut best = order;
        for set in starts {
            let found = self.descent(*set, patience);
            let found = found.map(|found| self.exchanged(found, patience));
            best = found
                .filter(|found| found.total < best.total)
                .unwrap_or(best);
        }
        best
    }

    /// Takes suppliers out, in, and one for another, as long as that makes the order cheaper.
    pub(super) fn descent(&mut self, set: Mask, patience: &mut Patience<'_>) -> Option<Basket> {
        let all = (0..self.market.suppliers.len()).fold(0, |mask: Mask, s| mask | (1 << s));
        let mut set = set;
        let mut best = self.plain(set);
        loop {
            let single = places(all).map(|s| set ^ (1 << s));
            let pairs = places(set).flat_map(|out| places(all & !set).map(move |new| (out, new)));
            let swaps = pairs.map(|(out, new)| set ^ (1 << out) ^ (1 << new));
            let mut next: Option<(Basket, Mask)> = None;
            for other in single.chain(swaps).collect::<Vec<_>>() {
                if patience.is_spent() {
                    break;
                }
                let found = self.plain(other).map(|found| (found, other));
                let known = next.as_ref().map(|(known, _)| known).or(best.as_ref());
                next = found
                    .filter(|(f, _)| known.is_none_or(|k| f.total < k.total))
                    .or(next);
            }
            match next {
                Some((found, other)) => {
                    best = Some(found);
                    set = other;
                }
                None => return best,
            }
        }
    }

    /// Buys single lines elsewhere, and more where that makes carriage free, as long as the order becomes cheaper.
    pub(super) fn exchanged(&mut self, mut basket: Basket, patience: &mut Patience<'_>) -> Basket {
        loop {
            let before = basket.total;
            for row in 0..self.lines.len() {
                if patience.is_spent() {
                    return basket;
                }
                for bought in self.other_ways(row, &basket) {
                    let mut rows = basket.rows.clone();
                    rows[row] = bought;
                    let other = Basket::of(self.market, &rows);
                    if other.total < basket.total {
                        basket = other;
                    }
                }
            }
            if basket.total >= before {
                return basket;
            }
        }
    }

    /// Other purchases of one line: from each supplier alone, from those of the order at what they would truly add, and with
    /// packs more where carriage becomes free.
    fn other_ways(&self, row: usize, basket: &Basket) -> Vec<Vec<Bought>> {
        let line = &self.lines[row];
        let mut others = basket.rows.clone();
        others[row].clear();
        let goods = goods_of(self.market, &others);
        let adds = |s: usize| {
            let terms = &self.market.suppliers[s];
            let swallowed = goods[s] > 0 && goods[s] < terms.minimum;
            let opened = if goods[s] > 0 {
                0
            } else {
                terms.charge(1).saturating_sub(1)
            };
            Source {
                share: if swallowed { 0 } else { WHOLE },
                fixed: opened.min(OUT_OF_REACH / WHOLE).saturating_mul(WHOLE),
                ..Source::plain(s)
            }
        };
        let alone = places(line.sellers).map(|s| vec![Source::plain(s)]);
        let sets = alone.chain([places(line.sellers).map(adds).collect::<Vec<_>>()]);
        let bought = sets.map(|sources| {
            let found = line.cheapest(&sources, line.need);
            found.bought.into_iter().map(|(_, bought)| bought).collect()
        });
        let mut ways: Vec<Vec<Bought>> = bought.collect();
        let goods = goods_of(self.market, &basket.rows);
        for s in places(line.sellers) {
            ways.extend(self.padded(row, s, goods[s], &basket.rows[row]));
        }
        ways
    }

    /// A line with so many packs more of one offer that carriage of its supplier becomes free.
    fn padded(
        &self,
        row: usize,
        supplier: usize,
        goods: i64,
        bought: &[Bought],
    ) -> Vec<Vec<Bought>> {
        let terms = &self.market.suppliers[supplier];
        let lacking = terms.free_above.map_or(0, |sum| sum - goods);
        if goods == 0 || lacking <= 0 || terms.carriage == 0 {
            return Vec::new();
        }
        let more = |(at, offer): &(usize, &MarketOffer)| {
            let now = bought
                .iter()
                .find(|one| one.offer == *at)
                .map_or(0, |one| one.packs);
            let packs = offer.packs_worth(offer.cost(now).saturating_add(lacking))?;
            let others = bought.iter().filter(|one| one.offer != *at).copied();
            Some(others.chain([Bought { offer: *at, packs }]).collect())
        };
        self.lines[row]
            .offers(supplier)
            .iter()
            .filter_map(more)
            .collect()
    }
}
