//! The rings that compete: every listed one, and a smooth background for those that are not listed.

use super::evidence::BAND_95;
use super::families::{Families, RegimeOdds};
use super::foreign::Neighbours;
use super::prior::Prior;
use super::sold_size::SoldSize;
use crate::core::quantity::Length;
use crate::core::sizes::{ListedRing, SizeTable};

/// One competing ring, lengths in millimetres.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Candidate {
    /// Nominal inside diameter.
    pub(crate) d1: f64,
    /// Nominal section.
    pub(crate) d2: f64,
    /// Variance of a ring's inside diameter about nominal.
    pub(crate) var1: f64,
    /// Variance of a ring's section about nominal.
    pub(crate) var2: f64,
    /// Logarithm of the prior probability.
    pub(crate) log_prior: f64,
}

/// Two rings do the same job where no gland says more: within this share of the inside diameter and of the section.
const SAME_JOB: (f64, f64) = (0.03, 0.04);

impl Candidate {
    /// Takes nominal inside diameter and section in millimetres, their tolerances as 95 % bands; the prior is still to be set.
    pub(super) fn new(d1: f64, d2: f64, of_id: Length, of_section: Length) -> Self {
        let (sd1, sd2) = (of_id.mm() / BAND_95, of_section.mm() / BAND_95);
        Self {
            d1,
            d2,
            var1: sd1 * sd1,
            var2: sd2 * sd2,
            log_prior: 0.0,
        }
    }

    /// Tells whether a ring does the job of another one as far as its size says.
    pub(crate) fn serves_as(&self, other: &Self) -> bool {
        (self.d1 - other.d1).abs() <= SAME_JOB.0 * other.d1
            && (self.d2 - other.d2).abs() <= SAME_JOB.1 * other.d2
    }
}

/// Every ring that competes, with its prior.
#[derive(Debug, Clone)]
pub struct Candidates {
    /// In the order of [`SizeTable::rings`].
    pub(crate) listed: Vec<Candidate>,
    /// What is not listed: broad normal densities that together follow the density of the listed rings, and behind them
    /// narrow ones, each between two listed neighbours of one section, and last the sizes that are sold here.
    pub(crate) background: Vec<Candidate>,
    /// How many of the background's densities are broad.
    broad: usize,
    /// The sizes that are sold here and in no list; their densities are the last ones of the background.
    sold: Vec<SoldSize>,
    /// Share of the rings that are of no listed size.
    pub(crate) unlisted: f64,
    /// Whether families were preferred, by where and when the unit was made or by who asked.
    knows_origin: bool,
    families: Families,
    neighbours: Neighbours,
    /// How common each ring is where nothing is known of the unit.
    plain: Vec<f64>,
}

/// Says what a place among the candidates stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stand {
    /// A listed ring.
    Listed,
    /// A broad density, which knows no list.
    Broad,
    /// A ring of a listed section whose inside diameter lies between two listed ones.
    Between,
    /// A size that is sold here and that no list has.
    Sold,
}

impl Candidates {
    /// Takes the listed rings with a prior.
    pub fn new(table: &SizeTable, prior: &Prior) -> Self {
        let weight = |ring: &ListedRing| -> f64 {
            prior.of_ring(ring.sizes().iter().map(|id| table.size(*id).standard))
        };
        let weights: Vec<f64> = table.rings().iter().map(weight).collect();
        let mut listed: Vec<Candidate> = table
            .rings()
            .iter()
            .map(|ring| {
                let (id, section) = (ring.id, ring.section);
                Candidate::new(id.nominal.mm(), section.nominal.mm(), id.plus, section.plus)
            })
            .collect();
        let sold = SoldSize::in_no_list(prior.sold(), table);
        let sold_share = sold_share(sold.len(), &weights, prior);
        let other = prior.unlisted - sold_share;
        let mut background = background(&listed, &weights, (1.0 - prior.between) * other);
        let broad = background.len();
        background.extend(between(&listed, &weights, prior.between * other));
        let of_each = libm::log(sold_share / sold.len().max(1) as f64);
        background.extend(sold.iter().map(|size| size.candidate(of_each)));
        let total: f64 = weights.iter().sum();
        for (candidate, weight) in listed.iter_mut().zip(weights) {
            candidate.log_prior = libm::log((1.0 - prior.unlisted) * weight / total);
        }
        let families = Families::new(table, prior);
        let shares = families.ring_shares(&families.before());
        let plain = if prior.is_usual() {
            shares.clone()
        } else {
            let usual = Families::new(table, &Prior::default());
            usual.ring_shares(&usual.before())
        };
        Self {
            neighbours: Neighbours::new(&listed, shares),
            plain,
            knows_origin: prior.prefers(),
            families,
            unlisted: prior.unlisted,
            listed,
            background,
            broad,
            sold,
        }
    }

    /// Returns what the families of sizes say of the rings of one model.
    pub(crate) fn families(&self) -> &Families {
        &self.families
    }

    /// Says how much likelier the other models of a maker make each regime, each having been weighed alone.
    pub fn by_the_maker(&self, others: &[RegimeOdds]) -> RegimeOdds {
        self.families.by_the_maker(others)
    }

    /// Returns how common each listed ring is among them where nothing is known of the unit.
    pub(crate) fn plain_shares(&self) -> &[f64] {
        &self.plain
    }

    /// Tells whether families are preferred already.
    pub(crate) fn knows_origin(&self) -> bool {
        self.knows_origin
    }

    /// Returns which rings are fitted in the place of others.
    pub(crate) fn neighbours(&self) -> &Neighbours {
        &self.neighbours
    }

    /// Returns the size that is sold here and stands at a place.
    pub(crate) fn sold_at(&self, at: usize) -> Option<&SoldSize> {
        let others = self.listed.len() + self.background.len() - self.sold.len();
        self.sold.get(at.checked_sub(others)?)
    }

    /// Tells what the candidate at a place stands for.
    pub(crate) fn stand(&self, at: usize) -> Stand {
        match at.checked_sub(self.listed.len()) {
            None => Stand::Listed,
            Some(behind) if behind < self.broad => Stand::Broad,
            Some(behind) if behind >= self.background.len() - self.sold.len() => Stand::Sold,
            Some(_) => Stand::Between,
        }
    }
}

/// A size that is sold here is taken as so much of a listed one: somebody buys it, but seldom for what lies on this bench. Recalled.
const SOLD_WEIGHT: f64 = 0.2;
/// Of the rings that no list has, no more than this are taken to be sold here: a maker's own size mostly is not. Recalled.
const MOST_SOLD: f64 = 0.5;

/// Returns the share of all rings that are of a size which is sold here and in no list; it is taken from what is of no list.
fn sold_share(count: usize, weights: &[f64], prior: &Prior) -> f64 {
    let listed = weights.iter().filter(|weight| **weight > 0.0).count();
    let of_one = SOLD_WEIGHT * (1.0 - prior.unlisted) / listed.max(1) as f64;
    (count as f64 * of_one).min(MOST_SOLD * prior.unlisted)
}

/// Share of the unlisted rings that are of a listed section and of an inside diameter between two listed ones, where the
/// prior does not say another: rings made to order are made in the sections that moulds and cord are kept in, and of a size
/// for which no listed one served. Recalled from practice, no source.
pub(super) const BETWEEN_SHARE: f64 = 0.7;

/// Sections are taken from tables in whole nanometres: what differs by less is one number.
fn same_section(a: &Candidate, b: &Candidate) -> bool {
    (a.d2 - b.d2).abs() < 1e-7
}

/// Lays a density between each listed ring and the next larger one of its section: centred, and narrow enough that the
/// neighbours themselves lie far out in its ends.
fn between(listed: &[Candidate], of_ring: &[f64], share: f64) -> Vec<Candidate> {
    /// Standard deviation as a share of the gap: that of an even law over its middle 40 %, 0.4/√12. Nobody orders a size
    /// beside one that is listed. Recalled, no source.
    const SPREAD: f64 = 0.115_470;
    /// Two families list what is one size to a maker where the inside diameters differ by less than this, in millimetres.
    const ONE_SIZE_MM: f64 = 0.02;
    /// Beyond the largest ring of a section the next one is thought of as larger by this ratio.
    const BEYOND: f64 = 1.05;
    let mut order: Vec<usize> = (0..listed.len()).filter(|at| of_ring[*at] > 0.0).collect();
    order.sort_unstable_by(|a, b| {
        let (a, b) = (&listed[*a], &listed[*b]);
        a.d2.total_cmp(&b.d2).then(a.d1.total_cmp(&b.d1))
    });
    let total: f64 = of_ring.iter().sum();
    let one = |(place, at): (usize, &usize)| {
        let low = &listed[*at];
        let larger = order[place + 1..].iter().map(|at| &listed[*at]);
        let larger = larger
            .take_while(|next| same_section(low, next))
            .map(|next| next.d1)
            .find(|d1| *d1 > low.d1 + ONE_SIZE_MM);
        let gap = larger.unwrap_or(BEYOND * low.d1) - low.d1;
        let spread = SPREAD * gap;
        Candidate {
            d1: low.d1 + 0.5 * gap,
            d2: low.d2,
            var1: low.var1 + spread * spread,
            var2: low.var2,
            log_prior: libm::log(share * of_ring[*at] / total),
        }
    };
    order.iter().enumerate().map(one).collect()
}

/// The ratio between neighbouring broad densities. It is coarse on purpose: a density that knew the gaps between listed
/// sizes would only repeat them.
const RATIO: f64 = 1.35;
/// Its natural logarithm.
const LOG_RATIO: f64 = 0.300_104_592_450_338_3;
/// Standard deviation of a broad density as a share of its centre: the spacing of the grid, so that the sum is smooth.
const SPREAD: f64 = 0.30;
/// The smallest inside diameter and section of the grid, and how many steps it has each way.
const GRID: [(f64, usize); 2] = [(0.8, 24), (0.8, 10)];

/// Lays broad densities on a grid of equal ratios; each takes its share of the listed rings around it.
fn background(listed: &[Candidate], of_ring: &[f64], share: f64) -> Vec<Candidate> {
    let [(least_d1, columns), (least_d2, rows)] = GRID;
    let mut weights = vec![0.0; columns * rows];
    for (ring, weight) in listed.iter().zip(of_ring) {
        let (column, right) = grid_place(ring.d1, least_d1, columns);
        let (row, below) = grid_place(ring.d2, least_d2, rows);
        for (r, row_share) in [(row, 1.0 - below), (row + 1, below)] {
            for (c, column_share) in [(column, 1.0 - right), (column + 1, right)] {
                weights[r * columns + c] += weight * row_share * column_share;
            }
        }
    }
    let total: f64 = of_ring.iter().sum();
    let centre = |least: f64, step: usize| least * libm::pow(RATIO, step as f64);
    weights
        .iter()
        .enumerate()
        .filter(|(_, weight)| **weight > 0.0)
        .map(|(at, weight)| {
            let (d1, d2) = (
                centre(least_d1, at % columns),
                centre(least_d2, at / columns),
            );
            Candidate {
                d1,
                d2,
                var1: SPREAD * SPREAD * d1 * d1,
                var2: SPREAD * SPREAD * d2 * d2,
                log_prior: libm::log(share * weight / total),
            }
        })
        .collect()
}

/// Finds the grid step below a value and how far the value lies towards the next (0 to 1), on the scale of ratios.
fn grid_place(value: f64, least: f64, steps: usize) -> (usize, f64) {
    let place = (libm::log(value / least) / LOG_RATIO).clamp(0.0, (steps - 2) as f64 + 0.999);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the place is clamped to the grid"
    )]
    let step = place as usize;
    (step, place - step as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn between_neighbours_of_one_section_lies_one_density_of_what_is_not_listed() {
        // AS568-012 and -013 are 9.25 and 10.82 mm inside; other families list rings of 1.78 mm between them or not, but
        // every density between two of them leaves both at its ends.
        let candidates = Candidates::new(SizeTable::shipped(), &Prior::default());
        let between = &candidates.background[candidates.broad..];
        assert!(between.len() > candidates.listed.len() / 2);
        for one in between {
            let nearest = candidates.listed.iter().filter(|c| same_section(c, one));
            let nearest = nearest
                .map(|c| (c.d1 - one.d1).abs())
                .fold(f64::MAX, f64::min);
            assert!(nearest * nearest >= 12.0 * (one.var1 - nearest_var(&candidates, one)));
        }
        let last = candidates.listed.len() + candidates.background.len() - 1;
        assert_eq!(candidates.stand(last), Stand::Between);
        assert_eq!(candidates.stand(candidates.listed.len()), Stand::Broad);
        assert_eq!(candidates.stand(0), Stand::Listed);
    }

    fn nearest_var(candidates: &Candidates, one: &Candidate) -> f64 {
        let below = candidates
            .listed
            .iter()
            .filter(|c| same_section(c, one) && c.d1 < one.d1);
        below
            .max_by(|a, b| a.d1.total_cmp(&b.d1))
            .map_or(0.0, |c| c.var1)
    }

    #[test]
    fn the_logarithm_of_the_ratio_is_right() {
        assert!((libm::log(RATIO) - LOG_RATIO).abs() < 1e-15);
    }

    #[test]
    fn the_priors_sum_to_one_with_the_unlisted_share() {
        let candidates = Candidates::new(SizeTable::shipped(), &Prior::default());
        let sum = |list: &[Candidate]| list.iter().map(|c| libm::exp(c.log_prior)).sum::<f64>();
        assert!((sum(&candidates.listed) - 0.97).abs() < 1e-12);
        assert!((sum(&candidates.background) - 0.03).abs() < 1e-12);
        assert!(candidates.broad > 20 && candidates.broad < 400);
    }
}
