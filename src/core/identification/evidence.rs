//! What the readings say, once the instruments have been taken into account.

use super::likelihood::{log_honest, slip_log_odds};
use super::small_matrix::MOST;
use super::wear::{Wear, WearMode};
use crate::core::elastomer::Polymer;
use crate::core::measurement::{Condition, InstrumentError, Instruments, Measurand, Reading};

/// Holds one reading with its instrument's bias taken off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observation {
    /// What was measured.
    pub measurand: Measurand,
    /// Mean of the repetitions less the bias, in millimetres or grams.
    pub value: f64,
    /// Variance of that mean about the truth.
    pub variance: f64,
}

/// Holds everything that bears on which ring it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    pub(crate) observations: Vec<Observation>,
    /// Ways of wear, for both directions of squeeze where a diameter was read.
    pub(crate) modes: Vec<WearMode>,
    /// One mode that covers all of them.
    pub(crate) broad_mode: WearMode,
    pub(crate) density: Density,
    /// Log odds of each reading being a slip, before anything is compared.
    pub(crate) slip_log_odds: [f64; MOST],
    /// Log probability that no reading is a slip.
    pub(crate) log_honest: f64,
}

/// Says why readings cannot be used together.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum EvidenceError {
    /// Nothing was measured.
    #[error("nothing was measured: give at least one of --od, --id, --cs, --width, --cut, --mass")]
    Nothing,
    /// More readings than are taken together.
    #[error("{0} readings are more than the {MOST} that are taken together: leave the weakest out")]
    TooMany(usize),
    /// A method does not measure what it is said to have measured.
    #[error(transparent)]
    Instrument(#[from] InstrumentError),
    /// A reading is zero or lies below what its instrument can tell from zero.
    #[error("the {} reads {value}, which cannot be that of a ring: check the number and the unit", .measurand.name())]
    NotPositive {
        /// What was measured.
        measurand: Measurand,
        /// The mean of the readings.
        value: f64,
    },
}

/// Holds the density of a ring's compound in g/cm³.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Density {
    pub(crate) mean: f64,
    pub(crate) relative_sd: f64,
}

/// Half the width of a 95 % band in standard deviations.
pub(crate) const BAND_95: f64 = 1.959_964;

impl Density {
    /// Takes the polymer's range as a 95 % band; without a polymer, the span of all of them.
    fn of(polymer: Option<Polymer>) -> Self {
        let (least, greatest) = match polymer {
            Some(polymer) => {
                let facts = polymer.facts();
                (facts.density_min_g_cm3, facts.density_max_g_cm3)
            }
            None => Polymer::all().fold((f64::INFINITY, 0.0_f64), |(low, high), facts| {
                (
                    low.min(facts.density_min_g_cm3),
                    high.max(facts.density_max_g_cm3),
                )
            }),
        };
        let mean = 0.5 * (least + greatest);
        Self {
            mean,
            relative_sd: 0.5 * (greatest - least) / (BAND_95 * mean),
        }
    }
}

impl Evidence {
    /// Gathers readings of one ring.
    ///
    /// # Errors
    /// No reading, too many, an unknown method, or a reading that is not positive.
    pub fn new(
        readings: &[Reading],
        condition: Condition,
        polymer: Option<Polymer>,
        instruments: &Instruments,
    ) -> Result<Self, EvidenceError> {
        if readings.is_empty() {
            return Err(EvidenceError::Nothing);
        }
        if readings.len() > MOST {
            return Err(EvidenceError::TooMany(readings.len()));
        }
        let observations = readings
            .iter()
            .map(|reading| observe(reading, instruments))
            .collect::<Result<Vec<Observation>, _>>()?;
        let diameters = observations
            .iter()
            .any(|o| matches!(o.measurand, Measurand::Id | Measurand::Od));
        let wear = Wear::of(condition);
        let mut slips = [0.0; MOST];
        for (slip, observation) in slips.iter_mut().zip(&observations) {
            *slip = slip_log_odds(observation.value);
        }
        Ok(Self {
            slip_log_odds: slips,
            log_honest: log_honest(observations.len()),
            observations,
            modes: wear.modes(diameters),
            broad_mode: wear.broad_mode(),
            density: Density::of(polymer),
        })
    }

    /// Returns the readings as they count.
    pub fn observations(&self) -> &[Observation] {
        &self.observations
    }

    /// Tells whether a measurand was read.
    pub fn has(&self, measurand: Measurand) -> bool {
        self.observations.iter().any(|o| o.measurand == measurand)
    }
}

fn observe(reading: &Reading, instruments: &Instruments) -> Result<Observation, EvidenceError> {
    let instrument = instruments.find(&reading.method, reading.measurand)?;
    let mean = reading.mean();
    if mean <= 0.0 {
        return Err(EvidenceError::NotPositive {
            measurand: reading.measurand,
            value: mean,
        });
    }
    Ok(Observation {
        measurand: reading.measurand,
        value: mean - instrument.bias,
        variance: instrument.variance_of_mean(reading.values.len()),
    })
}
