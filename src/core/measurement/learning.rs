//! What readings of known rings teach of one person with one instrument.

use super::instrument::{Instrument, Instruments};
use super::known_ring::{KnownError, KnownReading};

/// What is believed of the bias and spread of one person with one instrument.
///
/// On one ring the mean of n repetitions errs by a bias μ, by an error of the ring held in the hand with variance σ², by
/// the repetitions' own variance r²/n, and by the ring's own distance from nominal, τ². Bias and σ² have a
/// normal-inverse-gamma law, r² an inverse-gamma one:
///
/// ```text
/// μ | σ² ~ N(m, σ²/κ)    σ² ~ InvGamma(a, b)    κₙ = κ₀ + Σw    mₙ = (κ₀ m₀ + Σ w e)/κₙ    aₙ = a₀ + Σw/2
/// bₙ = b₀ + ½ Σ w² (e − ē)² + ½ (κ₀ Σw/κₙ)(ē − m₀)² Σw²/Σw
/// ```
/// A ring counts w = σ₀²/(σ₀² + τ² + r²/n) of a ring: the share of its error's variance that is the instrument's. With
/// w = 1 this is the textbook update (Gelman and others, Bayesian Data Analysis, 3rd edition, section 3.3, recalled). The
/// table's row is the prior, chosen so that without any ring the row stands as it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Belief {
    mean: f64,
    kappa: f64,
    a: f64,
    b: f64,
    repeat_a: f64,
    repeat_b: f64,
    /// How many readings of known rings it rests on.
    pub rings: usize,
}

/// One instrument before and after readings of known rings.
#[derive(Debug, Clone, PartialEq)]
pub struct Learned {
    /// As the table has it.
    pub before: Instrument,
    /// As learned.
    pub after: Instrument,
    /// How many readings of known rings it rests on.
    pub rings: usize,
}

/// The table's bias counts as much as half a known ring: two thirds of the variance that the table gives between rings is
/// taken as that between persons and instruments. No source; a person's first few rings should outweigh a table that was
/// not made with this person.
const KAPPA: f64 = 0.5;
/// The table's spreads count as much as six rings (twice this shape), since few rings tell little of a spread.
const SHAPE: f64 = 3.0;
/// A reading of a known ring this many standard deviations out is of another ring, or misread: one in 15,000 honest ones.
const FAR_OUT: f64 = 4.0;

impl Belief {
    /// Takes a row of the table as it stands.
    pub fn of(instrument: &Instrument) -> Self {
        let between = instrument.sd_between * instrument.sd_between;
        let repeat = instrument.sd_repeat * instrument.sd_repeat;
        Self {
            mean: instrument.bias,
            kappa: KAPPA,
            a: SHAPE,
            b: between * (SHAPE - 1.0) * KAPPA / (KAPPA + 1.0),
            repeat_a: SHAPE,
            repeat_b: repeat * (SHAPE - 1.0),
            rings: 0,
        }
    }

    /// Returns the belief after readings of known rings; their order does not matter.
    #[must_use]
    pub fn after(&self, readings: &[&KnownReading]) -> Self {
        let own = self.ring_variance();
        let repeat = self.repeat_variance();
        let weighed: Vec<(f64, f64)> = readings
            .iter()
            .map(|r| {
                let rest = r.ring_variance + repeat / r.repeats.max(1) as f64;
                (own / (own + rest), r.error)
            })
            .collect();
        let total: f64 = weighed.iter().map(|(w, _)| w).sum();
        if total <= 0.0 {
            return self.clone();
        }
        let squares: f64 = weighed.iter().map(|(w, _)| w * w).sum();
        let centre = weighed.iter().map(|(w, e)| w * e).sum::<f64>() / total;
        let within: f64 = weighed
            .iter()
            .map(|(w, e)| w * w * (e - centre) * (e - centre))
            .sum();
        let kappa = self.kappa + total;
        let moved = centre - self.mean;
        let between = self.kappa * total / kappa * moved * moved * squares / total;
        let repeats: usize = readings.iter().map(|r| r.repeats.saturating_sub(1)).sum();
        let scatter: f64 = readings.iter().map(|r| r.scatter).sum();
        Self {
            mean: (self.kappa * self.mean + total * centre) / kappa,
            kappa,
            a: self.a + 0.5 * total,
            b: self.b + 0.5 * (within + between),
            repeat_a: self.repeat_a + 0.5 * repeats as f64,
            repeat_b: self.repeat_b + 0.5 * scatter,
            rings: self.rings + readings.len(),
        }
    }

    /// Returns the instrument with this bias and spread; the doubt that is left about the bias joins the spread.
    #[must_use]
    pub fn applied(&self, instrument: &Instrument) -> Instrument {
        let doubt = (self.kappa + 1.0) / self.kappa;
        Instrument {
            bias: self.mean,
            sd_between: libm::sqrt(self.ring_variance() * doubt),
            sd_repeat: libm::sqrt(self.repeat_variance()),
            ..instrument.clone()
        }
    }

    /// Returns how many standard deviations a reading lies from what is believed.
    pub fn sigma(&self, reading: &KnownReading) -> f64 {
        let doubt = (self.kappa + 1.0) / self.kappa;
        let repeat = self.repeat_variance() / reading.repeats.max(1) as f64;
        let variance = self.ring_variance() * doubt + repeat + reading.ring_variance;
        (reading.error - self.mean) / libm::sqrt(variance)
    }

    /// The expected σ².
    fn ring_variance(&self) -> f64 {
        self.b / (self.a - 1.0)
    }

    fn repeat_variance(&self) -> f64 {
        self.repeat_b / (self.repeat_a - 1.0)
    }
}

/// Learns each instrument that known rings were read with, in the order of the table.
pub fn learn(instruments: &Instruments, readings: &[KnownReading]) -> Vec<Learned> {
    instruments
        .rows()
        .iter()
        .filter_map(|row| {
            let own: Vec<&KnownReading> = readings
                .iter()
                .filter(|r| r.method == row.method && r.measurand == row.measurand)
                .collect();
            if own.is_empty() {
                return None;
            }
            let belief = Belief::of(row).after(&own);
            Some(Learned {
                before: row.clone(),
                after: belief.applied(row),
                rings: belief.rings,
            })
        })
        .collect()
}

impl KnownReading {
    /// Refuses a reading that must be of another ring or misread.
    ///
    /// # Errors
    /// The reading lies more than four standard deviations from what is believed of its instrument.
    pub fn plausible(&self, belief: &Belief) -> Result<(), KnownError> {
        let sigma = belief.sigma(self).abs();
        if sigma <= FAR_OUT {
            return Ok(());
        }
        Err(KnownError::FarOut {
            measurand: self.measurand,
            typed: self.typed.clone(),
            error: self.error,
            sigma,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::measurement::Measurand;

    fn caliper() -> Instrument {
        let shipped = Instruments::shipped();
        shipped
            .find("caliper", Measurand::Cs)
            .expect("listed")
            .clone()
    }

    fn reading(error: f64, ring_variance: f64) -> KnownReading {
        KnownReading {
            measurand: Measurand::Cs,
            method: "caliper".to_owned(),
            typed: "1.70 mm".to_owned(),
            error,
            repeats: 1,
            scatter: 0.0,
            ring_variance,
        }
    }

    #[test]
    fn without_a_known_ring_the_table_stands() {
        let row = caliper();
        let same = Belief::of(&row).applied(&row);
        assert!((same.bias - row.bias).abs() < 1e-15);
        assert!((same.sd_between - row.sd_between).abs() < 1e-15);
        assert!((same.sd_repeat - row.sd_repeat).abs() < 1e-15);
        assert_eq!(Belief::of(&row).after(&[]), Belief::of(&row));
    }

    #[test]
    fn a_ring_known_exactly_gives_the_textbook_update() {
        // Normal-inverse-gamma by hand, every weight 1 (no repeat error, ring known exactly): κ 0.5 → 3.5,
        // m = (0.5·m₀ + 3·(−0.10))/3.5 with m₀ of the row, a 3 → 4.5, b = b₀ + ½·Σ(e−ē)² + ½·(0.5·3/3.5)·(−0.10−m₀)².
        let mut belief = Belief::of(&caliper());
        belief.repeat_b = 0.0;
        let readings = [-0.12, -0.10, -0.08].map(|e| reading(e, 0.0));
        let after = belief.after(&readings.iter().collect::<Vec<_>>());
        let b0 = 0.04 * 0.04 * 2.0 / 3.0;
        assert!((after.kappa - 3.5).abs() < 1e-12 && (after.a - 4.5).abs() < 1e-12);
        let table = caliper().bias;
        assert!((after.mean - (0.5 * table + 3.0 * -0.10) / 3.5).abs() < 1e-12);
        let by_hand =
            b0 + 0.5 * 2.0 * 0.02 * 0.02 + 0.5 * (0.5 * 3.0 / 3.5) * (-0.10 - table).powi(2);
        assert!((after.b - by_hand).abs() < 1e-12, "{} {by_hand}", after.b);
        assert_eq!(after.rings, 3);
    }

    #[test]
    fn rings_of_loose_tolerance_teach_less_and_order_does_not_matter() {
        let belief = Belief::of(&caliper());
        let errors = [-0.15, -0.09, -0.13, -0.11];
        let of = |variance: f64, reverse: bool| {
            let mut readings = errors.map(|e| reading(e, variance));
            if reverse {
                readings.reverse();
            }
            belief.after(&readings.iter().collect::<Vec<_>>())
        };
        assert!(of(0.0, false).mean < of(0.04, false).mean);
        assert!((of(0.01, false).mean - of(0.01, true).mean).abs() < 1e-15);
        assert!((of(0.01, false).b - of(0.01, true).b).abs() < 1e-15);
    }

    #[test]
    fn many_exact_rings_give_their_own_mean_and_spread() {
        let belief = Belief::of(&caliper());
        // 400 rings in two heaps about −0.20: spread 0.03, repeats scatter by 0.01 (two readings, each 0.01/√2 off: their
        // sum of squares 1e-4 is the variance times one degree of freedom).
        let mut readings = Vec::new();
        for at in 0..400 {
            let off = if at % 2 == 0 { 0.03 } else { -0.03 };
            readings.push(KnownReading {
                repeats: 2,
                scatter: 1e-4,
                ..reading(-0.20 + off, 0.0)
            });
        }
        let row = caliper();
        let after = belief
            .after(&readings.iter().collect::<Vec<_>>())
            .applied(&row);
        // The prior still weighs half a ring in about 250, and the shares w were fixed by the table: 5 %, 20 % and 5 %.
        assert!((after.bias / -0.20 - 1.0).abs() < 0.05, "{after:?}");
        assert!((after.sd_between / 0.03 - 1.0).abs() < 0.20, "{after:?}");
        assert!((after.sd_repeat / 0.01 - 1.0).abs() < 0.05, "{after:?}");
    }

    #[test]
    fn a_reading_of_another_ring_is_refused() {
        let belief = Belief::of(&caliper());
        assert!(reading(-0.08, 0.0017).plausible(&belief).is_ok());
        let wrong = reading(-0.86, 0.0017).plausible(&belief);
        assert!(matches!(wrong, Err(KnownError::FarOut { .. })));
    }
}
