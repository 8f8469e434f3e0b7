//! What is asked about a gland: its dimensions and the conditions of its service.

use crate::core::elastomer::Polymer;
use crate::core::gland::{
    CompressionSet, Conditions, Duty, Geometry, GlandError, GlandRing, GlandSpec, RuleSet, Service,
    TypicalSet, geometry,
};
use crate::core::quantity::{Hardness, HardnessScale, Length, LengthUnit, PressureUnit};
use crate::core::sizes::{Designated, DesignationError, SizeTable, read_designation};

/// Says in which gland a ring is to be judged, and in what service.
#[derive(Debug, Clone)]
pub struct GlandQuestion {
    /// The gland as it was measured or drawn.
    pub spec: GlandSpec,
    /// Hardness, where it was stated apart from the ring.
    pub hardness: Option<Hardness>,
    /// The conditions as far as they do not hang on the ring; the polymer, where it was stated apart from it.
    pub conditions: Conditions,
    /// The compression set that the ring is judged after.
    pub set: Option<SetAsked>,
    /// Age in years to which the set belongs.
    pub years: Option<f64>,
    pub rules: RuleSet,
    /// How many samples of the stack are drawn.
    pub samples: usize,
}

/// Says which compression set is meant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SetAsked {
    /// The greatest that is published for the polymer.
    Typical,
    /// Per cent of the squeeze.
    Percent(f64),
}

/// Samples of the stack where no number is asked for; with them a chance is good to about half a per cent.
pub const SAMPLES: usize = 16_384;

/// Says why a question about a gland has no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum QuestionError {
    #[error(transparent)]
    Gland(#[from] GlandError),
    #[error(transparent)]
    Ring(#[from] DesignationError),
    /// The ring can mean more than one thing.
    #[error("{text:?} can mean {}: write the one you mean", readings.join(", or "))]
    Ambiguous { text: String, readings: Vec<String> },
    /// Ring and flag disagree.
    #[error(
        "the ring is written as {ring}, and {flag} was given beside it: leave one of the two out"
    )]
    Conflict { ring: String, flag: String },
    /// The ring vanishes within its tolerance.
    #[error("the ring's tolerance is as large as the ring: check the tolerance and its unit")]
    NoRing,
    /// No typical compression set is known for the polymer.
    #[error("no typical compression set is known for {}: give --set in per cent, as \"30 %\"", .0.map_or_else(|| "a ring of unknown polymer".to_owned(), |p| p.to_string()))]
    NoTypicalSet(Option<Polymer>),
    /// A wall has no thickness.
    #[error("the wall around the bore is zero: measure it again, or leave it out")]
    NoWall,
    /// A wall was given where nothing follows from it.
    #[error(
        "a wall counts where pressure widens the bore of a piston, rod or carrier gland: give the pressure, or leave the wall out"
    )]
    IdleWall,
    /// A wall that the pressure would stretch beyond what metal bears.
    #[error(
        "a wall of {wall_mm} mm would let the bore grow by {growth_pct:.2} % at this pressure, and beyond {YIELD_PCT} % metal yields or bursts: check wall and pressure, and do not put pressure on such a part"
    )]
    Yields {
        wall_mm: f64,
        /// The growth of the bore in per cent, by the elastic law.
        growth_pct: f64,
    },
    /// The hardness is on another scale.
    #[error(
        "hardness {0} cannot be used here: force and extrusion limits speak of Shore A, and no scale is turned into another; write it as 70A"
    )]
    Scale(Hardness),
}

/// Metal that is stretched beyond this keeps some of it: the 0.2 % offset by which yield strength is defined (ISO 6892-1).
const YIELD_PCT: f64 = 0.2;

/// The hardness that is taken where none is stated: by far the most common one.
pub const ASSUMED_SHORE_A: f64 = 70.0;

impl GlandQuestion {
    /// Makes a question about a gland with nothing else stated.
    pub fn new(spec: GlandSpec) -> Self {
        Self {
            spec,
            hardness: None,
            conditions: Conditions::default(),
            set: None,
            years: None,
            rules: RuleSet::default(),
            samples: SAMPLES,
        }
    }

    /// Makes the geometry.
    pub(in crate::app) fn geometry(&self) -> Result<Geometry, QuestionError> {
        Ok(geometry(&self.spec)?)
    }

    /// Reads the ring and gives it the polymer and hardness of the question where it names none.
    ///
    /// # Errors
    /// Says why the ring cannot be read, or every reading of an ambiguous one.
    pub fn ring(
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
        ring.polymer = agreed(ring.polymer, self.conditions.polymer)?;
        ring.hardness = agreed(ring.hardness, self.hardness)?;
        Ok(ring)
    }

    /// Makes the service for a polymer and a hardness.
    ///
    /// # Errors
    /// Refuses a hardness that is not Shore A.
    pub(in crate::app) fn service<'g>(
        &self,
        geometry: &'g Geometry,
        polymer: Option<Polymer>,
        hardness: Option<Hardness>,
    ) -> Result<Service<'g>, QuestionError> {
        let shore_a = match hardness {
            None => ASSUMED_SHORE_A,
            Some(h) if h.scale == HardnessScale::ShoreA => h.value,
            Some(h) => return Err(QuestionError::Scale(h)),
        };
        self.require_sound_wall(geometry)?;
        Ok(Service {
            geometry,
            duty: self.spec.duty.unwrap_or(Duty::Static),
            pressure: self.spec.pressure.as_ref().map(|p| p.value),
            conditions: Conditions {
                polymer,
                set: self.set(polymer)?,
                ..self.conditions
            },
            shore_a,
            rules: self.rules,
        })
    }

    /// Refuses a wall that is none, from which nothing follows, or that the pressure would stretch beyond what metal bears.
    fn require_sound_wall(&self, geometry: &Geometry) -> Result<(), QuestionError> {
        const PERCENT: f64 = 100.0;
        let Some(wall) = self.conditions.wall else {
            return Ok(());
        };
        if wall <= Length::ZERO {
            return Err(QuestionError::NoWall);
        }
        let widened = geometry.widened_by_pressure().first();
        let bore = widened.and_then(|bore| self.spec.dimension(*bore));
        let (Some(bore), Some(pressure)) = (bore, &self.spec.pressure) else {
            return Err(QuestionError::IdleWall);
        };
        let pascals = pressure.value.gauge_in(PressureUnit::Pa);
        let (inner, wall_mm) = (bore.nominal.mm(), wall.mm());
        let metal = self.conditions.metal;
        let growth_pct = PERCENT * metal.bore_growth(pascals, inner, inner + 2.0 * wall_mm);
        if growth_pct > YIELD_PCT {
            return Err(QuestionError::Yields {
                wall_mm,
                growth_pct,
            });
        }
        Ok(())
    }

    /// Returns the compression set that is asked for; a typical one is the greatest that is published for the polymer.
    fn set(&self, polymer: Option<Polymer>) -> Result<Option<CompressionSet>, QuestionError> {
        let percent = match self.set {
            Some(SetAsked::Percent(percent)) => percent,
            Some(SetAsked::Typical) => {
                polymer
                    .and_then(TypicalSet::of)
                    .ok_or(QuestionError::NoTypicalSet(polymer))?
                    .high_pct
            }
            None => return Ok(None),
        };
        Ok(Some(CompressionSet {
            percent,
            years: self.years,
        }))
    }

    /// Lists what was assumed because it was not stated.
    pub(super) fn assumptions(
        &self,
        geometry: &Geometry,
        polymer: Option<Polymer>,
        hardness: Option<Hardness>,
    ) -> Vec<String> {
        let mut notes = Vec::new();
        if self.spec.duty.is_none() {
            notes.push("duty not given: taken as static".to_owned());
        }
        if self.spec.pressure.is_none() {
            notes.push("pressure not given: extrusion was not checked".to_owned());
        }
        if hardness.is_none() {
            notes.push("hardness not given: taken as 70 Shore A".to_owned());
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
        notes.extend(self.state_notes(polymer));
        let metal = self.conditions.metal;
        match (self.conditions.temperature, polymer) {
            (Some(_), None) => notes.push(
                "polymer not given: cold and hot were not worked out, because rubbers differ"
                    .to_owned(),
            ),
            (Some(_), Some(polymer)) => notes.push(format!(
                "expansion: {polymer} {}, gland of {} {}e-6 per K ({}: {})",
                polymer.facts().cte_1e6_per_k.map_or_else(
                    || "not known, so cold and hot were not worked out".to_owned(),
                    |a| format!("{a}e-6 per K ({})", polymer.facts().confidence)
                ),
                metal.word(),
                (metal.expansion() * 1e7).round() / 10.0,
                metal.expansion_source().1,
                metal.expansion_source().0
            )),
            (None, _) => {}
        }
        notes
    }

    /// Lists what lies behind the states of set and pressure, and the port.
    fn state_notes(&self, polymer: Option<Polymer>) -> Vec<String> {
        let mut notes = Vec::new();
        if self.set == Some(SetAsked::Typical) {
            notes.extend(polymer.and_then(TypicalSet::of).map(|row| {
                format!(
                    "compression set {} %: the greatest of {} to {} %, {} ({}); no published law turns years and temperature of a real ring into its set",
                    row.high_pct, row.low_pct, row.high_pct, row.source, row.confidence
                )
            }));
        }
        if let Some(wall) = self.conditions.wall {
            let metal = self.conditions.metal;
            notes.push(format!(
                "bore growth by the thick-wall formula of Lamé, open ends, wall {} mm of {}; modulus and Poisson's ratio: {} ({})",
                wall.mm_rounded(),
                metal.word(),
                metal.elastic_source().0,
                metal.elastic_source().1
            ));
        }
        if let Some(thread) = self.conditions.thread {
            notes.push(format!(
                "port {}: dimensions that you did not give were recalled and are not confirmed in a source; measure mouth, depth and neck before you rely on them",
                thread.thread
            ));
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
