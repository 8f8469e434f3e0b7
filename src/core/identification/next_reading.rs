//! What to measure next: the reading that is expected to tell most.

use super::evidence::Evidence;
use super::forecast::Forecast;
use super::posterior::Contender;
use super::ring_chance::as_code;
use crate::core::measurement::{Instrument, Instruments, Measurand};
use crate::core::sizes::SizeTable;
use crate::core::uncertainty::{log_sum_exp, normal_log_density};
use serde::Serialize;

/// A reading that could still be taken.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NextReading {
    #[serde(rename = "reading")]
    pub measurand: Measurand,
    pub method: &'static str,
    /// The method in words.
    pub label: &'static str,
    /// How much less doubtful the ring is expected to be afterwards, in bits.
    pub gain_bits: f64,
    /// Bench time in minutes.
    pub minutes: f64,
    /// What it should read if the ring is each of the leading listed ones, by rising reading.
    pub would_read: Vec<WouldRead>,
}

/// What a reading should give if the ring is this one.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WouldRead {
    /// Place among the listed rings.
    #[serde(rename = "code", serialize_with = "as_code")]
    pub ring: usize,
    /// The reading in millimetres or grams, the instrument's bias included.
    pub value: f64,
}

impl WouldRead {
    /// Returns the first code of the ring.
    pub fn code(&self) -> String {
        SizeTable::shipped().first_code(self.ring)
    }
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
/// A measurand that was read already is worth another method only where that scatters with less than this share of the
/// variance: the same hand with the same tool would repeat its error.
const BETTER: f64 = 0.5;
/// Rings less probable than this are not named among the outcomes of a reading.
const WORTH_NAMING: f64 = 0.03;
/// A gain below this is not worth a walk to the drawer.
const LEAST_BITS: f64 = 0.005;

/// Ranks readings by expected information a minute, one line a measurand and method; also better methods for a measurand
/// that was read already, because a second method errs apart from the first.
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
    let forecasts: Vec<(f64, Forecast<'_>)> = leading
        .iter()
        .map(|(share, contender)| (*share, Forecast::new(contender.candidate, evidence)))
        .collect();
    let mut ranked: Vec<NextReading> = Vec::new();
    for (measurand, _) in Measurand::ALL {
        let predicted: Vec<(f64, f64, f64)> = forecasts
            .iter()
            .map(|(share, forecast)| {
                let (mean, variance) = forecast.reading(measurand);
                (*share, mean, variance)
            })
            .collect();
        let read = evidence
            .observations
            .iter()
            .filter(|o| o.measurand == measurand);
        let read = read.map(|o| o.variance).fold(f64::INFINITY, f64::min);
        for instrument in named(instruments, measurand) {
            if instrument.variance_of_mean(1) > BETTER * read {
                continue;
            }
            let gain_bits = information(&predicted, instrument.variance_of_mean(1));
            if gain_bits >= LEAST_BITS {
                ranked.push(NextReading {
                    measurand,
                    method: instrument.method,
                    label: instrument.label,
                    gain_bits,
                    minutes: instrument.minutes,
                    would_read: would_read(&leading, &predicted, instrument.bias),
                });
            }
        }
    }
    let pace = |next: &NextReading| next.gain_bits / next.minutes;
    ranked.sort_by(|a, b| {
        pace(b)
            .total_cmp(&pace(a))
            .then_with(|| a.method.cmp(b.method))
    });
    ranked
}

/// Lists what the reading should be for each leading listed ring.
fn would_read(
    leading: &[(f64, &Contender<'_>)],
    predicted: &[(f64, f64, f64)],
    bias: f64,
) -> Vec<WouldRead> {
    let pairs = leading.iter().zip(predicted);
    let mut read: Vec<WouldRead> = pairs
        .filter(|((share, contender), _)| *share >= WORTH_NAMING && contender.is_listed)
        .map(|((_, contender), (_, mean, _))| WouldRead {
            ring: contender.at,
            value: mean + bias,
        })
        .collect();
    read.sort_by(|a, b| a.value.total_cmp(&b.value).then(a.ring.cmp(&b.ring)));
    read
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
    let total = log_sum_exp(order.iter().map(|c| c.log_weight));
    order
        .into_iter()
        .map(|c| (libm::exp(c.log_weight - total), c))
        .filter(|(share, _)| *share > 1e-3)
        .collect()
}

/// One contender's prediction of a reading, as the integral needs it.
struct Predicted {
    share: f64,
    mean: f64,
    variance: f64,
    /// log(share) less the logarithm of the density's denominator.
    log_front: f64,
}

fn information(predicted: &[(f64, f64, f64)], instrument_variance: f64) -> f64 {
    let norm = libm::sqrt(std::f64::consts::PI);
    let contenders: Vec<Predicted> = predicted
        .iter()
        .map(|(share, mean, variance)| {
            let variance = variance + instrument_variance;
            Predicted {
                share: *share,
                mean: *mean,
                variance,
                log_front: libm::log(*share) + normal_log_density(0.0, variance),
            }
        })
        .collect();
    let mut nats = 0.0;
    for own in &contenders {
        let reach = libm::sqrt(2.0 * own.variance);
        for (node, weight) in NODES {
            let y = own.mean + node * reach;
            let log_weight = |c: &Predicted| {
                let away = y - c.mean;
                c.log_front - 0.5 * away * away / c.variance
            };
            let mixed = log_sum_exp(contenders.iter().map(log_weight));
            nats += own.share * weight / norm * (log_weight(own) - libm::log(own.share) - mixed);
        }
    }
    (nats * std::f64::consts::LOG2_E).max(0.0)
}
