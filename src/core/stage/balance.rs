//! The force balance of a stage: from geometry, spring and supply to the intermediate pressure, and back.

use super::design::StageDesign;
use crate::core::quantity::{Force, Length, Pressure, PressureUnit, as_mm};
use serde::Serialize;

/// The geometry of a stage of one design; diameters are those of the sealing circles.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(tag = "design")]
pub enum Stage {
    /// Head, stem and seat circle of an unbalanced piston.
    #[serde(rename = "unbalanced piston")]
    UnbalancedPiston {
        /// Bore in which the head seals.
        #[serde(rename = "head_mm", serialize_with = "as_mm")]
        head: Length,
        /// Stem where it seals in the body.
        #[serde(rename = "stem_mm", serialize_with = "as_mm")]
        stem: Length,
        /// Sealing circle on the jet, not its hole.
        #[serde(rename = "seat_mm", serialize_with = "as_mm")]
        seat: Length,
    },
    /// Head, shaft and sharp edge of a balanced piston.
    #[serde(rename = "balanced piston")]
    BalancedPiston {
        /// Bore in which the head seals.
        #[serde(rename = "head_mm", serialize_with = "as_mm")]
        head: Length,
        /// Shaft where it passes through its ring.
        #[serde(rename = "shaft_mm", serialize_with = "as_mm")]
        shaft: Length,
        /// Sharp edge that meets the seat.
        #[serde(rename = "edge_mm", serialize_with = "as_mm")]
        edge: Length,
    },
    /// Diaphragm, seat circle and poppet spring of an unbalanced diaphragm stage.
    #[serde(rename = "unbalanced diaphragm")]
    UnbalancedDiaphragm {
        /// Effective diameter, about the mean of clamp and pusher (common practice, recalled).
        #[serde(rename = "diaphragm_mm", serialize_with = "as_mm")]
        diaphragm: Length,
        /// Sealing circle.
        #[serde(rename = "seat_mm", serialize_with = "as_mm")]
        seat: Length,
        /// Spring that shuts the poppet.
        #[serde(rename = "poppet_spring_n")]
        poppet_spring: Force,
    },
    /// Diaphragm, seat circle, tail seal and poppet spring of a balanced diaphragm stage.
    #[serde(rename = "balanced diaphragm")]
    BalancedDiaphragm {
        /// Effective diameter.
        #[serde(rename = "diaphragm_mm", serialize_with = "as_mm")]
        diaphragm: Length,
        /// Sealing circle.
        #[serde(rename = "seat_mm", serialize_with = "as_mm")]
        seat: Length,
        /// Seal of the poppet's tail.
        #[serde(rename = "tail_mm", serialize_with = "as_mm")]
        tail: Length,
        /// Spring that shuts the poppet.
        #[serde(rename = "poppet_spring_n")]
        poppet_spring: Force,
    },
}

/// Least and greatest sealing circle of a stage that is believed, in millimetres.
pub const BELIEVED_CIRCLE_MM: std::ops::RangeInclusive<f64> = 0.2..=200.0;

/// Says why a geometry is none.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error(
    "{larger} ({larger_mm} mm) must be larger than {smaller} ({smaller_mm} mm): measure both again, as sealing circles"
)]
pub struct StageFault {
    /// What must be larger.
    pub larger: &'static str,
    /// Its diameter.
    pub larger_mm: f64,
    /// What must be smaller.
    pub smaller: &'static str,
    /// Its diameter.
    pub smaller_mm: f64,
}

/// A force balance in its common form `p = (F − opposing + ps·S)/E`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Balance {
    /// Effective area `E` in mm².
    pub effective_mm2: f64,
    /// Supply area `S` in mm²; below 0 where the supply helps to shut.
    pub supply_mm2: f64,
    /// Spring force that works against the main spring, in newtons.
    pub opposing_n: f64,
}

/// Newtons on a square millimetre in one bar.
const MPA_PER_BAR: f64 = 0.1;

pub(super) fn area(diameter: Length) -> f64 {
    std::f64::consts::FRAC_PI_4 * diameter.mm() * diameter.mm()
}

impl Stage {
    /// Returns the design.
    pub fn design(&self) -> StageDesign {
        match self {
            Self::UnbalancedPiston { .. } => StageDesign::UnbalancedPiston,
            Self::BalancedPiston { .. } => StageDesign::BalancedPiston,
            Self::UnbalancedDiaphragm { .. } => StageDesign::UnbalancedDiaphragm,
            Self::BalancedDiaphragm { .. } => StageDesign::BalancedDiaphragm,
        }
    }

    /// Returns the force balance; the module's documentation derives it.
    ///
    /// # Errors
    /// A head that is not larger than its stem, or a diaphragm not larger than its seat.
    pub fn balance(&self) -> Result<Balance, StageFault> {
        match *self {
            Self::UnbalancedPiston { head, stem, seat } => {
                ordered("the head", head, "the stem", stem)?;
                ordered("the stem", stem, "the seat circle", seat)?;
                Ok(Balance {
                    effective_mm2: area(head) - area(stem) + area(seat),
                    supply_mm2: area(seat),
                    opposing_n: 0.0,
                })
            }
            Self::BalancedPiston { head, shaft, edge } => {
                ordered("the head", head, "the shaft", shaft)?;
                ordered("the head", head, "the edge", edge)?;
                Ok(Balance {
                    effective_mm2: area(head) - area(edge),
                    supply_mm2: area(shaft) - area(edge),
                    opposing_n: 0.0,
                })
            }
            Self::UnbalancedDiaphragm {
                diaphragm,
                seat,
                poppet_spring,
            } => {
                ordered("the diaphragm", diaphragm, "the seat circle", seat)?;
                Ok(Balance {
                    effective_mm2: area(diaphragm) - area(seat),
                    supply_mm2: -area(seat),
                    opposing_n: poppet_spring.newtons(),
                })
            }
            Self::BalancedDiaphragm {
                diaphragm,
                seat,
                tail,
                poppet_spring,
            } => {
                ordered("the diaphragm", diaphragm, "the seat circle", seat)?;
                Ok(Balance {
                    effective_mm2: area(diaphragm) - area(seat) + area(tail),
                    supply_mm2: area(tail) - area(seat),
                    opposing_n: poppet_spring.newtons(),
                })
            }
        }
    }
}

fn ordered(
    larger: &'static str,
    large: Length,
    smaller: &'static str,
    small: Length,
) -> Result<(), StageFault> {
    if large > small {
        return Ok(());
    }
    Err(StageFault {
        larger,
        larger_mm: large.mm(),
        smaller,
        smaller_mm: small.mm(),
    })
}

impl Balance {
    /// Returns the intermediate pressure in bar above the surroundings, just closed; below 0 where nothing holds it open.
    pub fn pressure_bar(&self, spring: Force, supply: Pressure) -> f64 {
        let supply_mpa = supply.gauge_in(PressureUnit::MPa);
        let opening = spring.newtons() - self.opposing_n + supply_mpa * self.supply_mm2;
        opening / self.effective_mm2 / MPA_PER_BAR
    }

    /// Returns the spring force that gives `pressure` at `supply`.
    pub fn spring_newtons(&self, pressure: Pressure, supply: Pressure) -> f64 {
        let holding = pressure.gauge_in(PressureUnit::MPa) * self.effective_mm2;
        holding + self.opposing_n - supply.gauge_in(PressureUnit::MPa) * self.supply_mm2
    }

    /// Returns how much the intermediate pressure changes with the supply (bar a bar).
    pub fn slope(&self) -> f64 {
        self.supply_mm2 / self.effective_mm2
    }

    /// Returns the pressure in bar that a force makes on the effective area: the bite of the seat, or friction.
    pub fn bar_of_force(&self, force: Force) -> f64 {
        force.newtons() / self.effective_mm2 / MPA_PER_BAR
    }

    /// Returns the pressure in bar that a travel of the spring makes: a shim, a screw, or the lift under flow (droop).
    pub fn bar_of_travel(&self, rate_n_per_mm: f64, travel: Length) -> f64 {
        rate_n_per_mm * travel.mm() / self.effective_mm2 / MPA_PER_BAR
    }
}
