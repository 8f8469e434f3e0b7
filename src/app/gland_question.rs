//! What is asked about a gland: its dimensions and the conditions of its service.

use crate::core::elastomer::Polymer;
use crate::core::gland::{
    Conditions, Duty, Geometry, GlandError, GlandRing, GlandSpec, Metal, RuleSet, Service, geometry,
};
use crate::core::quantity::{Hardness, HardnessScale, LengthUnit, TemperatureRange};
use crate::core::sizes::{Designated, DesignationError, SizeTable, read_designation};

/// Holds a gland with the conditions of its service.
#[derive(Debug, Clone)]
pub struct GlandQuestion {
    /// The gland as it was measured or drawn.
    pub spec: GlandSpec,
    /// Hardness, where it was stated apart from the ring.
    pub hardness: Option<Hardness>,
    /// Polymer, where it was stated apart from the ring.
    pub polymer: Option<Polymer>,
    /// Coldest and hottest temperature of use.
    pub temperature: Option<TemperatureRange>,
    /// Swell by volume in per cent.
    pub swell_pct: Option<f64>,
    /// Metal of the gland.
    pub metal: Metal,
    /// The rule set.
    pub rules: RuleSet,
}

/// Says why a question about a gland has no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum QuestionError {
    /// The dimensions make no gland.
    #[error(transparent)]
    Gland(#[from] GlandError),
    /// The ring cannot be read.
    #[error(transparent)]
    Ring(#[from] DesignationError),
    /// The ring can mean more than one thing.
    #[error("{text:?} can mean {}: write the one you mean", readings.join(", or "))]
    Ambiguous {
        /// What was typed.
        text: String,
        /// Every way to read it.
        readings: Vec<String>,
    },
    /// Ring and flag disagree.
    #[error(
        "the ring is written as {ring}, and {flag} was given beside it: leave one of the two out"
    )]
    Conflict {
        /// What the ring says.
        ring: String,
        /// What the flag says.
        flag: String,
    },
    /// The ring vanishes within its tolerance.
    #[error("the ring's tolerance is as large as the ring: check the tolerance and its unit")]
    NoRing,
    /// The hardness is on another scale.
    #[error(
        "hardness {0} cannot be used here: force and extrusion limits speak of Shore A, and no scale is turned into another; write it as 70A"
    )]
    Scale(Hardness),
}

/// The hardness that is taken where none is stated: by far the most common one.
pub const ASSUMED_SHORE_A: f64 = 70.0;

/// What is said on every page about a gland.
pub const CAUTION: &str = "Breathing gas is life support. A ring that fits its groove is not thereby safe at high \
    pressure: hardness, gap, material and condition decide too. These are estimates from measurement, not approvals; a \
    competent person decides, and local codes and licensed practice come first.";

impl GlandQuestion {
    /// Makes a question about a gland with nothing else stated.
    pub fn new(spec: GlandSpec) -> Self {
        Self {
            spec,
            hardness: None,
            polymer: None,
            temperature: None,
            swell_pct: None,
            metal: Metal::default(),
            rules: RuleSet::default(),
        }
    }

    /// Makes the geometry.
    pub(super) fn geometry(&self) -> Result<Box<dyn Geometry>, QuestionError> {
        Ok(geometry(&self.spec)?)
    }

    /// Reads the ring and gives it the polymer and hardness of the question where it names none.
    pub(super) fn ring(
        &self,
        text: &str,
        declared: Option<LengthUnit>,
    ) -> Result<GlandRing, QuestionError> {
        let table = SizeTable::shipped();
        let readings = read_designation(text, declared)?;
        let [reading] = readings.as_slice() else {
            return Err(QuestionError::Ambiguous {
                text: text.trim().to_owned(),
                readings: readings.iter().map(|r| named(&r.size, table)).collect(),
            });
        };
        let mut ring = GlandRing::of_reading(reading, table);
        ring.polymer = agreed(ring.polymer, self.polymer)?;
        ring.hardness = agreed(ring.hardness, self.hardness)?;
        Ok(ring)
    }

    /// Makes the service for a polymer and a hardness.
    ///
    /// # Errors
    /// Refuses a hardness that is not Shore A.
    pub(super) fn service<'g>(
        &self,
        geometry: &'g dyn Geometry,
        polymer: Option<Polymer>,
        hardness: Option<Hardness>,
    ) -> Result<Service<'g>, QuestionError> {
        let shore_a = match hardness {
            None => ASSUMED_SHORE_A,
            Some(h) if h.scale == HardnessScale::ShoreA => h.value,
            Some(h) => return Err(QuestionError::Scale(h)),
        };
        Ok(Service {
            geometry,
            duty: self.spec.duty.unwrap_or(Duty::Static),
            pressure: self.spec.pressure.as_ref().map(|p| p.value),
            conditions: Conditions {
                temperature: self.temperature,
                swell_pct: self.swell_pct,
                polymer,
                metal: self.metal,
            },
            shore_a,
            rules: self.rules,
        })
    }

    /// Lists what was assumed because it was not stated.
    pub(super) fn assumptions(
        &self,
        geometry: &dyn Geometry,
        polymer: Option<Polymer>,
        hardness: Option<Hardness>,
    ) -> Vec<String> {
        let mut notes = Vec::new();
        if self.spec.duty.is_none() {
            notes.push("duty not given: static is taken".to_owned());
        }
        if self.spec.pressure.is_none() {
            notes.push("pressure not given: extrusion was not checked".to_owned());
        }
        if hardness.is_none() {
            notes.push("hardness not given: 70 Shore A is taken".to_owned());
        }
        let exact: Vec<&str> = geometry
            .dimensions()
            .iter()
            .filter(|(_, d)| !d.has_tolerance())
            .map(|(name, _)| name.word())
            .collect();
        if !exact.is_empty() {
            notes.push(format!(
                "no tolerance given for {}: the worst case takes it as exact",
                exact.join(", ")
            ));
        }
        match (self.temperature, polymer) {
            (Some(_), None) => notes.push(
                "polymer not given: cold and hot were not worked out, because rubbers differ"
                    .to_owned(),
            ),
            (Some(_), Some(polymer)) => notes.push(format!(
                "expansion: {polymer} {}, gland of {} {}e-6 per K ({})",
                polymer.facts().cte_1e6_per_k.map_or_else(
                    || "not known, so cold and hot were not worked out".to_owned(),
                    |a| format!("{a}e-6 per K ({})", polymer.facts().confidence)
                ),
                self.metal.word(),
                (self.metal.expansion() * 1e7).round() / 10.0,
                self.metal.source().1
            )),
            (None, _) => {}
        }
        notes
    }
}

fn agreed<T: Copy + PartialEq + std::fmt::Display>(
    ring: Option<T>,
    flag: Option<T>,
) -> Result<Option<T>, QuestionError> {
    match (ring, flag) {
        (Some(a), Some(b)) if a != b => Err(QuestionError::Conflict {
            ring: a.to_string(),
            flag: b.to_string(),
        }),
        (a, b) => Ok(a.or(b)),
    }
}

fn named(size: &Designated, table: &SizeTable) -> String {
    match size {
        Designated::Listed(id) => table.size(*id).code(),
        Designated::Dimensions { id, section, .. } => format!(
            "{}x{} mm",
            id.nominal.mm_rounded(),
            section.nominal.mm_rounded()
        ),
    }
}
