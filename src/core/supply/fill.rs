//! The cheapest purchase from a given set of suppliers where some of them charge a least value.
//!
//! Without least values each line is bought for itself. With them the lines hang together: what one line costs at a supplier
//! whose least value is not reached costs nothing. The lines are then decided one after the other, and a branch is left when
//! even with one or all of those suppliers free of charge for the rest it cannot beat the best purchase known.

use super::curve::{Curve, NEVER};

/// One way to buy a line: what it costs at each supplier that charges a least value, then at all others together.
#[derive(Debug, Clone)]
pub(super) struct Way {
    goods: Vec<i64>,
    pub(super) split: Vec<(usize, usize)>,
}

/// The most ways that are kept for a line, and the most steps of a search; beyond them only a bound is given.
const MOST_WAYS: usize = 3000;
const MOST_STEPS: u64 = 300_000;

/// Lists the ways to buy a need that no other way beats at every supplier; `None` where there are too many.
///
/// `watched` are the suppliers that charge a least value.
pub(super) fn ways(curves: &[(usize, &Curve)], need: usize, watched: &[usize]) -> Option<Vec<Way>> {
    let empty = Way {
        goods: vec![0; watched.len() + 1],
        split: Vec::new(),
    };
    let mut by_pieces: Vec<Vec<Way>> = vec![Vec::new(); need + 1];
    by_pieces[0].push(empty);
    for (supplier, curve) in curves {
        let place = watched
            .iter()
            .position(|w| w == supplier)
            .unwrap_or(watched.len());
        for pieces in (1..=need).rev() {
            let mut found = by_pieces[pieces].clone();
            for taken in 1..=pieces {
                if curve.cost[taken] >= NEVER {
                    continue;
                }
                for before in &by_pieces[pieces - taken] {
                    let mut way = before.clone();
                    way.goods[place] += curve.cost[taken];
                    way.split.push((*supplier, taken));
                    found.push(way);
                }
            }
            by_pieces[pieces] = unbeaten(found);
            if by_pieces[pieces].len() > MOST_WAYS {
                return None;
            }
        }
    }
    let mut ways = by_pieces.pop().unwrap_or_default();
    ways.sort_by_key(|way| way.goods.iter().sum::<i64>());
    Some(ways)
}

fn unbeaten(mut ways: Vec<Way>) -> Vec<Way> {
    ways.sort_by_key(|way| way.goods.iter().sum::<i64>());
    let mut kept: Vec<Way> = Vec::new();
    for way in ways {
        let beaten = |other: &Way| other.goods.iter().zip(&way.goods).all(|(a, b)| a <= b);
        if !kept.iter().any(beaten) {
            kept.push(way);
        }
    }
    kept
}

/// Searches the cheapest choice of one way a line.
pub(super) struct Fill<'f> {
    lines: &'f [Vec<Way>],
    minimum: &'f [i64],
    /// For each freed set of suppliers (none, each one, all): the least cost of the lines from each one on.
    rest: Vec<Vec<i64>>,
    chosen: Vec<usize>,
    /// The best choice known, and its cost.
    pub(super) best: Option<Vec<usize>>,
    pub(super) best_cost: i64,
    steps: u64,
}

impl<'f> Fill<'f> {
    /// Makes a search among purchases that cost less than `below`.
    pub(super) fn new(lines: &'f [Vec<Way>], minimum: &'f [i64], below: i64) -> Self {
        let sets = minimum.len() + 2;
        let rest = (0..sets)
            .map(|set| rest_of(lines, minimum.len(), set))
            .collect();
        Self {
            lines,
            minimum,
            rest,
            chosen: Vec::new(),
            best: None,
            best_cost: below,
            steps: 0,
        }
    }

    /// A cost that no choice for the lines from `at` on goes below.
    fn bound(&self, at: usize, goods: &[i64]) -> i64 {
        let watched = self.minimum.len();
        (0..watched + 2)
            .map(|set| {
                let so_far: i64 = goods
                    .iter()
                    .enumerate()
                    .map(|(place, value)| {
                        if is_free(set, place, watched) {
                            (*value).max(self.minimum[place])
                        } else {
                            *value
                        }
                    })
                    .sum();
                so_far + self.rest[set][at]
            })
            .max()
            .unwrap_or(0)
    }

    /// A cost that no choice goes below.
    pub(super) fn least(&self) -> i64 {
        self.bound(0, &vec![0; self.minimum.len() + 1])
    }

    /// Searches all choices; false where the search was given up.
    pub(super) fn search(&mut self) -> bool {
        self.descend(0, &mut vec![0; self.minimum.len() + 1])
    }

    fn descend(&mut self, at: usize, goods: &mut Vec<i64>) -> bool {
        self.steps += 1;
        if self.steps > MOST_STEPS {
            return false;
        }
        if self.bound(at, goods) >= self.best_cost {
            return true;
        }
        let lines = self.lines;
        let Some(ways) = lines.get(at) else {
            self.best_cost = self.bound_exact(goods);
            self.best = Some(self.chosen.clone());
            return true;
        };
        for (number, way) in ways.iter().enumerate() {
            add(goods, &way.goods, 1);
            self.chosen.push(number);
            let whole = self.descend(at + 1, goods);
            self.chosen.pop();
            add(goods, &way.goods, -1);
            if !whole {
                return false;
            }
        }
        true
    }

    fn bound_exact(&self, goods: &[i64]) -> i64 {
        let least = |place: usize| self.minimum.get(place).copied().unwrap_or(0);
        goods
            .iter()
            .enumerate()
            .map(|(place, value)| (*value).max(least(place)))
            .sum()
    }
}

fn add(goods: &mut [i64], way: &[i64], sign: i64) {
    for (sum, value) in goods.iter_mut().zip(way) {
        *sum += sign * value;
    }
}

/// Set 0 frees none, set n the supplier n - 1, the last set all.
fn is_free(set: usize, place: usize, watched: usize) -> bool {
    place < watched && (set == place + 1 || set == watched + 1)
}

fn rest_of(lines: &[Vec<Way>], watched: usize, set: usize) -> Vec<i64> {
    let mut rest = vec![0; lines.len() + 1];
    for (at, ways) in lines.iter().enumerate().rev() {
        let cost = |way: &Way| -> i64 {
            let paid = way.goods.iter().enumerate();
            paid.filter(|(place, _)| !is_free(set, *place, watched))
                .map(|(_, value)| value)
                .sum()
        };
        rest[at] = rest[at + 1] + ways.iter().map(cost).min().unwrap_or(0);
    }
    rest
}
