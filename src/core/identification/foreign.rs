//! Rings that somebody fitted: near the right size, because what does not go in at all is not fitted.

use super::candidates::Candidate;

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
/// Rings farther off than this many such steps count among those of any size.
const REACH: f64 = 5.0;
/// A ring that holds less than this share of the likeliest counts among those of any size alone.
const COUNTS: f64 = 1e-6;

/// Holds, for each listed ring, which others are fitted in its place.
#[derive(Debug, Clone)]
pub(crate) struct Neighbours {
    /// How common each ring is among those that are fitted.
    shares: Vec<f64>,
    /// Inside diameter and section of each ring.
    sizes: Vec<(f64, f64)>,
    /// For each ring that a place was made for, what the weights of its neighbours sum to.
    totals: Vec<f64>,
    /// For each ring that was fitted, the rings in whose place it is fitted, with how near it is as a share of all that are near there.
    near: Vec<Vec<(usize, f64)>>,
}

impl Neighbours {
    /// Lays out the neighbours of the listed rings, each as common as its share.
    pub(crate) fn new(listed: &[Candidate], shares: Vec<f64>) -> Self {
        let sizes: Vec<(f64, f64)> = listed.iter().map(|c| (c.d1, c.d2)).collect();
        let mut order: Vec<usize> = (0..sizes.len()).collect();
        order.sort_unstable_by(|a, b| sizes[*a].0.total_cmp(&sizes[*b].0));
        let near = |fitted: usize| {
            if shares[fitted] > 0.0 {
                belonging(fitted, &sizes, &order)
            } else {
                Vec::new()
            }
        };
        let mut near: Vec<Vec<(usize, f64)>> = (0..sizes.len()).map(near).collect();
        let mut totals = vec![0.0; sizes.len()];
        for (fitted, share) in near.iter().zip(&shares) {
            for (made, near) in fitted {
                totals[*made] += near * share;
            }
        }
        for (made, near) in near.iter_mut().flatten() {
            *near /= totals[*made];
        }
        Self {
            shares,
            sizes,
            totals,
            near,
        }
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
        let of_any = |total: &f64| any * if *total > 0.0 { 1.0 - NEAR_SHARE } else { 1.0 };
        let mut chances: Vec<f64> = self.totals.iter().map(of_any).collect();
        for (at, weight) in found.iter().filter(|(_, weight)| *weight > COUNTS * most) {
            let weight = NEAR_SHARE * weight * self.shares[*at];
            for (made, near) in &self.near[*at] {
                chances[*made] += weight * near;
            }
        }
        chances
    }

    /// Returns the chance that a foreign ring is this one where another belongs.
    pub(crate) fn chance(&self, fitted: usize, made: usize) -> f64 {
        let total = self.totals[made];
        if total <= 0.0 {
            return self.shares[fitted];
        }
        let near = if fitted == made {
            0.0
        } else {
            nearness(&self.sizes, fitted, made)
        };
        self.shares[fitted] * (NEAR_SHARE * near / total + 1.0 - NEAR_SHARE)
    }
}

fn nearness(sizes: &[(f64, f64)], fitted: usize, made: usize) -> f64 {
    let ((x, y), (d1, d2)) = (sizes[fitted], sizes[made]);
    let id = (x - d1).abs() / (NEAR_ID.0 + NEAR_ID.1 * d1);
    let section = (y - d2).abs() / NEAR_SECTION_MM;
    if id > REACH || section > REACH {
        0.0
    } else {
        // As many of half that distance: the size beside it, and the next dash number, are fitted alike.
        libm::exp(-(id + section)) * (1.0 + 2.0 * libm::exp(-id))
    }
}

/// Lists every ring in whose place this one is fitted, and how near it is; the rings are ordered by inside diameter.
fn belonging(fitted: usize, sizes: &[(f64, f64)], order: &[usize]) -> Vec<(usize, f64)> {
    /// Wider than the reach by so much, in millimetres: rounding leaves out none that lies at its very end, and `nearness` decides.
    const WIDER: f64 = 1e-9;
    let d1 = sizes[fitted].0;
    let least = (d1 - REACH * NEAR_ID.0) / (1.0 + REACH * NEAR_ID.1) - WIDER;
    let most = (d1 + REACH * NEAR_ID.0) / (1.0 - REACH * NEAR_ID.1) + WIDER;
    let from = order.partition_point(|at| sizes[*at].0 < least);
    let within = order[from..].iter().take_while(|at| sizes[**at].0 <= most);
    within
        .filter(|made| **made != fitted)
        .map(|made| (*made, nearness(sizes, fitted, *made)))
        .filter(|(_, near)| *near > 0.0)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::candidates::Candidates;
    use super::super::prior::Prior;
    use super::*;
    use crate::core::sizes::SizeTable;

    fn neighbours() -> (Neighbours, Vec<Candidate>) {
        let candidates = Candidates::new(SizeTable::shipped(), &Prior::default());
        (candidates.neighbours().clone(), candidates.listed.clone())
    }

    #[test]
    fn the_chances_of_what_is_fitted_sum_to_one_for_every_ring_that_belongs() {
        let (neighbours, listed) = neighbours();
        for made in (0..listed.len()).step_by(37) {
            let total: f64 = (0..listed.len())
                .map(|fitted| neighbours.chance(fitted, made))
                .sum();
            // The ring that belongs is never the foreign one, save among those of any size, where it is one of a thousand.
            assert!((total - 1.0).abs() < 1e-9, "{made}: {total}");
        }
    }

    #[test]
    fn the_two_ways_to_a_chance_agree() {
        let (neighbours, listed) = neighbours();
        let found = [(100, 0.4), (101, 0.3), (500, 0.2)];
        let chances = neighbours.fitted(&found);
        for made in (0..listed.len()).step_by(11).chain([99, 100, 101, 102]) {
            let one_by_one: f64 = found
                .iter()
                .map(|(at, weight)| weight * neighbours.chance(*at, made))
                .sum();
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
        assert!(neighbours.chance(next, made) > 30.0 * neighbours.chance(far, made));
    }
}
