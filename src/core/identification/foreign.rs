//! Rings that somebody fitted: near the right size, because what does not go in at all is not fitted.

use super::candidates::Candidate;
use std::sync::OnceLock;

/// Share of rings found in a unit that are not the ones which their place was made for, because someone fitted what came to hand.
/// Judgement, no source: one in ten.
pub const FOREIGN_SHARE: f64 = 0.1;
/// Share of these that are of a size near the right one; the others are of any. Judgement, no source.
const NEAR_SHARE: f64 = 0.93;
/// By how much two rings differ before a fitted one is e times rarer: inside diameter in millimetres and as a share of it, and
/// section in millimetres. Tables allow 5 to 8 % of stretch: what differs by much more does not go in, or falls off; the section of the
/// next family is 0.1 to 0.25 mm. Judgement, no source.
const NEAR_ID: (f64, f64) = (0.2, 0.04);
const NEAR_SECTION_MM: f64 = 0.2;
/// A ring farther off than five such steps in either counts among those of any size: e⁻⁵, and
/// a millionth less, because tables have sections that differ by just so much.
const OUT_OF_REACH: f64 = 0.006_737_94;
/// A ring that holds less than this share of the likeliest counts among those of any size alone.
const COUNTS: f64 = 1e-6;

/// Says where a ring lies among those that are fitted in each other's place: e to the number of steps from nothing, in inside diameter
/// and in section, so that the ratio of two says how much rarer they are in each other's place.
#[derive(Debug, Clone, Copy)]
struct Steps {
    id: f64,
    section: f64,
}

impl Steps {
    fn of(ring: &Candidate) -> Self {
        let (least, share) = NEAR_ID;
        Self {
            // A step is `least + share * d1` long; so many have been taken from 0 to `d1`: ∫ 1/(least + share x) dx.
            id: libm::pow(1.0 + share * ring.d1 / least, 1.0 / share),
            section: libm::exp(ring.d2 / NEAR_SECTION_MM),
        }
    }

    /// Says how near two rings are: 0 where they are out of reach of each other.
    fn nearness(self, other: Self) -> f64 {
        let ratio = |a: f64, b: f64| if a < b { a / b } else { b / a };
        let id = ratio(self.id, other.id);
        let section = ratio(self.section, other.section);
        if id < OUT_OF_REACH || section < OUT_OF_REACH {
            0.0
        } else {
            // As many of half that distance: the size beside it, and the next dash number, are fitted alike.
            id * section * (1.0 + 2.0 * id)
        }
    }
}

/// Holds, for each listed ring, which others are fitted in its place.
#[derive(Debug, Clone)]
pub(crate) struct Neighbours {
    /// How common each ring is among those that are fitted.
    shares: Vec<f64>,
    steps: Vec<Steps>,
    /// The rings by inside diameter.
    order: Vec<usize>,
    /// For each ring that a place was made for, what the weights of its neighbours sum to.
    totals: Vec<f64>,
    /// What [`Self::near`] has been asked for, kept: the rings of a model ask for the same again and again.
    near: Vec<OnceLock<Vec<(usize, f64)>>>,
}

impl Neighbours {
    /// Lays out the neighbours of the listed rings, each as common as its share.
    pub(crate) fn new(listed: &[Candidate], shares: Vec<f64>) -> Self {
        let mut order: Vec<usize> = (0..listed.len()).collect();
        order.sort_unstable_by(|a, b| listed[*a].d1.total_cmp(&listed[*b].d1));
        let mut neighbours = Self {
            totals: Vec::new(),
            near: vec![OnceLock::new(); listed.len()],
            steps: listed.iter().map(Steps::of).collect(),
            shares,
            order,
        };
        let total = |made| {
            let within = neighbours.within_reach(made);
            within
                .map(|(fitted, near)| near * neighbours.shares[fitted])
                .sum()
        };
        neighbours.totals = (0..listed.len()).map(total).collect();
        neighbours
    }

    /// Returns how common a ring is among those that are fitted.
    pub(crate) fn shares(&self) -> &[f64] {
        &self.shares
    }

    /// Returns the chance that what was found is a ring that somebody fitted, for every listed ring as the one that belongs
    /// there; the weights of what was found are likelihoods.
    pub(crate) fn fitted(&self, found: &[(usize, f64)]) -> Vec<f64> {
        let most = found.iter().map(|(_, weight)| *weight).fold(0.0, f64::max);
        let any: f64 = found
            .iter()
            .map(|(at, weight)| weight * self.shares[*at])
            .sum();
        let mut chances: Vec<f64> = (0..self.totals.len())
            .map(|made| any * self.far(made))
            .collect();
        for (at, weight) in found.iter().filter(|(_, weight)| *weight > COUNTS * most) {
            let weight = weight * self.shares[*at];
            for (made, near) in self.near(*at) {
                chances[*made] += weight * near;
            }
        }
        chances
    }

    /// Returns by how much oftener than its share a ring is fitted where another belongs, because it is near to that.
    pub(crate) fn near(&self, fitted: usize) -> &[(usize, f64)] {
        self.near[fitted].get_or_init(|| {
            let fits = self.shares[fitted] > 0.0;
            let within = self.within_reach(fitted).filter(|_| fits);
            within
                .map(|(made, near)| (made, NEAR_SHARE * near / self.totals[made]))
                .collect()
        })
    }

    /// Returns the share that any ring keeps where this one belongs, however far off it is.
    pub(crate) fn far(&self, made: usize) -> f64 {
        if self.totals[made] > 0.0 {
            1.0 - NEAR_SHARE
        } else {
            1.0
        }
    }

    /// Lists every other ring within reach of this one, and how near it is.
    fn within_reach(&self, of: usize) -> impl Iterator<Item = (usize, f64)> + '_ {
        let own = self.steps[of];
        let id = |at: &usize| self.steps[*at].id;
        let from = self
            .order
            .partition_point(|at| id(at) < own.id * OUT_OF_REACH);
        self.order[from..]
            .iter()
            .take_while(move |at| own.id >= id(at) * OUT_OF_REACH)
            .filter(move |at| **at != of)
            .map(move |at| (*at, own.nearness(self.steps[*at])))
            .filter(|(_, near)| *near > 0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::super::candidates::Candidates;
    use super::super::prior::Prior;
    use super::*;
    use crate::core::sizes::SizeTable;

    /// Works the chance that a foreign ring is this one where another belongs out of what is written above, ring by ring.
    fn chances_where(made: usize, shares: &[f64], listed: &[Candidate]) -> Vec<f64> {
        let (least, share) = NEAR_ID;
        let steps = |ring: &Candidate| libm::log(1.0 + share * ring.d1 / least) / share;
        let near = |fitted: usize| {
            let id = (steps(&listed[fitted]) - steps(&listed[made])).abs();
            let section = (listed[fitted].d2 - listed[made].d2).abs() / NEAR_SECTION_MM;
            let reached = fitted != made && id < 5.000_001 && section < 5.000_001;
            let near = libm::exp(-(id + section)) + 2.0 * libm::exp(-(2.0 * id + section));
            if reached { near } else { 0.0 }
        };
        let total: f64 = (0..listed.len()).map(|at| shares[at] * near(at)).sum();
        let of_near = |at: usize| if total > 0.0 { near(at) / total } else { 1.0 };
        let each = 0..listed.len();
        each.map(|at| shares[at] * (NEAR_SHARE * of_near(at) + 1.0 - NEAR_SHARE))
            .collect()
    }

    fn neighbours() -> (Neighbours, Vec<Candidate>) {
        let candidates = Candidates::new(SizeTable::shipped(), &Prior::default());
        (candidates.neighbours().clone(), candidates.listed.clone())
    }

    #[test]
    fn the_chances_of_what_is_fitted_sum_to_one_for_every_ring_that_belongs() {
        let (neighbours, listed) = neighbours();
        let all: Vec<(usize, f64)> = (0..listed.len()).map(|at| (at, 1.0)).collect();
        for (made, total) in neighbours.fitted(&all).iter().enumerate() {
            // The ring that belongs is never the foreign one, save among those of any size, where it is one of a thousand.
            assert!((total - 1.0).abs() < 1e-9, "{made}: {total}");
        }
    }

    #[test]
    fn out_of_reach_is_where_it_says() {
        assert!((libm::log(OUT_OF_REACH) + 5.000_001).abs() < 1e-7);
    }

    #[test]
    fn the_two_ways_to_a_chance_agree() {
        let (neighbours, listed) = neighbours();
        let found = [(100, 0.4), (101, 0.3), (500, 0.2)];
        let chances = neighbours.fitted(&found);
        for made in (0..listed.len()).step_by(11).chain([99, 100, 101, 102]) {
            let chance = chances_where(made, neighbours.shares(), &listed);
            let one_by_one: f64 = found.iter().map(|(at, weight)| weight * chance[*at]).sum();
            assert!((chances[made] - one_by_one).abs() < 1e-12, "{made}");
        }
    }

    #[test]
    fn the_next_dash_number_is_fitted_far_oftener_than_a_ring_of_twice_the_size() {
        let (neighbours, listed) = neighbours();
        let ring = |d1: f64, d2: f64| {
            listed
                .iter()
                .position(|c| (c.d1 - d1).abs() < 0.005 && (c.d2 - d2).abs() < 0.005)
                .expect("listed")
        };
        let (made, next, far) = (ring(9.25, 1.78), ring(10.82, 1.78), ring(18.77, 1.78));
        let chance = |fitted: usize| neighbours.fitted(&[(fitted, 1.0)])[made];
        assert!(chance(next) > 30.0 * chance(far));
    }
}
