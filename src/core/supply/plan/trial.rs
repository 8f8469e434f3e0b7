//! Plans held against trying everything, against themselves with suppliers more, and against a count of steps.

use super::super::market::{MarketOffer, SupplierTerms};
use super::super::price_list::OfferPrice;
use super::*;
use rand_core::Rng;
use rand_pcg::Pcg64Mcg;

fn below(random: &mut Pcg64Mcg, limit: u32) -> u32 {
    random.next_u32() % limit
}

fn terms(name: usize, carriage: i64, minimum: i64) -> SupplierTerms {
    SupplierTerms {
        name: name.to_string(),
        carriage,
        minimum,
        free_above: None,
        from_shop: None,
    }
}

/// Plans without a limit.
fn planned(market: &Market) -> OrderPlan {
    plan_order(market, &mut || true).expect("every line has an offer")
}

/// Prices of a pack, sometimes with a cheaper step.
fn prices(random: &mut Pcg64Mcg, least: u32, spread: u32) -> Vec<OfferPrice> {
    let mut prices = vec![OfferPrice {
        from_packs: 1,
        minor: i64::from(least + below(random, spread)),
    }];
    if below(random, 3) == 0 {
        let minor = 1 + prices[0].minor * i64::from(20 + below(random, 70)) / 100;
        prices.push(OfferPrice {
            from_packs: 2 + below(random, 3),
            minor,
        });
    }
    prices
}

fn small_market(random: &mut Pcg64Mcg) -> Market {
    let suppliers: Vec<SupplierTerms> = (0..=below(random, 3) as usize)
        .map(|s| {
            let minimum = [0, 0, 300, 1500][below(random, 4) as usize];
            terms(s, i64::from(below(random, 600)), minimum)
        })
        .collect();
    let needs: Vec<u32> = (0..=below(random, 3))
        .map(|_| 1 + below(random, 5))
        .collect();
    let most = if needs.len() == 3 { 2 } else { 4 };
    let mut offers = Vec::new();
    for line in 0..needs.len() {
        for _ in 0..=below(random, most) {
            offers.push(MarketOffer {
                line,
                prices: prices(random, 20, 400),
                supplier: below(random, u32::try_from(suppliers.len()).expect("few")) as usize,
                pack: 1 + below(random, 5),
            });
        }
    }
    Market {
        suppliers,
        needs,
        offers,
    }
}

/// A market of one or two lines in which carriage is often free above a sum that a few packs reach.
fn market_with_free_carriage(random: &mut Pcg64Mcg) -> Market {
    let mut market = small_market(random);
    market.needs.truncate(2);
    market.offers.retain(|offer| offer.line < 2);
    market.offers.truncate(4);
    for line in 0..market.needs.len() {
        let prices = prices(random, 60, 300);
        market.offers.push(MarketOffer {
            line,
            supplier: 0,
            pack: 1 + below(random, 3),
            prices,
        });
    }
    for terms in &mut market.suppliers {
        terms.free_above = (below(random, 3) > 0).then(|| i64::from(below(random, 1500)));
    }
    market
}

/// The most packs of each offer that an order can want: what covers the need, the last step, or what reaches a sum above which
/// carriage is free.
fn limits(market: &Market) -> Vec<u32> {
    let most = |offer: &MarketOffer| {
        let last = offer.prices.last().map_or(1, |p| p.from_packs);
        let cover = market.needs[offer.line].div_ceil(offer.pack);
        let sum = market.suppliers[offer.supplier].free_above;
        let reach = sum.and_then(|sum| offer.packs_worth(sum)).unwrap_or(0);
        let dearest = offer
            .prices
            .last()
            .and_then(|p| Some(u32::try_from(sum? / p.minor).ok()? + 1));
        last.max(cover).max(reach).max(dearest.unwrap_or(0))
    };
    market.offers.iter().map(most).collect()
}

/// Tries every number of packs of every offer.
fn brute(market: &Market, limits: &[u32]) -> i64 {
    let mut best = i64::MAX;
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

/// Expects that what is bought covers the needs and costs what is said.
fn sound(market: &Market, plan: &OrderPlan) {
    let mut goods = vec![0; market.suppliers.len()];
    let mut got = vec![0; market.needs.len()];
    for one in &plan.bought {
        let offer = &market.offers[one.offer];
        goods[offer.supplier] += offer.cost(one.packs);
        got[offer.line] += offer.pack * one.packs;
    }
    assert_eq!(market.charged(&goods), plan.total, "{market:?}\n{plan:?}");
    assert_eq!(goods, plan.goods);
    assert!(got.iter().zip(&market.needs).all(|(got, need)| got >= need));
    assert!(plan.bound <= plan.total);
}

/// Compares plans of random markets with trying everything.
fn equal_trying_everything(seed: u128, count: usize, of: fn(&mut Pcg64Mcg) -> Market) {
    let mut random = Pcg64Mcg::new(seed);
    let mut compared = 0;
    while compared < count {
        let market = of(&mut random);
        let limits = limits(&market);
        let combinations: f64 = limits.iter().map(|n| f64::from(n + 1)).product();
        if combinations > 60_000.0 {
            continue;
        }
        let plan = planned(&market);
        assert_eq!(plan.total, brute(&market, &limits), "{market:?}\n{plan:?}");
        assert!(plan.is_proved(), "{market:?}\n{plan:?}");
        sound(&market, &plan);
        compared += 1;
    }
}

#[test]
fn plans_of_500_random_markets_equal_trying_everything() {
    equal_trying_everything(20_261_125, 500, small_market);
}

#[test]
fn carriage_that_is_free_above_a_sum_is_planned_as_trying_everything_does() {
    equal_trying_everything(20_261_128, 300, market_with_free_carriage);
}

/// Adds a supplier that sells some of the lines.
fn with_supplier(random: &mut Pcg64Mcg, market: &Market) -> Market {
    let mut more = market.clone();
    let supplier = more.suppliers.len();
    let minimum = i64::from(below(random, 3)) * 400;
    more.suppliers.push(SupplierTerms {
        free_above: (below(random, 3) == 0).then(|| i64::from(below(random, 900))),
        ..terms(supplier, i64::from(below(random, 400)), minimum)
    });
    for line in 0..more.needs.len() {
        if below(random, 2) == 0 {
            let prices = prices(random, 30, 300);
            more.offers.push(MarketOffer {
                line,
                supplier,
                pack: 1 + below(random, 5),
                prices,
            });
        }
    }
    more
}

#[test]
fn a_supplier_more_never_makes_a_plan_dearer() {
    let mut random = Pcg64Mcg::new(20_261_129);
    let mut compared = 0;
    for _ in 0..40 {
        let mut market = small_market(&mut random);
        let mut total = planned(&market).total;
        for _ in 0..6 {
            market = with_supplier(&mut random, &market);
            let plan = planned(&market);
            sound(&market, &plan);
            assert!(plan.total <= total, "{total}: {market:?}\n{plan:?}");
            let limits = limits(&market);
            if limits.iter().map(|n| f64::from(n + 1)).product::<f64>() <= 60_000.0 {
                assert_eq!(plan.total, brute(&market, &limits), "{market:?}\n{plan:?}");
                compared += 1;
            }
            total = plan.total;
        }
    }
    assert!(
        compared > 40,
        "{compared} of 240 were held against trying everything"
    );
}

/// A patience of so many questions.
fn steps(count: u32) -> impl FnMut() -> bool {
    let mut left = count;
    move || {
        left = left.saturating_sub(1);
        left > 0
    }
}

/// Three suppliers that sell all of a small order, and 20 with minimums that sell a few of its lines a little cheaper.
fn market_of_23() -> Market {
    let mut random = Pcg64Mcg::new(20);
    let needs = vec![1; 17];
    let mut suppliers = vec![terms(0, 400, 0), terms(1, 650, 0), terms(2, 500, 500)];
    let mut offers = Vec::new();
    for line in 0..needs.len() {
        for supplier in [line % 3, (line + 1) % 3] {
            offers.push(MarketOffer {
                line,
                supplier,
                pack: [1, 10, 5][supplier],
                prices: prices(&mut random, 30, 300),
            });
        }
    }
    for supplier in 3..23 {
        suppliers.push(terms(supplier, 0, 1000));
        for line in 0..needs.len() {
            if below(&mut random, 3) == 0 {
                offers.push(MarketOffer {
                    line,
                    supplier,
                    pack: 1,
                    prices: prices(&mut random, 20, 200),
                });
            }
        }
    }
    Market {
        suppliers,
        needs,
        offers,
    }
}

#[test]
fn twenty_suppliers_with_minimums_more_make_no_plan_dearer() {
    let all = market_of_23();
    let mut few = all.clone();
    few.suppliers.truncate(3);
    few.offers.retain(|offer| offer.supplier < 3);
    let (few, plan) = (planned(&few), planned(&all));
    sound(&all, &plan);
    assert!(few.is_proved() && plan.is_proved());
    assert!(plan.total <= few.total, "{} {}", plan.total, few.total);
    // Whatever it may search, what it says is true.
    for count in [0, 1, 10, 100, 1000] {
        let hasty = plan_order(&all, &mut steps(count)).expect("sold");
        sound(&all, &hasty);
        assert!(hasty.bound <= plan.total && plan.total <= hasty.total);
    }
}

#[test]
fn no_patience_at_all_still_plans_every_line_with_a_true_bound() {
    let mut random = Pcg64Mcg::new(7);
    for _ in 0..100 {
        let market = small_market(&mut random);
        let hasty = plan_order(&market, &mut || false).expect("sold");
        sound(&market, &hasty);
        let whole = planned(&market);
        assert!(hasty.bound <= whole.total && whole.total <= hasty.total);
    }
}

#[test]
fn a_step_that_is_dearer_is_counted_as_it_is_charged() {
    let prices = [(1, 100), (3, 150), (5, 60)];
    let market = Market {
        suppliers: vec![terms(0, 0, 0)],
        needs: vec![4],
        offers: vec![MarketOffer {
            line: 0,
            supplier: 0,
            pack: 1,
            prices: prices
                .map(|(from_packs, minor)| OfferPrice { from_packs, minor })
                .to_vec(),
        }],
    };
    let plan = planned(&market);
    assert_eq!((plan.total, plan.bound), (300, 300), "five at 60");
    let offer = &market.offers[0];
    assert_eq!(offer.packs_worth(200), Some(2));
    assert_eq!(offer.packs_worth(301), Some(3));
    assert_eq!(offer.packs_worth(601), Some(11));
}

/// Twelve suppliers, 200 lines, 5,000 offers, with price breaks, carriage and least values.
#[test]
fn a_market_of_twelve_suppliers_is_planned_with_proof_or_bound() {
    let mut random = Pcg64Mcg::new(122_005_000);
    let suppliers = (0..12)
        .map(|s| {
            let carriage = 300 + i64::from(below(&mut random, 900));
            terms(s, carriage, i64::from(below(&mut random, 3)) * 1000)
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
    let plan = plan_order(&market, &mut steps(2000)).expect("sold");
    assert!(plan.bound <= plan.total);
    // A bound further than one per cent below the plan would be no proof worth the name.
    assert!(
        (plan.total - plan.bound) * 100 <= plan.total,
        "{} {}",
        plan.total,
        plan.bound
    );
}
