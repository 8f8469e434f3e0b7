//! Facts that are no readings: a pin over which a ring slides or does not, and what a label says.

use super::candidates::{Candidate, Candidates};
use super::evidence::Evidence;
use super::likelihood::{LinearModel, nominal, own_variance};
use super::sensitivity::predict;
use super::wear::{Squeeze, WearModes};
use crate::core::measurement::Measurand;
use crate::core::quantity::LengthUnit;
use crate::core::sizes::{Designated, DesignationError, SizeTable, read_designation};
use crate::core::uncertainty::{log_sum_exp, normal_cdf};

/// What pins said of the inside diameter, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PinFact {
    /// The ring slides over this pin without being stretched.
    pub goes: Option<f64>,
    /// The ring does not slide over this one.
    pub stops: Option<f64>,
}

/// What a label, a drawer or a list says the ring is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StatedFact {
    /// Places of the listed rings that it can mean.
    pub rings: Vec<usize>,
    /// Inside diameter and section in millimetres, where it gives dimensions that are listed nowhere.
    pub dimensions: Vec<(f64, f64)>,
}

impl StatedFact {
    /// Reads what a label says: a code, an old number, or dimensions such as `3/8 x 1/16`; every way to read it counts.
    ///
    /// # Errors
    /// The text is no designation.
    pub fn read(text: &str, declared: Option<LengthUnit>) -> Result<Self, DesignationError> {
        let rings = SizeTable::shipped().rings();
        let mut stated = Self::default();
        for reading in read_designation(text, declared)? {
            let of_size = |size| rings.iter().position(|ring| ring.sizes().contains(size));
            match &reading.size {
                Designated::Listed(size) => stated.rings.extend(of_size(size)),
                Designated::Dimensions { id, section, same } => {
                    let known = stated.rings.len();
                    stated.rings.extend(same.iter().filter_map(of_size));
                    if stated.rings.len() == known {
                        let pair = (id.nominal.mm(), section.nominal.mm());
                        stated.dimensions.push(pair);
                    }
                }
            }
        }
        stated.rings.sort_unstable();
        stated.rings.dedup();
        Ok(stated)
    }
}

/// Standard deviation with which a hand tells "slides over" from "does not". Estimated, no source.
const PIN_SD_MM: f64 = 0.06;
/// Share of such facts that are mistaken.
const PIN_MISTAKEN: f64 = 0.01;
/// Share of labels that name the ring in the drawer. Recalled from practice (mixed drawers, rings put back wrong), no source.
const LABEL_RIGHT: f64 = 0.8;
/// Standard deviations by which dimensions on a label are rounded.
const LABEL_SD_MM: (f64, f64) = (0.15, 0.05);

impl Evidence {
    /// Adds what pins said.
    #[must_use]
    pub fn with_pins(mut self, pins: PinFact) -> Self {
        if self.gland.is_none() {
            self.wear = WearModes::of(self.condition, Squeeze::Unknown);
        }
        self.pins = Some(pins);
        self
    }

    /// Adds what a label says; it can be wrong, and what it names then says nothing.
    #[must_use]
    pub fn with_stated(mut self, stated: &StatedFact, candidates: &Candidates) -> Self {
        let count = candidates.listed.len() as f64;
        let near = |c: &Candidate| {
            let kernel = stated.dimensions.iter().map(|(d1, d2)| {
                let (a, b) = ((c.d1 - d1) / LABEL_SD_MM.0, (c.d2 - d2) / LABEL_SD_MM.1);
                libm::exp(-0.5 * (a * a + b * b))
            });
            kernel.fold(0.0, f64::max)
        };
        let mut suits: Vec<f64> = candidates.listed.iter().map(near).collect();
        for ring in &stated.rings {
            suits[*ring] = 1.0;
        }
        // A label names one ring of all: against a wrong label, the right one gains by their number over its readings.
        let total: f64 = suits.iter().sum::<f64>().max(1.0);
        let factor = |suit: f64| libm::log(LABEL_RIGHT * suit * count / total + 1.0 - LABEL_RIGHT);
        self.factors = suits.into_iter().map(factor).collect();
        self
    }
}

/// Returns the log probability of what the pins said, given the readings, if the ring is this one.
pub(crate) fn pin_log_factor(candidate: &Candidate, evidence: &Evidence) -> f64 {
    let Some(pins) = evidence.pins else {
        return 0.0;
    };
    let ring = nominal(candidate, evidence);
    let modes = evidence.wear.modes.iter().filter_map(|mode| {
        let model = LinearModel::new(candidate, evidence, mode)?;
        let (mean, variance) = model.predict_next(&predict(Measurand::Id, ring, mode));
        let own = own_variance(Measurand::Id, ring, mode, evidence);
        let sd = libm::sqrt(variance + own + PIN_SD_MM * PIN_SD_MM);
        let above = pins.goes.map_or(1.0, |goes| normal_cdf((mean - goes) / sd));
        let beyond = pins
            .stops
            .map_or(0.0, |stops| normal_cdf((mean - stops) / sd));
        let agrees = (above - beyond).max(0.0);
        let chance = (1.0 - PIN_MISTAKEN) * agrees + PIN_MISTAKEN;
        let weight = mode.log_weight + model.log_density;
        Some((weight, weight + libm::log(chance)))
    });
    let modes: Vec<(f64, f64)> = modes.collect();
    log_sum_exp(modes.iter().map(|m| m.1)) - log_sum_exp(modes.iter().map(|m| m.0))
}
