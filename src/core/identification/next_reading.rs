//! What to measure next: the reading that is expected to tell most.

use super::evidence::Evidence;
use super::likelihood::predict_next;
use super::posterior::Contender;
use crate::core::measurement::{Instrument, Instruments, Measurand};
use crate::core::uncertainty::{log_sum_exp, normal_log_density};

/// Holds a reading that could still be taken.
#[derive(Debug, Clone, PartialEq)]
pub struct NextReading {
    /// What to measure.
    pub measurand: Measurand,
    /// With which method.
    pub method: String,
    /// The method in words.
    pub label: String,
    /// How much less doubtful the ring is expected to be afterwards, in bits.
    pub gain_bits: f64,
    /// Bench time in minutes.
    pub minutes: f64,
}

/// Contenders beyond these hold too little of the odds to change the order of the advice.
const MOST_CONTENDERS: usize = 10;
/// Nodes and weights of Gauss-Hermite quadrature with 7 points for the weight exp(-x²): Abramowitz and Stegun (1964),
/// table 25.10.
const NODES: [(f64, f64); 7] = [
    (-2.651_961_356_835_233, 9.717_812_450_995_2e-4),
    (-1.673_551_628_767_471, 5.451_558_281_912_7e-2),
    (-0.816_287_882_858_965, 4.256_072_526_101_278e-1),
    (0.0, 8.102_646_175_568_073e-1),
    (0.816_287_882_858_965, 4.256_072_526_101_278e-1),
    (1.673_551_628_767_471, 5.451_558_281_912_7e-2),
    (2.651_961_356_835_233, 9.717_812_450_995_2e-4),
];
/// A gain below this is not worth a walk to the drawer.
const LEAST_BITS: f64 = 0.005;

/// Ranks the readings not yet taken by expected information, one line a measurand and method.
///
/// The information is the mutual information of the reading and the ring's identity,
/// `Σ p_k ∫ N(y; μ_k, v_k) log2 [N(y; μ_k, v_k) / Σ p_j N(y; μ_j, v_j)] dy`, by quadrature over the leading rings.
pub(crate) fn rank_next_readings(
    contenders: &[Contender<'_>],
    evidence: &Evidence,
    instruments: &Instruments,
) -> Vec<NextReading> {
    let leading = leading(contenders);
    if leading.len() < 2 {
        return Vec::new();
    }
    let mut ranked: Vec<NextReading> = Vec::new();
    for (measurand, _) in Measurand::ALL {
        if evidence.has(measurand) {
            continue;
        }
        let predicted: Vec<(f64, f64, f64)> = leading
            .iter()
            .map(|(share, contender)| {
                let (mean, variance) = predict_next(contender.candidate, evidence, measurand);
                (*share, mean, variance)
            })
            .collect();
        for instrument in named(instruments, measurand) {
            let gain_bits = information(&predicted, instrument.variance_of_mean(1));
            if gain_bits >= LEAST_BITS {
                ranked.push(NextReading {
                    measurand,
                    method: instrument.method.clone(),
                    label: instrument.label.clone(),
                    gain_bits,
                    minutes: instrument.minutes,
                });
            }
        }
    }
    ranked.sort_by(|a, b| {
        b.gain_bits
            .total_cmp(&a.gain_bits)
            .then_with(|| a.method.cmp(&b.method))
    });
    ranked
}

fn named(instruments: &Instruments, measurand: Measurand) -> impl Iterator<Item = &Instrument> {
    instruments
        .of(measurand)
        .filter(|instrument| !instrument.method.is_empty())
}

/// Takes the contenders that hold most of the odds, with shares that sum to one.
fn leading<'a, 'c>(contenders: &'a [Contender<'c>]) -> Vec<(f64, &'a Contender<'c>)> {
    let mut order: Vec<&Contender<'c>> = contenders.iter().collect();
    order.sort_by(|a, b| b.log_weight.total_cmp(&a.log_weight));
    order.truncate(MOST_CONTENDERS);
    let total = log_sum_exp(order.iter().map(|c| c.log_weight).collect::<Vec<_>>());
    order
        .into_iter()
        .map(|c| (libm::exp(c.log_weight - total), c))
        .filter(|(share, _)| *share > 1e-3)
        .collect()
}

fn information(predicted: &[(f64, f64, f64)], instrument_variance: f64) -> f64 {
    let norm = libm::sqrt(std::f64::consts::PI);
    let mut nats = 0.0;
    for (share, mean, variance) in predicted {
        let variance = variance + instrument_variance;
        for (node, weight) in NODES {
            let y = mean + node * libm::sqrt(2.0 * variance);
            let own = normal_log_density(y - mean, variance);
            let mixed = log_sum_exp(predicted.iter().map(|(p, m, v)| {
                libm::log(*p) + normal_log_density(y - m, v + instrument_variance)
            }));
            nats += share * weight / norm * (own - mixed);
        }
    }
    (nats * std::f64::consts::LOG2_E).max(0.0)
}
