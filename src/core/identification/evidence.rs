//! What the readings say, once the instruments have been taken into account.

use super::candidates::Candidates;
use super::facts::PinFact;
use super::gland_evidence::{GlandEvidence, GlandFactors};
use super::likelihood::{log_honest, slip_log_odds};
use super::small_matrix::MOST;
use super::wear::{Squeeze, WearModes};
use crate::core::elastomer::Polymer;
use crate::core::measurement::{Condition, InstrumentError, Instruments, Measurand, Reading};
use crate::core::uncertainty::normal_log_density;
use std::sync::Arc;

/// One reading with its instrument's bias taken off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observation {
    pub measurand: Measurand,
    /// Mean of the repetitions less the bias, in millimetres or grams.
    pub value: f64,
    /// Variance of that mean about the truth.
    pub variance: f64,
    /// The part of it that is the same for every ring which one hand reads with one tool.
    pub common: f64,
    /// The method that it was read by; empty where nobody said.
    pub method: &'static str,
}

/// Everything that bears on which ring it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    pub(crate) observations: Vec<Observation>,
    pub(crate) condition: Condition,
    /// Ways of wear, for both directions of squeeze where a diameter was read.
    pub(crate) wear: &'static WearModes,
    pub(crate) density: Density,
    /// Log odds of each reading being a slip, before anything is compared.
    pub(crate) slip_log_odds: [f64; MOST],
    /// Log density of each reading where it agrees exactly and nothing but its instrument scatters.
    pub(crate) peaks: [f64; MOST],
    /// Log probability that no reading is a slip.
    pub(crate) log_honest: f64,
    /// By how much other facts than readings change the log odds of each listed ring; empty where there are none.
    pub(crate) factors: Vec<f64>,
    /// What the gland says, where one was measured.
    pub(crate) gland: Option<Arc<GlandFactors>>,
    pub(crate) pins: Option<PinFact>,
}

/// Says why readings cannot be used together.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum EvidenceError {
    #[error("nothing was measured: give at least one of --od, --id, --cs, --width, --cut, --mass")]
    Nothing,
    #[error("{0} readings are more than the {MOST} that are taken together: leave the weakest out")]
    TooMany(usize),
    /// A method does not measure what it is said to have measured.
    #[error(transparent)]
    Instrument(#[from] InstrumentError),
    /// The hole is as large as the ring.
    #[error(
        "the inside diameter reads {id} mm and the outside diameter {od} mm: the outside is the larger one, so one of them is wrong or they are exchanged"
    )]
    IdNotBelowOd { id: f64, od: f64 },
    /// A reading is zero or lies below what its instrument can tell from zero.
    #[error("the {} reads {value}, which cannot be that of a ring: check the number and the unit", .measurand.name())]
    NotPositive { measurand: Measurand, value: f64 },
}

/// Share of the variance of an instrument's lasting error that is the hand's and the tool's, the same for every ring that they read;
/// the rest is each ring's own. Hands differ by 0.05 mm where the whole is 0.07 to 0.08 mm (measured: three hands on ten new rings,
/// see the table of instruments); that the pinch of one's jaws is the same for all rings is judgement.
const OF_THE_HAND: f64 = 0.75;
/// Standard deviation of one outside diameter of a ring that lies free, as a share of it: the longest and the shortest differ by
/// 0.32 mm on rings of 18.2 mm mean diameter (measured, ten new rings, the same source), and the angle is any. Who reads twice reads
/// across the other way too.
const OVAL: f64 = 0.32 / (2.0 * std::f64::consts::SQRT_2 * 18.2);
/// The methods that read one diameter; the others go round the ring.
const ACROSS: [&str; 4] = ["", "caliper", "micrometer", "rule"];

/// Returns the method that a reading counts by. A section without its method, beside a diameter by steel rule, was judged by eye: who
/// has a finer tool at hand takes the diameter with it too.
fn counted_method<'r>(reading: &'r Reading, readings: &[Reading]) -> &'r str {
    let section = matches!(reading.measurand, Measurand::Cs | Measurand::Width);
    if section && reading.method.is_empty() && readings.iter().any(|one| one.method == "rule") {
        "eye"
    } else {
        &reading.method
    }
}

/// The density of a ring's compound in g/cm³.
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
        let observations = Observation::of_readings(readings, instruments)?;
        Self::of_observations(observations, condition, polymer)
    }

    /// Gathers readings whose instruments' biases have been taken off already.
    ///
    /// # Errors
    /// No reading, or too many.
    pub fn of_observations(
        observations: Vec<Observation>,
        condition: Condition,
        polymer: Option<Polymer>,
    ) -> Result<Self, EvidenceError> {
        if observations.is_empty() {
            return Err(EvidenceError::Nothing);
        }
        if observations.len() > MOST {
            return Err(EvidenceError::TooMany(observations.len()));
        }
        let read = |measurand: Measurand| {
            let found = observations.iter().find(|o| o.measurand == measurand);
            found.map(|o| o.value)
        };
        if let Some((id, od)) = read(Measurand::Id).zip(read(Measurand::Od))
            && id >= od
        {
            let shown = |mm: f64| (mm * 100.0).round() / 100.0;
            return Err(EvidenceError::IdNotBelowOd {
                id: shown(id),
                od: shown(od),
            });
        }
        let diameters = [Measurand::Id, Measurand::Od, Measurand::Stack];
        let mut unread = Self::of_no_reading(condition);
        unread.density = Density::of(polymer);
        if observations
            .iter()
            .any(|o| diameters.contains(&o.measurand))
        {
            unread.wear = WearModes::of(condition, Squeeze::Unknown);
        }
        Ok(unread.with_observations(observations))
    }

    /// Stands where nothing was read of the ring itself, and other facts speak alone.
    pub fn of_no_reading(condition: Condition) -> Self {
        Self {
            slip_log_odds: [0.0; MOST],
            peaks: [0.0; MOST],
            log_honest: log_honest(0),
            observations: Vec::new(),
            condition,
            // The direction of squeeze is of no consequence where no diameter was read.
            wear: WearModes::of(condition, Squeeze::Radial),
            density: Density::of(None),
            factors: Vec::new(),
            gland: None,
            pins: None,
        }
    }

    /// Adds the gland that the ring was taken out of: it tells which way the ring was squeezed, and which ring a designer
    /// made it for.
    #[must_use]
    pub fn with_gland(self, gland: &GlandEvidence, candidates: &Candidates) -> Self {
        self.within(&Arc::new(GlandFactors::new(gland, candidates)))
    }

    /// The same with what was worked out of the gland for another ring.
    #[must_use]
    pub(crate) fn within(mut self, factors: &Arc<GlandFactors>) -> Self {
        self.wear = WearModes::of(self.condition, factors.gland.squeeze());
        self.gland = Some(Arc::clone(factors));
        self
    }

    /// Returns the same with only the readings that are to be kept; `None` where none is.
    pub(crate) fn keeping(&self, keep: impl Fn(usize) -> bool) -> Option<Self> {
        let kept = (0..self.observations.len()).filter(|at| keep(*at));
        let kept: Vec<Observation> = kept.map(|at| self.observations[at]).collect();
        (!kept.is_empty()).then(|| self.clone().with_observations(kept))
    }

    /// Returns the same with these readings, or with readings that count otherwise.
    #[must_use]
    pub(crate) fn with_observations(mut self, observations: Vec<Observation>) -> Self {
        (self.slip_log_odds, self.peaks) = ([0.0; MOST], [0.0; MOST]);
        for (at, observation) in observations.iter().enumerate() {
            self.slip_log_odds[at] = slip_log_odds(observation.value);
            self.peaks[at] = normal_log_density(0.0, observation.variance);
        }
        self.log_honest = log_honest(observations.len());
        self.observations = observations;
        self
    }

    /// Returns by how much other facts than readings change the log odds of a listed ring.
    pub(crate) fn factor(&self, listed: usize) -> f64 {
        self.factors.get(listed).copied().unwrap_or(0.0)
    }

    /// Tells whether the same was measured of another ring in the same way, whatever it read.
    pub(crate) fn is_read_as(&self, other: &Self) -> bool {
        let read = self.observations.iter().zip(&other.observations);
        std::ptr::eq(self.wear, other.wear)
            && self.density == other.density
            && self.observations.len() == other.observations.len()
            && read.into_iter().all(|(a, b)| {
                a.measurand == b.measurand && a.variance.to_bits() == b.variance.to_bits()
            })
    }
}

impl Observation {
    /// Takes the height of a stack of equal rings as that of one of them; the instrument errs once for all.
    ///
    /// # Errors
    /// A method that does not measure this, or readings that are not positive.
    pub fn of_stack(
        values: &[f64],
        rings: u16,
        method: &str,
        instruments: &Instruments,
    ) -> Result<Self, EvidenceError> {
        let whole = Self::of(Measurand::Stack, values, method, instruments)?;
        let rings = f64::from(rings.max(1));
        Ok(Self {
            value: whole.value / rings,
            variance: whole.variance / (rings * rings),
            common: whole.common / (rings * rings),
            ..whole
        })
    }

    /// Takes the readings of one ring. Those that state their own uncertainty by one method are one group: the diameters of a
    /// scan share the page's scale and the look of its edges, with signs that are not known. So many times the variance of each is
    /// never too sure, whatever they share, because the variance of a sum of n is at most n times the sum of the variances.
    ///
    /// # Errors
    /// A method that does not measure this, or readings that are not positive.
    pub fn of_readings(
        readings: &[Reading],
        instruments: &Instruments,
    ) -> Result<Vec<Self>, EvidenceError> {
        let with_own = |reading: &&Reading| reading.own_uncertainty().is_some();
        let observed = readings.iter().map(|reading| {
            let mut one =
                Self::of_reading(reading, counted_method(reading, readings), instruments)?;
            if with_own(&reading) {
                let group = readings.iter().filter(with_own);
                one.variance *= group.filter(|other| other.method == reading.method).count() as f64;
            }
            Ok(one)
        });
        observed.collect()
    }

    /// Takes a reading as it was written: its last digit says how finely it was read; where it states its own uncertainty, that
    /// stands in place of the instrument's.
    fn of_reading(
        reading: &Reading,
        method: &str,
        instruments: &Instruments,
    ) -> Result<Self, EvidenceError> {
        let read = Self::of(reading.measurand, &reading.values, method, instruments)?;
        if let Some(own) = reading.own_uncertainty() {
            // What it shares with those of other rings is not said, and is not that of the usual hand.
            return Ok(Self {
                variance: own * own,
                common: 0.0,
                ..read
            });
        }
        let step = reading.resolution();
        // What was rounded lies evenly over one step.
        let rounded = step * step / 12.0;
        Ok(Self {
            variance: read.variance + rounded,
            ..read
        })
    }

    /// Takes repeated readings of one measurand by one method (empty: not stated), in millimetres or grams.
    ///
    /// # Errors
    /// A method that does not measure this, or readings that are not positive.
    pub fn of(
        measurand: Measurand,
        values: &[f64],
        method: &str,
        instruments: &Instruments,
    ) -> Result<Self, EvidenceError> {
        let instrument = instruments.find(method, measurand)?;
        let mean = values.iter().sum::<f64>() / values.len() as f64;
        let across = values.len() == 1 && ACROSS.contains(&instrument.method);
        let oval = if across && measurand == Measurand::Od {
            (OVAL * mean) * (OVAL * mean)
        } else {
            0.0
        };
        if mean <= 0.0 {
            return Err(EvidenceError::NotPositive {
                measurand,
                value: mean,
            });
        }
        Ok(Self {
            measurand,
            value: mean - instrument.bias,
            variance: instrument.variance_of_mean(values.len()) + oval,
            common: OF_THE_HAND * instrument.sd_between * instrument.sd_between,
            method: instrument.method,
        })
    }

    /// Takes a reading whose hand and tool are known by other rings: by how much they read too large, and how much of their common
    /// variance is left.
    pub(crate) fn knowing_the_hand(self, error: f64, left: f64) -> Self {
        Self {
            value: self.value - error,
            variance: self.variance - self.common + left,
            common: left,
            ..self
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_section_without_its_method_beside_a_diameter_by_rule_was_judged_by_eye() {
        let section = |od: &str, cs: &str| {
            let read = |what, text| Reading::parse(what, text, None).expect("reads");
            let readings = [read(Measurand::Od, od), read(Measurand::Cs, cs)];
            Observation::of_readings(&readings, Instruments::shipped()).expect("counts")[1]
        };
        let by_eye = section("13 mm by rule", "1.8 mm");
        assert_eq!(by_eye.method, "eye");
        assert!(by_eye.variance > 4.0 * section("12.8 mm by caliper", "1.8 mm").variance);
        assert_eq!(
            section("13 mm by rule", "1.8 mm by caliper").method,
            "caliper"
        );
    }
}
