//! The cheapest purchase from a given set of accounts where some of them charge a least value.
//!
//! Without least values each line is bought for itself. With them the lines hang together: what one line costs at a supplier
//! whose least value is not reached costs nothing. The lines are then decided one after the other, and a branch is left when it
//! cannot beat the best purchase known even where a part of the prices below a least value is not counted.

use super::line::WHOLE;
use super::step::Patience;
use super::step::Step;

/// One account's part of a line: the steps that can be taken there.
pub(super) struct Counter {
    pub(super) account: usize,
    /// Where its goods are counted: the place of its least value, or the last place of all.
    pub(super) place: usize,
    pub(super) steps: Vec<Step>,
    /// Whether dearer goods can be wanted, because the goods must reach a sum.
    pub(super) dearer: bool,
}

/// One way to buy a line: what it costs at each account that charges a least value, then at all others together.
#[derive(Debug, Clone)]
pub(super) struct Way {
    goods: Vec<i64>,
    /// Counters and steps taken there.
    pub(super) taken: Vec<(usize, usize)>,
}

/// The most ways that are kept for a line.
const MOST_WAYS: usize = 3000;

/// Lists the ways to buy a need that no other way beats at every account; `None` where there are too many, or no patience.
///
/// `watched` is the number of places before the last.
pub(super) fn ways(
    counters: &[Counter],
    need: usize,
    watched: usize,
    patience: &mut Patience<'_>,
) -> Option<Vec<Way>> {
    let exact = |place: usize| counters.iter().any(|c| c.dearer && c.place == place);
    let exact: Vec<bool> = (0..=watched).map(exact).collect();
    let mut by_pieces: Vec<Vec<Way>> = vec![Vec::new(); need + 1];
    by_pieces[0].push(Way {
        goods: vec![0; watched + 1],
        taken: Vec::new(),
    });
    for (number, counter) in counters.iter().enumerate() {
        let mut after = by_pieces.clone();
        for (at, step) in counter.steps.iter().enumerate() {
            for (pieces, before) in by_pieces.iter().enumerate() {
                let reached = &mut after[(pieces + step.pieces).min(need)];
                reached.extend(before.iter().map(|way| {
                    let mut way = way.clone();
                    way.goods[counter.place] += step.cost;
                    way.taken.push((number, at));
                    way
                }));
            }
            let all: usize = after.iter().map(Vec::len).sum();
            if patience.is_spent() || all > 20 * MOST_WAYS {
                return None;
            }
        }
        for ways in &mut after {
            *ways = unbeaten(std::mem::take(ways), &exact);
            if ways.len() > MOST_WAYS || patience.is_spent() {
                return None;
            }
        }
        by_pieces = after;
    }
    by_pieces.pop()
}

fn unbeaten(mut ways: Vec<Way>, exact: &[bool]) -> Vec<Way> {
    ways.sort_by_key(|way| way.goods.iter().sum::<i64>());
    let mut kept: Vec<Way> = Vec::new();
    for way in ways {
        let beaten = |other: &Way| {
            let pairs = other.goods.iter().zip(&way.goods).zip(exact);
            pairs
                .into_iter()
                .all(|((a, b), exact)| a == b || !exact && a < b)
        };
        if !kept.iter().any(beaten) {
            kept.push(way);
            if kept.len() > MOST_WAYS {
                return kept;
            }
        }
    }
    kept
}

/// What a watched account asks of the goods there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Least {
    /// What is charged at least.
    pub(super) charged: i64,
    /// What the goods must truly reach.
    pub(super) reached: i64,
}

/// Searches the cheapest choice of one way a line.
pub(super) struct Fill<'f> {
    lines: &'f [Vec<Way>],
    least: &'f [Least],
    /// How much of each watched account's prices is taken as swallowed by its least value, in 64ths; any choice gives a bound.
    weights: Vec<Vec<i64>>,
    /// For each choice of weights: the least cost of the lines from each one on.
    rest: Vec<Vec<i64>>,
    chosen: Vec<usize>,
    /// The best choice known, and its cost.
    pub(super) best: Option<Vec<usize>>,
    pub(super) best_cost: i64,
    steps: u64,
}

impl<'f> Fill<'f> {
    /// Makes a search among purchases that cost less than `below`; `weights` are one more choice than none, each one and all.
    pub(super) fn new(
        lines: &'f [Vec<Way>],
        least: &'f [Least],
        weights: Vec<i64>,
        below: i64,
    ) -> Self {
        let watched = least.len();
        let only = |place: usize| {
            (0..watched)
                .map(|p| if p == place { WHOLE } else { 0 })
                .collect()
        };
        let mut all: Vec<Vec<i64>> = (0..=watched).map(only).collect();
        all.extend([vec![WHOLE; watched], weights]);
        let rest = all.iter().map(|weights| rest_of(lines, weights)).collect();
        Self {
            lines,
            least,
            weights: all,
            rest,
            chosen: Vec::new(),
            best: None,
            best_cost: below,
            steps: 0,
        }
    }

    /// A cost that no choice for the lines from `at` on goes below.
    fn bound(&self, at: usize, goods: &[i64]) -> i64 {
        let of = |(weights, rest): (&Vec<i64>, &Vec<i64>)| {
            let so_far = goods.iter().enumerate().map(|(place, value)| {
                let (Some(weight), Some(least)) = (weights.get(place), self.least.get(place))
                else {
                    return value * WHOLE;
                };
                value * (WHOLE - weight) + (*value).max(least.charged) * weight
            });
            so_far.sum::<i64>() + rest[at]
        };
        let most = self.weights.iter().zip(&self.rest).map(of).max();
        most.map_or(0, |bound| (bound + WHOLE - 1).div_euclid(WHOLE))
    }

    /// A cost that no choice goes below.
    pub(super) fn bound_of_all(&self) -> i64 {
        self.bound(0, &vec![0; self.least.len() + 1])
    }

    /// Searches all choices in at most so many steps; false where the search was given up.
    pub(super) fn search(&mut self, most_steps: u64, patience: &mut Patience<'_>) -> bool {
        let mut goods = vec![0; self.least.len() + 1];
        self.descend(0, &mut goods, &mut |steps| {
            steps > most_steps || steps % 64 == 0 && patience.is_spent()
        })
    }

    fn descend(
        &mut self,
        at: usize,
        goods: &mut Vec<i64>,
        stop: &mut dyn FnMut(u64) -> bool,
    ) -> bool {
        self.steps += 1;
        if stop(self.steps) {
            return false;
        }
        if self.bound(at, goods) >= self.best_cost {
            return true;
        }
        let lines = self.lines;
        let Some(ways) = lines.get(at) else {
            if self
                .least
                .iter()
                .zip(goods.iter())
                .all(|(least, value)| *value >= least.reached)
            {
                self.best_cost = self.bound(at, goods);
                self.best = Some(self.chosen.clone());
            }
            return true;
        };
        for (number, way) in ways.iter().enumerate() {
            add(goods, &way.goods, 1);
            self.chosen.push(number);
            let whole = self.descend(at + 1, goods, stop);
            self.chosen.pop();
            add(goods, &way.goods, -1);
            if !whole {
                return false;
            }
        }
        true
    }
}

fn add(goods: &mut [i64], way: &[i64], sign: i64) {
    for (sum, value) in goods.iter_mut().zip(way) {
        *sum += sign * value;
    }
}

fn rest_of(lines: &[Vec<Way>], weights: &[i64]) -> Vec<i64> {
    let mut rest = vec![0; lines.len() + 1];
    for (at, ways) in lines.iter().enumerate().rev() {
        let cost = |way: &Way| -> i64 {
            let paid = way.goods.iter().enumerate();
            paid.map(|(place, value)| value * (WHOLE - weights.get(place).unwrap_or(&0)))
                .sum()
        };
        rest[at] = rest[at + 1] + ways.iter().map(cost).min().unwrap_or(0);
    }
    rest
}
