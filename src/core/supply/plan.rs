//! The cheapest order: which supplier sells what, exactly.
//!
//! Every set of suppliers has a cost that it cannot go below: its carriage, and each line bought for itself from the set.
//! Sets are searched by that bound, cheapest first, until it reaches the best order known; the rest cannot be cheaper. Money
//! is whole minor units throughout.

use super::curve::{Curve, NEVER, together};
use super::fill::{Fill, Way, ways};
use super::market::{Bought, Market};
use serde::Serialize;
use std::collections::HashMap;

/// Holds the cheapest order.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OrderPlan {
    /// What it costs with carriage, in minor units.
    pub total: i64,
    /// A cost that no order goes below; equal to the total where the plan is proved to be the cheapest.
    pub bound: i64,
    /// What is bought.
    pub bought: Vec<Bought>,
    /// Value of the goods at each supplier.
    pub goods: Vec<i64>,
    /// Sets of suppliers that were examined.
    pub sets: u64,
}

/// Suppliers beyond this are not planned over; a set is one bit each.
const MOST_SUPPLIERS: usize = 32;
/// The most sets that are examined.
const MOST_SETS: u64 = 400_000;

struct Planner<'m> {
    market: &'m Market,
    lines: Vec<usize>,
    /// By line (in `lines`) and supplier.
    curves: Vec<Vec<Option<Curve>>>,
    sellers: Vec<u32>,
    known: HashMap<(usize, u32), i64>,
    sets: u64,
}

/// Finds the cheapest order that fills every need of a market; `None` where a line has no offer or there are more than 32
/// suppliers.
pub fn plan_order(market: &Market) -> Option<OrderPlan> {
    let mut planner = Planner::new(market)?;
    let all = (0..market.suppliers.len()).fold(0, |mask, s| mask | (1 << s));
    let mut best = planner.improved(all)?;
    let mut sets = Vec::new();
    let whole = planner.gather((0, 0), best.0, &mut sets);
    sets.sort_unstable();
    let mut bound = None;
    for (least, mask) in sets {
        if least >= best.0 {
            break;
        }
        match planner.exact(mask, best.0) {
            Exact::Better(total, split) => best = (total, split),
            Exact::NotBetter => {}
            Exact::Unknown(least) => bound = Some(bound.map_or(least, |b: i64| b.min(least))),
        }
    }
    let (total, split) = best;
    let bound = if whole {
        bound.unwrap_or(total)
    } else {
        planner.least(all)
    };
    Some(planner.plan(total, bound.min(total), &split))
}

/// What each line takes from which supplier.
type Split = Vec<Vec<(usize, usize)>>;

enum Exact {
    Better(i64, Split),
    NotBetter,
    /// The search was given up; nothing below this cost exists in the set.
    Unknown(i64),
}

impl<'m> Planner<'m> {
    fn new(market: &'m Market) -> Option<Self> {
        let suppliers = market.suppliers.len();
        if suppliers > MOST_SUPPLIERS {
            return None;
        }
        let lines: Vec<usize> = (0..market.needs.len())
            .filter(|l| market.needs[*l] > 0)
            .collect();
        let curves: Vec<Vec<Option<Curve>>> = lines
            .iter()
            .map(|line| {
                (0..suppliers)
                    .map(|s| Curve::of(market, *line, s))
                    .collect()
            })
            .collect();
        let sellers: Vec<u32> = curves
            .iter()
            .map(|row| {
                (0..suppliers)
                    .filter(|s| row[*s].is_some())
                    .fold(0, |mask, s| mask | (1 << s))
            })
            .collect();
        let sold = sellers.iter().all(|mask| *mask != 0);
        sold.then_some(Self {
            market,
            lines,
            curves,
            sellers,
            known: HashMap::new(),
            sets: 0,
        })
    }

    fn need(&self, row: usize) -> usize {
        self.market.needs[self.lines[row]] as usize
    }

    fn curves_in(&self, row: usize, mask: u32) -> Vec<(usize, &Curve)> {
        let curves = self.curves[row].iter().enumerate();
        curves
            .filter(|(s, _)| (mask >> s) & 1 == 1)
            .filter_map(|(s, curve)| Some((s, curve.as_ref()?)))
            .collect()
    }

    /// The least cost of a line from a set of suppliers.
    fn line_least(&mut self, row: usize, mask: u32) -> i64 {
        let mask = mask & self.sellers[row];
        if let Some(known) = self.known.get(&(row, mask)) {
            return *known;
        }
        let (cost, _) = together(&self.curves_in(row, mask), self.need(row));
        self.known.insert((row, mask), cost);
        cost
    }

    /// The least cost of all lines from a set, without carriage.
    fn least(&mut self, mask: u32) -> i64 {
        let mut sum: i64 = 0;
        for row in 0..self.lines.len() {
            sum = sum.saturating_add(self.line_least(row, mask));
            if sum >= NEVER {
                return NEVER;
            }
        }
        sum
    }

    fn carriage(&self, mask: u32) -> i64 {
        let terms = self.market.suppliers.iter().enumerate();
        terms
            .filter(|(s, _)| (mask >> s) & 1 == 1)
            .map(|(_, t)| t.carriage)
            .fold(0, i64::saturating_add)
    }

    /// Each line bought for itself from a set, and what that costs with carriage and least values.
    fn plain(&self, mask: u32) -> Option<(i64, Split)> {
        let mut goods = vec![0; self.market.suppliers.len()];
        let mut split = Vec::new();
        for row in 0..self.lines.len() {
            let (cost, parts) = together(&self.curves_in(row, mask), self.need(row));
            if cost >= NEVER {
                return None;
            }
            for (supplier, pieces) in &parts {
                let cost = self.curves[row][*supplier].as_ref()?.cost[*pieces];
                goods[*supplier] = i64::saturating_add(goods[*supplier], cost);
            }
            split.push(parts);
        }
        Some((self.market.charged(&goods), split))
    }

    /// Takes suppliers out and in as long as that makes the plain purchase cheaper.
    fn improved(&self, all: u32) -> Option<(i64, Split)> {
        let mut mask = all;
        let mut best = self.plain(mask)?;
        loop {
            let tries = (0..self.market.suppliers.len()).map(|s| mask ^ (1 << s));
            let next = tries
                .filter_map(|mask| Some((self.plain(mask)?, mask)))
                .min_by_key(|((cost, _), _)| *cost);
            match next {
                Some((found, other)) if found.0 < best.0 => {
                    best = found;
                    mask = other;
                }
                _ => return Some(best),
            }
        }
    }

    /// Gathers the sets whose bound lies below the best order known; false where there are too many to examine.
    fn gather(
        &mut self,
        (at, mask): (usize, u32),
        below: i64,
        found: &mut Vec<(i64, u32)>,
    ) -> bool {
        self.sets += 1;
        if self.sets > MOST_SETS {
            return false;
        }
        let suppliers = self.market.suppliers.len();
        let open = (at..suppliers).fold(mask, |mask, s| mask | (1 << s));
        let least = self.carriage(mask).saturating_add(self.least(open));
        if least >= below {
            return true;
        }
        if at == suppliers {
            found.push((least, mask));
            return true;
        }
        self.gather((at + 1, mask | (1 << at)), below, found)
            && self.gather((at + 1, mask), below, found)
    }

    /// Finds the cheapest order from exactly this set, where it costs less than `below`.
    fn exact(&mut self, mask: u32, below: i64) -> Exact {
        let Some((total, split)) = self.plain(mask) else {
            return Exact::NotBetter;
        };
        let least = self.carriage(mask).saturating_add(self.least(mask));
        if total <= least {
            return if total < below {
                Exact::Better(total, split)
            } else {
                Exact::NotBetter
            };
        }
        let terms = &self.market.suppliers;
        let watched: Vec<usize> = (0..terms.len())
            .filter(|s| (mask >> s) & 1 == 1 && terms[*s].minimum > 0)
            .collect();
        let minimum: Vec<i64> = watched.iter().map(|s| terms[*s].minimum).collect();
        let lines: Option<Vec<Vec<Way>>> = (0..self.lines.len())
            .map(|row| ways(&self.curves_in(row, mask), self.need(row), &watched))
            .collect();
        let known = if total < below {
            Exact::Better(total, split)
        } else {
            Exact::NotBetter
        };
        let Some(lines) = lines else {
            return Exact::Unknown(least);
        };
        let carriage = self.carriage(mask);
        let mut fill = Fill::new(&lines, &minimum, below.min(total) - carriage);
        let bound = carriage + fill.least();
        if !fill.search() {
            return Exact::Unknown(bound);
        }
        match &fill.best {
            Some(chosen) => {
                let split = chosen
                    .iter()
                    .zip(&lines)
                    .map(|(n, ways)| ways[*n].split.clone());
                Exact::Better(carriage + fill.best_cost, split.collect())
            }
            None => known,
        }
    }

    fn plan(&self, total: i64, bound: i64, split: &Split) -> OrderPlan {
        let mut goods = vec![0; self.market.suppliers.len()];
        let mut bought = Vec::new();
        for (row, parts) in split.iter().enumerate() {
            for (supplier, pieces) in parts {
                if let Some(curve) = &self.curves[row][*supplier] {
                    goods[*supplier] = i64::saturating_add(goods[*supplier], curve.cost[*pieces]);
                    bought.extend(curve.bought(self.market, *pieces));
                }
            }
        }
        OrderPlan {
            total,
            bound,
            bought,
            goods,
            sets: self.sets,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::market::{MarketOffer, SupplierTerms};
    use super::super::offer_row::OfferPrice;
    use super::*;
    use rand_core::Rng;
    use rand_pcg::Pcg64Mcg;

    fn below(random: &mut Pcg64Mcg, limit: u32) -> u32 {
        random.next_u32() % limit
    }

    fn small_market(random: &mut Pcg64Mcg) -> Market {
        let suppliers = (0..=below(random, 3))
            .map(|s| SupplierTerms {
                from_shop: None,
                name: s.to_string(),
                carriage: i64::from(below(random, 600)),
                minimum: i64::from([0, 0, 300, 1500][below(random, 4) as usize]),
            })
            .collect::<Vec<_>>();
        let needs: Vec<u32> = (0..=below(random, 3))
            .map(|_| 1 + below(random, 5))
            .collect();
        let most = if needs.len() == 3 { 2 } else { 4 };
        let mut offers = Vec::new();
        for line in 0..needs.len() {
            for _ in 0..=below(random, most) {
                let mut prices = vec![OfferPrice {
                    from_packs: 1,
                    minor: 20 + i64::from(below(random, 400)),
                }];
                if below(random, 3) == 0 {
                    let minor = 1 + prices[0].minor * i64::from(20 + below(random, 70)) / 100;
                    prices.push(OfferPrice {
                        from_packs: 2 + below(random, 3),
                        minor,
                    });
                }
                offers.push(MarketOffer {
                    line,
                    supplier: below(random, u32::try_from(suppliers.len()).expect("few")) as usize,
                    pack: 1 + below(random, 5),
                    prices,
                });
            }
        }
        Market {
            suppliers,
            needs,
            offers,
        }
    }

    /// Tries every number of packs of every offer, up to the largest that any step or need could ask for.
    fn brute(market: &Market) -> i64 {
        let mut best = i64::MAX;
        let most = |offer: &MarketOffer| {
            let last = offer.prices.last().map_or(1, |p| p.from_packs);
            last.max(market.needs[offer.line].div_ceil(offer.pack))
        };
        let limits: Vec<u32> = market.offers.iter().map(most).collect();
        let mut packs = vec![0; limits.len()];
        loop {
            let mut got = vec![0; market.needs.len()];
            let mut goods = vec![0; market.suppliers.len()];
            for (offer, n) in market.offers.iter().zip(&packs) {
                got[offer.line] += offer.pack * n;
                goods[offer.supplier] += offer.cost(*n);
            }
            if got.iter().zip(&market.needs).all(|(got, need)| got >= need) {
                best = best.min(market.charged(&goods));
            }
            let Some(at) = (0..packs.len()).find(|at| packs[*at] < limits[*at]) else {
                return best;
            };
            packs[..at].fill(0);
            packs[at] += 1;
        }
    }

    #[test]
    fn plans_of_500_random_markets_equal_trying_everything() {
        let mut random = Pcg64Mcg::new(20_261_125);
        let mut compared = 0;
        while compared < 500 {
            let market = small_market(&mut random);
            let combinations: f64 = market
                .offers
                .iter()
                .map(|o| {
                    f64::from(
                        market.needs[o.line]
                            .div_ceil(o.pack)
                            .max(o.prices.last().map_or(1, |p| p.from_packs))
                            + 1,
                    )
                })
                .product();
            if combinations > 60_000.0 {
                continue;
            }
            let plan = plan_order(&market).expect("every line has an offer");
            assert_eq!(plan.total, brute(&market), "{market:?}\n{plan:?}");
            assert_eq!(plan.bound, plan.total, "proved");
            let mut goods = vec![0; market.suppliers.len()];
            let mut got = vec![0; market.needs.len()];
            for one in &plan.bought {
                let offer = &market.offers[one.offer];
                goods[offer.supplier] += offer.cost(one.packs);
                got[offer.line] += offer.pack * one.packs;
            }
            assert_eq!(
                market.charged(&goods),
                plan.total,
                "what is bought costs what is said"
            );
            assert!(got.iter().zip(&market.needs).all(|(got, need)| got >= need));
            compared += 1;
        }
    }

    /// Twelve suppliers, 200 lines, 5,000 offers, with price breaks, carriage and least values.
    #[test]
    fn a_market_of_twelve_suppliers_is_planned_with_proof_or_bound() {
        let mut random = Pcg64Mcg::new(122_005_000);
        let suppliers = (0..12)
            .map(|s| SupplierTerms {
                from_shop: None,
                name: s.to_string(),
                carriage: 300 + i64::from(below(&mut random, 900)),
                minimum: i64::from(below(&mut random, 3)) * 1000,
            })
            .collect();
        let needs: Vec<u32> = (0..200).map(|_| 1 + below(&mut random, 12)).collect();
        let base: Vec<i64> = (0..200)
            .map(|_| 10 + i64::from(below(&mut random, 90)))
            .collect();
        let offers = (0..5000_usize)
            .map(|at| {
                let line = at % 200;
                let pack = [1, 1, 5, 10, 25][below(&mut random, 5) as usize];
                let each = base[line] * i64::from(70 + below(&mut random, 60)) / 100;
                let minor = (each
                    * i64::from(pack)
                    * [100, 100, 85, 75, 60][[1, 1, 5, 10, 25]
                        .iter()
                        .position(|p| *p == pack)
                        .expect("listed")]
                    / 100)
                    .max(1);
                let mut prices = vec![OfferPrice {
                    from_packs: 1,
                    minor,
                }];
                if below(&mut random, 2) == 0 {
                    prices.push(OfferPrice {
                        from_packs: 5,
                        minor: (minor * 9 / 10).max(1),
                    });
                }
                MarketOffer {
                    line,
                    supplier: below(&mut random, 12) as usize,
                    pack,
                    prices,
                }
            })
            .collect();
        let market = Market {
            suppliers,
            needs,
            offers,
        };
        let plan = plan_order(&market).expect("sold");
        assert!(plan.bound <= plan.total);
        // A bound further than one per cent below the plan would be no proof worth the name.
        assert!(
            (plan.total - plan.bound) * 100 <= plan.total,
            "{} {}",
            plan.total,
            plan.bound
        );
    }
}
