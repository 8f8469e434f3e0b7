//! The search over sets of accounts, lowest bound first.

use super::super::market::{Bought, Market};
use super::account::{Account, Choice, Mask, holds, places};
use super::basket::{Basket, Shopper, goods_of};
use super::fill::{Counter, Fill, Least, Way, ways};
use super::line::{Line, Purchase, Source, WHOLE};
use super::relaxation::{Multipliers, Relaxation};
use super::step::Patience;
use super::step::{all_steps, steps};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// A choice that waits. Ordered by how often it was given up, then by its bound.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Node {
    tries: u32,
    least: i64,
    choice: Choice,
}

/// The most nodes that wait; a search that needs more is given up.
const MOST_NODES: usize = 1 << 20;
/// Steps of the first try to fill a set; each further one has eight times as many.
const FIRST_STEPS: u64 = 20_000;
/// Tries after which a set is left with its bound.
const MOST_TRIES: u32 = 12;

/// A search with the best order known.
pub(super) struct Search<'m> {
    pub(super) market: &'m Market,
    pub(super) lines: &'m [Line<'m>],
    pub(super) accounts: &'m [Account],
    /// By line and supplier: the least cost of so many pieces.
    pub(super) curves: &'m [Vec<Vec<i64>>],
    pub(super) relaxation: Relaxation<'m>,
    pub(super) shopper: Shopper<'m>,
    pub(super) best: Basket,
}

/// What became of a set.
enum Filled {
    /// Its cheapest order is known.
    Whole,
    /// The search was given up; the set holds nothing below this cost.
    GivenUp(i64),
    /// Its ways are too many to be listed; it holds nothing below this cost.
    TooMany(i64),
}

impl Search<'_> {
    /// Searches all orders from `open`, of which none costs less than `least`; returns a cost that none goes below.
    pub(super) fn run(&mut self, open: Mask, least: i64, patience: &mut Patience<'_>) -> i64 {
        let mut waiting = BinaryHeap::from([Reverse(Node {
            tries: 0,
            least,
            choice: Choice { taken: 0, open },
        })]);
        let mut bound = i64::MAX;
        while let Some(Reverse(node)) = waiting.pop() {
            if node.least >= self.best.total {
                continue;
            }
            if patience.is_spent() || waiting.len() > MOST_NODES {
                waiting.push(Reverse(node));
                break;
            }
            if node.choice.undecided() != 0 {
                self.part(node, &mut waiting);
                continue;
            }
            match self.fill(node, patience) {
                Filled::Whole => {}
                Filled::GivenUp(least) if node.tries < MOST_TRIES => waiting.push(Reverse(Node {
                    tries: node.tries + 1,
                    least: least.max(node.least),
                    ..node
                })),
                Filled::GivenUp(least) | Filled::TooMany(least) => {
                    bound = bound.min(least.max(node.least));
                }
            }
        }
        let left = waiting.into_iter().map(|Reverse(node)| node.least);
        left.fold(bound, i64::min)
    }

    /// Fills the set of the best order known, as long as that finds a cheaper one.
    pub(super) fn polish(&mut self, patience: &mut Patience<'_>) {
        let mut before = i64::MAX;
        while self.best.total < before {
            before = self.best.total;
            let goods = goods_of(self.market, &self.best.rows);
            let opens = |at: &usize| {
                let account = &self.accounts[*at];
                let sum = self.market.suppliers[account.supplier].free_above;
                let free = account.carriage == 0 && account.floor > 0;
                let reached = sum.is_some_and(|sum| goods[account.supplier] >= sum);
                goods[account.supplier] > 0 && free == (reached && sum.is_some())
            };
            let taken = (0..self.accounts.len()).filter(opens);
            let taken = taken.fold(0, |mask: Mask, at| mask | (1 << at));
            let choice = Choice { taken, open: taken };
            self.fill(
                Node {
                    tries: 0,
                    least: 0,
                    choice,
                },
                patience,
            );
        }
    }

    /// Parts a node by the supplier whose opening its bound counts least.
    fn part(&mut self, node: Node, waiting: &mut BinaryHeap<Reverse<Node>>) {
        let Some(bound) = self.relaxation.bound(node.choice) else {
            return;
        };
        let used = bound.used.iter().fold(0, |mask, used| mask | used);
        let plain = self.shopper.plain(suppliers(self.accounts, used));
        self.hear(plain);
        let undecided = node.choice.undecided();
        let asked = if undecided & used == 0 {
            undecided
        } else {
            undecided & used
        };
        let Some(at) = places(asked).max_by_key(|at| self.relaxation.unborne(*at, &bound.used))
        else {
            return;
        };
        let others = self.accounts.iter().enumerate();
        let others = others.filter(|(other, account)| {
            *other != at && account.supplier == self.accounts[at].supplier
        });
        let siblings = others.fold(0, |mask: Mask, (other, _)| mask | (1 << other));
        let Choice { taken, open } = node.choice;
        let children = [
            (taken | (1 << at), open & !siblings),
            (taken, open & !(1 << at)),
        ];
        for (taken, open) in children {
            let choice = Choice { taken, open };
            let Some(bound) = self.relaxation.bound(choice) else {
                continue;
            };
            let least = bound.least.max(node.least);
            if least < self.best.total {
                let node = Node {
                    tries: 0,
                    least,
                    choice,
                };
                waiting.push(Reverse(node));
            }
        }
    }

    fn hear(&mut self, found: Option<Basket>) {
        if let Some(found) = found.filter(|found| found.total < self.best.total) {
            self.best = found;
        }
    }

    /// Finds the cheapest order that opens exactly these accounts, where it is cheaper than the best known.
    fn fill(&mut self, node: Node, patience: &mut Patience<'_>) -> Filled {
        let set = suppliers(self.accounts, node.choice.taken);
        let Some(plain) = self.shopper.plain(set) else {
            return Filled::Whole;
        };
        let total = plain.total;
        self.hear(Some(plain));
        let carriage = places(node.choice.taken).map(|at| self.accounts[at].carriage);
        let carriage = carriage.fold(0, i64::saturating_add);
        if total <= carriage.saturating_add(self.shopper.least(set) / WHOLE) {
            return Filled::Whole;
        }
        let (least, multipliers) = self.raised(node.choice, patience);
        if least >= self.best.total {
            return Filled::Whole;
        }
        let watched = places(node.choice.taken).filter(|at| self.accounts[*at].minimum > 0);
        let watched: Vec<usize> = watched.collect();
        let frame = Frame {
            choice: node.choice,
            carriage,
            weights: watched.iter().map(|at| multipliers.weights[*at]).collect(),
            watched,
            most_steps: FIRST_STEPS.saturating_mul(8_u64.saturating_pow(node.tries)),
            least,
        };
        // A sum that the goods must reach is at first taken as one that is charged at least.
        match self.filled(&frame, false, patience) {
            (Filled::Whole, true) => self.filled(&frame, true, patience).0,
            (end, _) => end,
        }
    }

    /// Raises the bound of a choice, and hears of the orders that are found by the way.
    pub(super) fn raised(
        &mut self,
        choice: Choice,
        patience: &mut Patience<'_>,
    ) -> (i64, Multipliers) {
        let Self {
            market,
            accounts,
            relaxation,
            shopper,
            best,
            ..
        } = self;
        let mut hear = |bought: &[Purchase]| {
            let packs = |p: &Purchase| p.bought.iter().map(|(_, one)| *one).collect();
            let rows: Vec<Vec<Bought>> = bought.iter().map(packs).collect();
            let sellers = bought.iter().fold(0, |mask, p| mask | p.sellers());
            let set = suppliers(accounts, sellers);
            for found in std::iter::once(Basket::of(market, &rows)).chain(shopper.plain(set)) {
                if found.total < best.total {
                    *best = found;
                }
            }
            best.total
        };
        relaxation.raised(choice, &mut hear, patience)
    }

    /// Fills a set, with sums that must be reached or without; tells too whether the goods stay below such a sum.
    fn filled(
        &mut self,
        frame: &Frame,
        floors: bool,
        patience: &mut Patience<'_>,
    ) -> (Filled, bool) {
        let mut counters = Vec::with_capacity(self.lines.len());
        let mut lines = Vec::with_capacity(self.lines.len());
        for row in 0..self.lines.len() {
            let Some(of_line) = self.counters(row, frame, floors) else {
                return (Filled::TooMany(frame.least), false);
            };
            let Some(ways) = ways(
                &of_line,
                self.lines[row].need,
                frame.watched.len(),
                patience,
            ) else {
                return (Filled::TooMany(frame.least), false);
            };
            counters.push(of_line);
            lines.push(ways);
        }
        let least = |at: &usize| Least {
            charged: self.accounts[*at].minimum,
            reached: if floors { self.accounts[*at].floor } else { 0 },
        };
        let least: Vec<Least> = frame.watched.iter().map(least).collect();
        let below = self.best.total - frame.carriage;
        let mut fill = Fill::new(&lines, &least, frame.weights.clone(), below);
        let bound = frame.carriage + fill.bound_of_all();
        let whole = fill.search(frame.most_steps, patience);
        let lacking = fill.best.take().is_some_and(|chosen| {
            let taken = chosen.iter().zip(&lines).map(|(n, ways)| &ways[*n]);
            let rows = taken.enumerate();
            let rows = rows.map(|(row, way)| self.packs(row, &counters[row], way));
            let basket = Basket::of(self.market, &rows.collect::<Vec<_>>());
            let goods = goods_of(self.market, &basket.rows);
            self.hear(Some(basket));
            let lacks = |at: &usize| goods[self.accounts[*at].supplier] < self.accounts[*at].floor;
            frame.watched.iter().any(lacks)
        });
        if whole {
            (Filled::Whole, lacking)
        } else {
            (Filled::GivenUp(bound.max(frame.least)), lacking)
        }
    }

    /// The accounts of a set that sell a line, with what is worth taking there.
    fn counters(&self, row: usize, frame: &Frame, floors: bool) -> Option<Vec<Counter>> {
        let line = &self.lines[row];
        let sells = |at: &usize| holds(line.sellers, self.accounts[*at].supplier);
        let counter = |at: usize| {
            let account = &self.accounts[at];
            let curve = &self.curves[row][account.supplier];
            let dearer = floors && account.floor > 0;
            let steps = if dearer {
                all_steps(line, account.supplier, curve, account.slack)?
            } else {
                steps(curve)
            };
            let place = frame.watched.iter().position(|watched| *watched == at);
            Some(Counter {
                account: at,
                place: place.unwrap_or(frame.watched.len()),
                steps,
                dearer,
            })
        };
        places(frame.choice.taken)
            .filter(sells)
            .map(counter)
            .collect()
    }

    fn packs(&self, row: usize, counters: &[Counter], way: &Way) -> Vec<Bought> {
        let of = |(counter, step): &(usize, usize)| {
            let counter = &counters[*counter];
            let step = &counter.steps[*step];
            step.packs.clone().unwrap_or_else(|| {
                let from = [Source::plain(self.accounts[counter.account].supplier)];
                let bought = self.lines[row].cheapest(&from, step.pieces).bought;
                bought.into_iter().map(|(_, one)| one).collect()
            })
        };
        way.taken.iter().flat_map(of).collect()
    }
}

/// A set that is filled.
struct Frame {
    choice: Choice,
    carriage: i64,
    /// The accounts that charge a least value.
    watched: Vec<usize>,
    /// How much of their prices is swallowed by it, in 64ths.
    weights: Vec<i64>,
    most_steps: u64,
    /// A cost that no order of the set goes below.
    least: i64,
}

/// The suppliers of accounts.
fn suppliers(accounts: &[Account], set: Mask) -> Mask {
    places(set).fold(0, |mask, at| mask | (1 << accounts[at].supplier))
}
