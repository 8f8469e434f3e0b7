//! The odds of listed rings, from readings alone or with what the glands say.

use super::odds_words::{percent, units};
use crate::core::gland::Verdict;
use crate::core::identification::Identification;
use crate::core::sizes::SizeTable;

/// Holds the odds of listed rings and of no listed size.
#[derive(Debug, Clone)]
pub(super) struct RingOdds {
    /// Places in [`SizeTable::rings`] with their probabilities, most probable first.
    ranked: Vec<(usize, f64)>,
    unlisted: f64,
    /// What the glands say of the odds that they were weighed with.
    glands: Option<GlandEvidence>,
}

/// Holds what glands say of the rings that readings allow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct GlandEvidence {
    /// How readily a designer would have put what was read into these glands: the mean of [`readiness`] over the odds.
    pub(super) readiness: f64,
    /// Probability, from the readings, that the ring that came out is one which the glands reject.
    pub(super) rejected: f64,
}

/// How readily a designer puts a ring into a gland, by the verdict on the pair; relative figures, estimated, no source. A
/// rejected pair keeps one chance in fifty: glands are measured wrong, and old designs broke rules.
const fn readiness(verdict: Verdict) -> f64 {
    match verdict {
        Verdict::Good => 1.0,
        Verdict::Marginal => 0.5,
        Verdict::Reject => 0.02,
    }
}

/// The same for a ring of no listed size, whose pair with the gland cannot be judged.
const UNLISTED_READINESS: f64 = 0.5;
/// Odds from here on are worth a word.
const SHOWN: f64 = 0.01;

impl RingOdds {
    /// Takes the odds that readings give.
    pub(super) fn of(identification: &Identification) -> Self {
        Self {
            ranked: identification
                .ranked
                .iter()
                .map(|ring| (ring.ring, ring.probability))
                .collect(),
            unlisted: identification.unlisted_probability,
            glands: None,
        }
    }

    /// Weighs the odds with the verdicts of the glands; a ring that no gland could judge keeps its weight.
    ///
    /// Bayes' rule with [`readiness`] as the likelihood: which ring belongs here, not which one came out.
    #[must_use]
    pub(super) fn with_glands(&self, verdict: impl Fn(usize) -> Option<Verdict>) -> Self {
        let mut weighed: Vec<(usize, f64)> = Vec::new();
        let mut judged = false;
        let mut rejected = 0.0;
        for (ring, probability) in &self.ranked {
            let verdict = verdict(*ring);
            judged |= verdict.is_some();
            if verdict == Some(Verdict::Reject) {
                rejected += probability;
            }
            weighed.push((*ring, probability * verdict.map_or(1.0, readiness)));
        }
        if !judged {
            return self.clone();
        }
        let unlisted = self.unlisted * UNLISTED_READINESS;
        let total: f64 = unlisted + weighed.iter().map(|(_, weight)| weight).sum::<f64>();
        for (_, weight) in &mut weighed {
            *weight /= total;
        }
        weighed.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        Self {
            ranked: weighed,
            unlisted: unlisted / total,
            glands: Some(GlandEvidence {
                readiness: total,
                rejected,
            }),
        }
    }

    /// Returns what the glands say, where they were weighed with the readings.
    pub(super) fn glands(&self) -> Option<GlandEvidence> {
        self.glands
    }

    /// Returns the most probable ring, unless no listed size is more probable.
    pub(super) fn leader(&self) -> Option<usize> {
        let (ring, probability) = self.ranked.first()?;
        (*probability > self.unlisted).then_some(*ring)
    }

    /// Returns the probability of the most probable ring.
    pub(super) fn leading_probability(&self) -> Option<f64> {
        self.ranked.first().map(|(_, probability)| *probability)
    }

    /// Returns the probability of a ring.
    pub(super) fn of_ring(&self, ring: usize) -> f64 {
        self.ranked
            .iter()
            .find(|(place, _)| *place == ring)
            .map_or(0.0, |(_, probability)| *probability)
    }

    /// Says in words how sure the size is: the odds of the first, of the next, and of no listed size.
    pub(super) fn how_sure(&self, measured: usize) -> String {
        let mut words = vec![match self.ranked.first() {
            Some((ring, probability)) => format!("{} {}", code(*ring), percent(*probability)),
            None => "no listed ring fits".to_owned(),
        }];
        if let Some((ring, probability)) = self.ranked.get(1).filter(|(_, p)| *p >= SHOWN) {
            words.push(format!("{} {}", code(*ring), percent(*probability)));
        }
        if self.unlisted >= SHOWN {
            words.push(format!("no listed size {}", percent(self.unlisted)));
        }
        format!("{} ({} measured)", words.join(", "), units(measured))
    }

    /// Names the size that leads, with its odds.
    pub(super) fn leader_words(&self) -> String {
        match (self.leader(), self.leading_probability()) {
            (Some(ring), Some(probability)) => format!("{} ({})", code(ring), percent(probability)),
            _ => format!("no listed size ({})", percent(self.unlisted)),
        }
    }
}

/// Returns the first code of a ring.
pub(super) fn code(ring: usize) -> String {
    let table = SizeTable::shipped();
    table.codes(&table.rings()[ring]).remove(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn odds(ranked: &[(usize, f64)], unlisted: f64) -> RingOdds {
        RingOdds {
            ranked: ranked.to_vec(),
            unlisted,
            glands: None,
        }
    }

    #[test]
    fn glands_move_the_odds_by_bayes_rule() {
        // By hand: 0.6·0.02, 0.3·1, 0.1·0.5 = 0.012, 0.3, 0.05; sum 0.362; 0.3/0.362 = 0.828 73.
        let with = odds(&[(4, 0.6), (7, 0.3)], 0.1).with_glands(|ring| {
            Some(if ring == 4 {
                Verdict::Reject
            } else {
                Verdict::Good
            })
        });
        assert_eq!(with.leader(), Some(7));
        assert!((with.of_ring(7) - 0.828_729).abs() < 1e-6);
        let glands = with.glands().expect("judged");
        assert!((glands.readiness - 0.362).abs() < 1e-12);
        assert!((glands.rejected - 0.6).abs() < 1e-12);
        assert!((with.of_ring(4) + with.of_ring(7) + with.unlisted - 1.0).abs() < 1e-12);
    }

    #[test]
    fn odds_without_a_judged_gland_stay_as_they_are() {
        let plain = odds(&[(4, 0.6), (7, 0.3)], 0.1);
        let with = plain.with_glands(|_| None);
        assert_eq!(with.ranked, plain.ranked);
        assert!((with.unlisted - plain.unlisted).abs() < 1e-15);
    }

    #[test]
    fn a_ring_less_probable_than_none_does_not_lead() {
        assert_eq!(odds(&[(4, 0.3)], 0.6).leader(), None);
        assert!(odds(&[], 1.0).how_sure(2).contains("no listed ring"));
    }
}
