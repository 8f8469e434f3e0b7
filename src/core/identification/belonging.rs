//! The odds of what belongs at a place: for each listed ring, and for none of them.

use super::candidates::Candidates;
use super::ring_chance::RingOdds;

/// How likely each listed ring is, and that no list has the one that belongs; together they come to one.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Belonging {
    /// For each listed ring, in the order of the candidates.
    pub(crate) listed: Vec<f64>,
    /// For any size that no list has.
    pub(crate) unlisted: f64,
}

impl Belonging {
    /// Turns likelihoods of the listed rings and their shares into odds; what no list has brings its share along.
    pub(crate) fn of(
        likelihoods: &[f64],
        unlisted: f64,
        shares: &[f64],
        candidates: &Candidates,
    ) -> Self {
        let is_listed = 1.0 - candidates.unlisted;
        let each = likelihoods.iter().zip(shares);
        let mut listed: Vec<f64> = each.map(|(w, s)| is_listed * w * s).collect();
        let total: f64 = listed.iter().sum::<f64>() + unlisted;
        if total > 0.0 {
            for one in &mut listed {
                *one /= total;
            }
        }
        Self {
            listed,
            unlisted: if total > 0.0 { unlisted / total } else { 1.0 },
        }
    }

    /// Lists the rings with at least these odds.
    pub(crate) fn at_least(&self, odds: f64) -> impl Iterator<Item = usize> + '_ {
        (0..self.listed.len()).filter(move |at| self.listed[*at] >= odds)
    }

    /// Returns the likeliest listed ring with its odds.
    pub(crate) fn best(&self) -> Option<RingOdds> {
        let each = self.listed.iter().copied().enumerate();
        let best = each.max_by(|a, b| a.1.total_cmp(&b.1));
        best.map(|(ring, probability)| RingOdds { ring, probability })
    }

    /// Returns the doubt that is left, in bits.
    pub(crate) fn entropy(&self) -> f64 {
        self.listed.iter().copied().map(bits).sum::<f64>() + bits(self.unlisted)
    }

    /// Returns what was told from here to the odds after it, in bits: the Kullback-Leibler divergence.
    pub(crate) fn told_by(&self, after: &Self) -> f64 {
        let term = |before: f64, after: f64| {
            if before > 0.0 && after > 0.0 {
                after * libm::log2(after / before)
            } else {
                0.0
            }
        };
        let each = self.listed.iter().zip(&after.listed);
        let listed: f64 = each.map(|(before, after)| term(*before, *after)).sum();
        (listed + term(self.unlisted, after.unlisted)).max(0.0)
    }
}

/// Returns what one outcome of this chance adds to the doubt, in bits.
pub(crate) fn bits(chance: f64) -> f64 {
    if chance > 0.0 {
        -chance * libm::log2(chance)
    } else {
        0.0
    }
}
