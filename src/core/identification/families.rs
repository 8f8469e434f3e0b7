//! Which families of sizes a model was designed with: what one of its rings says of the others.
//!
//! A maker buys from one list, seldom from two. The latent *regime* of a model says how its rings are spread over five groups of
//! families (inch; ISO metric; Japanese; British metric; what shops stock in whole and half millimetres): nearly all of one, two together, or all as they come. Weighed over its
//! regimes, a ring of which nothing else is known has the odds that the prior gives it: a model of one ring is named as a ring
//! that lies loose on the bench.

use super::prior::Prior;
use crate::core::sizes::{ListedRing, SizeTable, Standard};
use crate::core::uncertainty::log_sum_exp;

/// The number of groups of families.
pub(crate) const GROUPS: usize = 5;
/// The number of regimes: one for each group, one for each pair, and all as they come.
pub(crate) const REGIMES: usize = GROUPS + GROUPS * (GROUPS - 1) / 2 + 1;

/// Names a group of families that one designer takes his rings from.
#[derive(Clone, Copy)]
enum FamilyGroup {
    Inch,
    IsoMetric,
    Japanese,
    BritishMetric,
    /// Whole- and half-millimetre rings that shops stock.
    TradeMetric,
}

impl FamilyGroup {
    fn of(standard: Standard) -> Self {
        match standard {
            Standard::As568 | Standard::As568Boss | Standard::Iso3601 => Self::Inch,
            Standard::Iso3601Metric => Self::IsoMetric,
            Standard::JisP | Standard::JisG | Standard::JisV => Self::Japanese,
            Standard::Bs4518 => Self::BritishMetric,
            Standard::TradeMetric | Standard::TradeImplied => Self::TradeMetric,
        }
    }
}

/// Share of models that were designed with one group nearly alone; with two; the others took whatever came. Judgement, no source.
const ONE_GROUP: f64 = 0.65;
const TWO_GROUPS: f64 = 0.2;
/// Share of the rings of a model that keep to its regime; the others come as the prior has them. Judgement, no source.
const LOYAL: f64 = 0.96;
/// Share of the models of one maker that were designed in the regime of the maker; the others in any. Judgement, no source.
const OF_THE_MAKER: f64 = 0.7;

/// Steps in which the word of the other models is taken: a hundredth of a unit of log odds changes no answer.
const MAKER_STEP: f64 = 0.01;

/// What each regime makes of each listed ring.
#[derive(Debug, Clone)]
pub(crate) struct Families {
    /// For each listed ring, its share in each group: sums to one over the rings of a group.
    of_ring: Vec<[f64; GROUPS]>,
    /// For each regime, the share of each group.
    shares: [[f64; GROUPS]; REGIMES],
    /// Logarithm of each regime's share before any ring was seen.
    log_prior: [f64; REGIMES],
}

/// How likely what was seen is under each regime, as logarithms; only their differences count.
pub type RegimeOdds = [f64; REGIMES];

impl Families {
    pub(crate) fn new(table: &SizeTable, prior: &Prior) -> Self {
        let mut of_ring: Vec<[f64; GROUPS]> = table
            .rings()
            .iter()
            .map(|ring| weights(ring, table, prior))
            .collect();
        let mut totals = [0.0; GROUPS];
        for ring in &of_ring {
            for (total, weight) in totals.iter_mut().zip(ring) {
                *total += weight;
            }
        }
        for ring in &mut of_ring {
            for (weight, total) in ring.iter_mut().zip(totals) {
                *weight /= if total > 0.0 { total } else { 1.0 };
            }
        }
        let all: f64 = totals.iter().sum();
        let (shares, log_prior) = regimes(totals.map(|total| total / all));
        Self {
            of_ring,
            shares,
            log_prior,
        }
    }

    /// Returns the regimes before any ring was seen.
    pub(crate) fn before(&self) -> RegimeOdds {
        self.log_prior
    }

    /// Returns the share of a listed ring among the listed ones, the regimes weighed so.
    pub(crate) fn ring_shares(&self, regimes: &RegimeOdds) -> Vec<f64> {
        let groups = self.group_shares(regimes);
        let share = |ring: &[f64; GROUPS]| ring.iter().zip(groups).map(|(own, g)| own * g).sum();
        self.of_ring.iter().map(share).collect()
    }

    /// Returns the share of the groups that list a ring, the groups having these.
    pub(crate) fn of_ring(&self, ring: usize, groups: &[f64; GROUPS]) -> f64 {
        let own = self.of_ring[ring].iter().zip(groups);
        own.filter(|(own, _)| **own > 0.0)
            .map(|(_, group)| group)
            .sum()
    }

    /// Returns the shares of the groups, the regimes weighed so.
    pub(crate) fn group_shares(&self, regimes: &RegimeOdds) -> [f64; GROUPS] {
        let total = log_sum_exp(regimes.iter().copied());
        let mut groups = [0.0; GROUPS];
        for (shares, log_weight) in self.shares.iter().zip(regimes) {
            let weight = libm::exp(log_weight - total);
            for (group, share) in groups.iter_mut().zip(shares) {
                *group += weight * share;
            }
        }
        groups
    }

    /// Says how likely each regime makes a place whose rings have these weights, with the share of unlisted rings and their
    /// weight, which is alike in every regime.
    pub(crate) fn seen(&self, weights: &[f64], share: f64, weight: f64) -> RegimeOdds {
        let mut groups = [0.0; GROUPS];
        for (ring, weight) in self.of_ring.iter().zip(weights) {
            if *weight > 0.0 {
                for (group, share) in groups.iter_mut().zip(ring) {
                    *group += weight * share;
                }
            }
        }
        self.shares.map(|shares| {
            let listed: f64 = shares.iter().zip(groups).map(|(own, g)| own * g).sum();
            libm::log((1.0 - share) * listed + weight)
        })
    }

    /// Returns what the other models of a maker say of this one, each having been weighed alone.
    ///
    /// The maker has a regime; each of its models keeps to it or has one of its own. What differs by less than a step counts as the
    /// same, so that a word more in the twelfth model does not make every list of the maker be computed again.
    pub(crate) fn by_the_maker(&self, others: &[RegimeOdds]) -> RegimeOdds {
        if others.is_empty() {
            return [0.0; REGIMES];
        }
        let free =
            |seen: &RegimeOdds| log_sum_exp(self.log_prior.iter().zip(seen).map(|(p, s)| p + s));
        let keeps = |seen: f64, free: f64| {
            log_sum_exp([
                libm::log(OF_THE_MAKER) + seen,
                libm::log(1.0 - OF_THE_MAKER) + free,
            ])
        };
        let mut maker = self.log_prior;
        for (at, log) in maker.iter_mut().enumerate() {
            *log += sorted_sum(others.iter().map(|seen| keeps(seen[at], free(seen))));
        }
        let total = log_sum_exp(maker.iter().copied());
        let mut own = [0.0; REGIMES];
        for (at, log) in own.iter_mut().enumerate() {
            // Relative to the share that the regime has by itself, because that is counted once.
            let kept = libm::log(OF_THE_MAKER) + maker[at] - total - self.log_prior[at];
            let exact = log_sum_exp([kept, libm::log(1.0 - OF_THE_MAKER)]);
            *log = (exact / MAKER_STEP).round() * MAKER_STEP;
        }
        own
    }
}

/// Sums numbers in one order, whatever order they come in, so that the same facts give the same odds to the last digit.
pub(crate) fn sorted_sum(numbers: impl Iterator<Item = f64>) -> f64 {
    let mut all: Vec<f64> = numbers.collect();
    all.sort_unstable_by(f64::total_cmp);
    all.iter().sum()
}

/// Returns the weights that the families of a ring give it, by group.
fn weights(ring: &ListedRing, table: &SizeTable, prior: &Prior) -> [f64; GROUPS] {
    let mut weights = [0.0; GROUPS];
    let families = || ring.sizes().iter().map(|id| table.size(*id).standard);
    for standard in families() {
        weights[FamilyGroup::of(standard) as usize] += prior.weight(standard);
    }
    let total: f64 = weights.iter().sum();
    let whole = prior.of_ring(families());
    weights.map(|weight| {
        if total > 0.0 {
            weight * whole / total
        } else {
            0.0
        }
    })
}

/// Lays out the regimes: their shares of each group, and their own shares; on the whole each group keeps the share it has.
fn regimes(of_group: [f64; GROUPS]) -> ([[f64; GROUPS]; REGIMES], RegimeOdds) {
    let mut shares = [of_group; REGIMES];
    let mut weights = [1.0 - ONE_GROUP - TWO_GROUPS; REGIMES];
    let mut loyal = |at: usize, groups: &[usize], weight: f64| {
        let total: f64 = groups.iter().map(|group| of_group[*group]).sum();
        for (group, share) in shares[at].iter_mut().enumerate() {
            let own = if total > 0.0 && groups.contains(&group) {
                of_group[group] / total
            } else {
                0.0
            };
            *share = LOYAL * own + (1.0 - LOYAL) * of_group[group];
        }
        weights[at] = weight * total;
    };
    let mut at = 0;
    for first in 0..GROUPS {
        loyal(at, &[first], ONE_GROUP);
        at += 1;
    }
    for first in 0..GROUPS {
        for second in first + 1..GROUPS {
            loyal(at, &[first, second], TWO_GROUPS / (GROUPS - 1) as f64);
            at += 1;
        }
    }
    (shares, weights.map(libm::log))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn families() -> Families {
        Families::new(SizeTable::shipped(), &Prior::default())
    }

    #[test]
    fn a_ring_alone_has_the_share_that_the_prior_gives_it() {
        let table = SizeTable::shipped();
        for prior in [
            Prior::default(),
            Prior::none(),
            Prior::made("us", 1962).expect("known").0,
        ] {
            let families = Families::new(table, &prior);
            let shares = families.ring_shares(&families.before());
            let weight = |ring: &ListedRing| {
                prior.of_ring(ring.sizes().iter().map(|id| table.size(*id).standard))
            };
            let total: f64 = table.rings().iter().map(weight).sum();
            for (ring, share) in table.rings().iter().zip(shares) {
                assert!((share - weight(ring) / total).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn the_regimes_sum_to_one() {
        let families = families();
        let total: f64 = families.before().iter().map(|log| libm::exp(*log)).sum();
        assert!((total - 1.0).abs() < 1e-12);
        for shares in families.shares {
            assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn the_second_inch_ring_makes_the_third_likelier_and_another_model_of_the_maker_less_so() {
        let families = families();
        let mut inch = vec![0.0; families.of_ring.len()];
        for (weight, ring) in inch.iter_mut().zip(&families.of_ring) {
            *weight = ring[0];
        }
        let share = |regimes: RegimeOdds| families.group_shares(&regimes)[0];
        let seen = families.seen(&inch, 0.03, 0.0);
        let added = |a: RegimeOdds, b: RegimeOdds| std::array::from_fn(|at| a[at] + b[at]);
        let none = share(families.before());
        let own = share(added(families.before(), seen));
        let of_maker = share(added(families.before(), families.by_the_maker(&[seen])));
        assert!(none < of_maker && of_maker < own, "{none} {of_maker} {own}");
        assert!(share(added(families.before(), families.by_the_maker(&[]))) - none < 1e-12);
    }
}
