//! The cheapest order: which supplier sells what.
//!
//! Good orders are made first ([`basket`]). Then sets of suppliers are searched by a cost that no order from them goes below
//! ([`relaxation`]), lowest first, until that cost reaches the best order known: it is proved to be the cheapest. The planner knows
//! no clock; whoever asks says when it must stop, and what is then lacking to a proof is told as a bound. Money is whole minor
//! units throughout.

mod account;
mod basket;
mod fill;
mod line;
mod relaxation;
mod search;
mod step;
#[cfg(test)]
mod trial;

use super::market::{Bought, Market};
use account::{Choice, Mask, accounts_of, holds, places};
use basket::{Shopper, goods_of};
use line::Line;
use relaxation::Relaxation;
use search::Search;
use step::Patience;

/// More than any order costs, in minor units; sums of two, and 64 times one, stay in range.
pub const NEVER: i64 = i64::MAX >> 9;

/// Suppliers beyond this are not planned over: a set is one bit for each way in which one charges.
pub const MOST_SUPPLIERS: usize = 64;

/// The cheapest order that was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OrderPlan {
    /// What it costs with carriage, in minor units.
    pub total: i64,
    /// A cost that no order goes below; equal to the total where the plan is proved to be the cheapest.
    pub bound: i64,
    pub bought: Vec<Bought>,
    /// Value of the goods at each supplier.
    pub goods: Vec<i64>,
}

impl OrderPlan {
    /// Tells whether the plan is proved to be the cheapest.
    pub fn is_proved(&self) -> bool {
        self.bound == self.total
    }
}

/// Finds the cheapest order that fills every need of a market, searching as long as `keep_going` says so; `None` where a line has
/// no offer or there are more than [`MOST_SUPPLIERS`] suppliers.
///
/// However soon it must stop, every line bought for itself is planned, and the bound is true.
pub fn plan_order(market: &Market, keep_going: &mut dyn FnMut() -> bool) -> Option<OrderPlan> {
    if market.suppliers.len() > MOST_SUPPLIERS {
        return None;
    }
    let mut patience = Patience::new(keep_going);
    let needed = (0..market.needs.len()).filter(|line| market.needs[*line] > 0);
    let lines: Vec<Line<'_>> = needed.map(|line| Line::of(market, line)).collect();
    let sold = lines.iter().fold(0, |mask, line| mask | line.sellers);
    let mut shopper = Shopper::new(market, &lines);
    let starts = starts(&mut shopper, sold);
    let mut best = shopper.plain(sold)?;
    best = shopper.bettered(best, &starts[..1], &mut patience);
    let curves: Vec<Vec<Vec<i64>>> = lines
        .iter()
        .map(|line| (0..market.suppliers.len()).map(|s| line.curve(s)).collect())
        .collect();
    let worth = worth_asking(market, &lines, &curves, sold);
    let accounts = accounts_of(&market.suppliers);
    let open = accounts.iter().enumerate();
    let open = open.filter(|(_, account)| holds(worth, account.supplier));
    let open = open.fold(0, |mask: Mask, (at, _)| mask | (1 << at));
    let mut search = Search {
        market,
        lines: &lines,
        accounts: &accounts,
        curves: &curves,
        relaxation: Relaxation::new(&lines, &accounts),
        shopper,
        best,
    };
    let (root, multipliers) = search.raised(Choice { taken: 0, open }, &mut patience);
    search.relaxation.keep(multipliers);
    search.best = search.shopper.exchanged(search.best, &mut patience);
    search.best = search
        .shopper
        .bettered(search.best, &starts[1..], &mut patience);
    search.polish(&mut patience);
    let bound = search.run(open, root, &mut patience);
    let goods = goods_of(market, &search.best.rows);
    Some(OrderPlan {
        total: search.best.total,
        bound: bound.min(search.best.total),
        bought: search.best.rows.into_iter().flatten().collect(),
        goods,
    })
}

/// The sets of suppliers from which orders are bettered, the cheapest first: all, each alone, and all but each one.
fn starts(shopper: &mut Shopper<'_>, sold: Mask) -> Vec<Mask> {
    let alone_or_left_out = places(sold).flat_map(|s| [1 << s, sold & !(1 << s)]);
    let mut sets: Vec<(i64, Mask)> = alone_or_left_out
        .chain([sold])
        .filter_map(|set| Some((shopper.plain(set)?.total, set)))
        .collect();
    sets.sort_unstable();
    sets.truncate(STARTS);
    sets.into_iter().map(|(_, set)| set).collect()
}

/// The most sets from which orders are bettered.
const STARTS: usize = 16;

/// Leaves out every supplier in whose place another sells all of it as cheap at terms as good.
///
/// Goods bought at both can be bought at the other alone: prices that fall with the packs and a least value only gain by that. It
/// does not hold where carriage becomes free above a sum, and these suppliers stay.
fn worth_asking(market: &Market, lines: &[Line<'_>], curves: &[Vec<Vec<i64>>], sold: Mask) -> Mask {
    let falls = |s: usize| {
        let offers = market.offers.iter().filter(|offer| offer.supplier == s);
        let mut steps = offers.flat_map(|offer| offer.prices.windows(2));
        steps.all(|pair| pair[1].minor <= pair[0].minor)
    };
    let falls: Vec<bool> = (0..market.suppliers.len()).map(falls).collect();
    let beats = |s: usize, t: usize| {
        let (one, two) = (&market.suppliers[s], &market.suppliers[t]);
        let plain = one.free_above.is_none() && two.free_above.is_none() && falls[s] && falls[t];
        let terms = one.carriage <= two.carriage && one.minimum <= two.minimum;
        let covered = |(line, curves): (&Line<'_>, &Vec<Vec<i64>>)| {
            !holds(line.sellers, t) || curves[s].iter().zip(&curves[t]).all(|(a, b)| a <= b)
        };
        plain && terms && lines.iter().zip(curves).all(covered)
    };
    let mut kept = sold;
    for t in places(sold) {
        if places(kept & !(1 << t)).any(|s| beats(s, t)) {
            kept &= !(1 << t);
        }
    }
    kept
}
