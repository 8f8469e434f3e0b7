//! A cost that no order from certain accounts goes below.
//!
//! What opening an account costs is handed out over the lines, each line bearing its part where it buys there at all, and a
//! share of the prices is taken as swallowed by the least value: an account with carriage c and least value m charges goods g
//! at least c + w m + (1 - w) g, for every w from 0 to 1. Each line is then bought for itself, and the sum is a bound whatever the
//! parts and shares are (Lagrange's relaxation). They are raised by subgradient steps (Held, Wolfe and Crowder 1974; from
//! memory). Bounds are whole numbers of 64ths, so that nothing is lost by rounding.

use super::account::{Account, Choice, Mask, holds, places};
use super::line::{Line, OUT_OF_REACH, Purchase, Source, WHOLE};
use super::step::Patience;
use std::collections::HashMap;

/// Parts and shares, and the bounds that they give.
pub(super) struct Relaxation<'m> {
    lines: &'m [Line<'m>],
    accounts: &'m [Account],
    /// By line: the accounts that sell it.
    sold_by: Vec<Mask>,
    multipliers: Multipliers,
    known: HashMap<(usize, Mask, Mask), (i64, Mask)>,
}

/// What each account's least value swallows, and what each line bears of opening it.
#[derive(Debug, Clone)]
pub(super) struct Multipliers {
    /// By account: how much of its prices its least value swallows, in 64ths.
    pub(super) weights: Vec<i64>,
    /// By line and account: the part of opening it, in 64ths.
    parts: Vec<Vec<i64>>,
}

/// A bound, and who sells what in the order that it belongs to.
#[derive(Debug, Clone)]
pub(super) struct Bound {
    /// The cost, in minor units.
    pub(super) least: i64,
    /// By line: the accounts that it is bought from.
    pub(super) used: Vec<Mask>,
}

/// Answers of lines that are kept before they are forgotten.
const MOST_KNOWN: usize = 1 << 20;

/// Subgradient steps.
const ROUNDS: usize = 200;
/// The part of the gap below which no step is gone.
const SHORTEST: f64 = 1e-3;
/// Steps without a better bound after which they are halved.
const PATIENT: usize = 8;

/// A subgradient search: shares times least values, and parts, as real numbers.
struct Ascent {
    swallowed: Vec<f64>,
    parts: Vec<Vec<f64>>,
    length: f64,
}

/// By account, and by line and account: how a bound changes.
struct Slopes {
    shares: Vec<f64>,
    parts: Vec<Vec<f64>>,
}

impl<'m> Relaxation<'m> {
    /// Makes a relaxation in which no part and no share is handed out.
    pub(super) fn new(lines: &'m [Line<'m>], accounts: &'m [Account]) -> Self {
        let sells = |line: &Line<'_>| {
            let sellers = accounts.iter().enumerate();
            let sellers = sellers.filter(|(_, a)| holds(line.sellers, a.supplier));
            sellers.fold(0, |mask: Mask, (at, _)| mask | (1 << at))
        };
        Self {
            lines,
            accounts,
            sold_by: lines.iter().map(sells).collect(),
            multipliers: Multipliers {
                weights: vec![0; accounts.len()],
                parts: vec![vec![0; accounts.len()]; lines.len()],
            },
            known: HashMap::new(),
        }
    }

    /// Bounds by other multipliers from now on.
    pub(super) fn keep(&mut self, multipliers: Multipliers) {
        self.multipliers = multipliers;
        self.known.clear();
    }

    fn opening(&self, account: usize) -> i64 {
        let terms = &self.accounts[account];
        let carriage = terms.carriage.saturating_mul(WHOLE);
        carriage.saturating_add(self.multipliers.weights[account].saturating_mul(terms.minimum))
    }

    /// What opening an account costs beyond the parts that these lines bear, in 64ths.
    pub(super) fn unborne(&self, account: usize, used: &[Mask]) -> i64 {
        let lines = used.iter().enumerate();
        let lines = lines.filter(|(_, mask)| holds(**mask, account));
        self.opening(account)
            - lines
                .map(|(row, _)| self.multipliers.parts[row][account])
                .sum::<i64>()
    }

    fn gain(&self, account: usize) -> i64 {
        let parts = self.multipliers.parts.iter().map(|row| row[account]);
        self.opening(account) - parts.sum::<i64>()
    }

    fn base(&self, choice: Choice) -> i64 {
        let opened = places(choice.taken).map(|at| self.opening(at));
        let undecided = places(choice.undecided()).map(|at| self.gain(at).min(0));
        opened.chain(undecided).fold(0, i64::saturating_add)
    }

    fn buy(&self, row: usize, choice: Choice) -> Purchase {
        let source = |at: usize| Source {
            seller: at,
            supplier: self.accounts[at].supplier,
            share: WHOLE - self.multipliers.weights[at],
            fixed: if holds(choice.taken, at) {
                0
            } else {
                self.multipliers.parts[row][at]
            },
        };
        let sources: Vec<Source> = places(choice.open & self.sold_by[row])
            .map(source)
            .collect();
        self.lines[row].cheapest(&sources, self.lines[row].need)
    }

    /// Returns the bound of the orders of a choice; `None` where they cannot fill a need.
    pub(super) fn bound(&mut self, choice: Choice) -> Option<Bound> {
        let mut sum = self.base(choice);
        let mut used = Vec::with_capacity(self.lines.len());
        if self.known.len() > MOST_KNOWN {
            self.known.clear();
        }
        for row in 0..self.lines.len() {
            let sold_by = self.sold_by[row];
            let key = (row, choice.taken & sold_by, choice.open & sold_by);
            let known = self.known.get(&key).copied();
            let (cost, mask) = known.unwrap_or_else(|| {
                let bought = self.buy(row, choice);
                (bought.cost, bought.sellers())
            });
            self.known.insert(key, (cost, mask));
            if cost >= OUT_OF_REACH {
                return None;
            }
            sum = sum.saturating_add(cost);
            used.push(mask);
        }
        Some(Bound {
            least: minor_units(sum),
            used,
        })
    }

    /// Raises the bound of the orders of a choice, and returns it with the multipliers that give it.
    ///
    /// `upper` hears what is bought and returns the cheapest order known. At least one step is gone, however little patience is
    /// left.
    pub(super) fn raised(
        &mut self,
        choice: Choice,
        upper: &mut dyn FnMut(&[Purchase]) -> i64,
        patience: &mut Patience<'_>,
    ) -> (i64, Multipliers) {
        let begun = self.multipliers.clone();
        let mut ascent = self.ascent();
        let (mut best, mut kept, mut idle) = (i64::MIN, self.multipliers.clone(), 0);
        for _ in 0..ROUNDS {
            if best > i64::MIN && patience.is_spent() {
                break;
            }
            self.set(&ascent);
            let rows = 0..self.lines.len();
            let bought: Vec<Purchase> = rows.map(|row| self.buy(row, choice)).collect();
            let costs = bought.iter().map(|purchase| purchase.cost);
            let least = costs.fold(self.base(choice), i64::saturating_add);
            let known = upper(&bought);
            idle += 1;
            if least > best {
                (best, kept, idle) = (least, self.multipliers.clone(), 0);
            }
            if minor_units(best) >= known {
                break;
            }
            if idle >= PATIENT {
                (ascent.length, idle) = (ascent.length / 2.0, 0);
            }
            let gap = (known as f64 * WHOLE as f64 - least as f64).max(1.0);
            if ascent.length < SHORTEST || !self.step(&mut ascent, choice, &bought, gap) {
                break;
            }
        }
        self.multipliers = begun;
        (minor_units(best), kept)
    }

    fn ascent(&self) -> Ascent {
        let weights = self.multipliers.weights.iter().zip(self.accounts);
        let real = |row: &Vec<i64>| row.iter().map(|part| *part as f64).collect();
        Ascent {
            swallowed: weights
                .map(|(w, account)| *w as f64 * account.minimum as f64)
                .collect(),
            parts: self.multipliers.parts.iter().map(real).collect(),
            length: 1.0,
        }
    }

    /// Rounds the real parts and shares.
    fn set(&mut self, ascent: &Ascent) {
        for (at, account) in self.accounts.iter().enumerate() {
            let share = ascent.swallowed[at] / account.minimum.max(1) as f64;
            self.multipliers.weights[at] = rounded(share).clamp(0, WHOLE);
        }
        for (row, parts) in self.multipliers.parts.iter_mut().zip(&ascent.parts) {
            for (part, real) in row.iter_mut().zip(parts) {
                *part = rounded(*real);
            }
        }
    }

    /// Goes one step; false where the bound cannot rise.
    fn step(&self, ascent: &mut Ascent, choice: Choice, bought: &[Purchase], gap: f64) -> bool {
        let slopes = self.slopes(choice, bought);
        let squares = slopes.shares.iter().chain(slopes.parts.iter().flatten());
        let norm: f64 = squares.map(|slope| slope * slope).sum();
        if norm == 0.0 {
            return false;
        }
        let step = ascent.length * gap / norm;
        for (at, account) in self.accounts.iter().enumerate() {
            let most = account.minimum as f64 * WHOLE as f64;
            let moved = ascent.swallowed[at] + step * slopes.shares[at];
            ascent.swallowed[at] = moved.clamp(0.0, most);
            for (parts, slopes) in ascent.parts.iter_mut().zip(&slopes.parts) {
                parts[at] = (parts[at] + step * slopes[at]).max(0.0);
            }
        }
        true
    }

    /// How the bound changes with each share, counted by the least value that it belongs to, and with each part.
    fn slopes(&self, choice: Choice, bought: &[Purchase]) -> Slopes {
        let opened = |at: usize| {
            let gain = self.gain(at);
            let used = || bought.iter().any(|purchase| holds(purchase.sellers(), at));
            let worth = gain < 0 || gain == 0 && used();
            f64::from(u8::from(holds(choice.taken, at) || worth))
        };
        let opened: Vec<f64> = (0..self.accounts.len()).map(opened).collect();
        let mut goods = vec![0.0; self.accounts.len()];
        for (line, purchase) in self.lines.iter().zip(bought) {
            for (at, one) in &purchase.bought {
                let offers = line.offers(self.accounts[*at].supplier).iter();
                let offer = offers.filter(|(place, _)| *place == one.offer);
                goods[*at] += offer.map(|(_, o)| o.cost(one.packs)).sum::<i64>() as f64;
            }
        }
        let share = |at: usize| match self.accounts[at].minimum {
            least if least > 0 && holds(choice.open, at) => opened[at] - goods[at] / least as f64,
            _ => 0.0,
        };
        let part = |row: usize, at: usize| {
            if holds(choice.undecided() & self.sold_by[row], at) {
                f64::from(u8::from(holds(bought[row].sellers(), at))) - opened[at]
            } else {
                0.0
            }
        };
        let accounts = 0..self.accounts.len();
        Slopes {
            shares: accounts.clone().map(share).collect(),
            parts: (0..bought.len())
                .map(|row| accounts.clone().map(|at| part(row, at)).collect())
                .collect(),
        }
    }
}

/// Whole minor units that are not below a bound: an order costs whole ones.
fn minor_units(bound: i64) -> i64 {
    bound.saturating_add(WHOLE - 1).div_euclid(WHOLE)
}

/// A multiplier as a whole number; any gives a bound.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a float beyond i64 becomes its limit"
)]
fn rounded(real: f64) -> i64 {
    (real.round() as i64).clamp(0, OUT_OF_REACH >> 16)
}
