//! Glands: the space in which a ring is squeezed.
//!
//! [`geometry()`] makes the geometry of a kind from what was measured; [`Figures`] works the figures out over the tolerance
//! stack in a [`State`]; [`Service::judge`] holds them against the published limits of a [`RuleSet`]; [`fit`](Service::fit)
//! does so for every listed ring.

mod bounds;
mod check;
mod error;
mod extrusion;
mod face;
mod figure;
mod fit;
mod geometry;
mod judgement;
mod limits;
mod line_force;
mod metal;
#[allow(
    clippy::excessive_precision,
    reason = "the constants are written as they were published"
)]
mod piston;
mod ring;
mod rod;
mod sampling;
mod section;
mod spec;
mod state;

pub use bounds::Bounds;
pub use check::{Check, Verdict};
pub use error::GlandError;
pub use extrusion::{BACK_UP_PSI, ExtrusionLimit, extrusion_limit};
pub use figure::{Figure, Figures};
pub use fit::{FitCandidate, FitOutcome};
pub use geometry::{Geometry, Seat, geometry};
pub use judgement::{Judgement, Service};
pub use limits::{Application, Limit, RuleSet, Severity};
pub use line_force::{FORCE_LAWS, Modulus, lindley_factor, line_force};
pub use metal::Metal;
pub use ring::GlandRing;
pub use section::{
    LAWS, SectionLaw, constant_volume_inside, constant_volume_outside, stretch_loss,
};
pub use spec::{Duty, GlandDimension, GlandKind, GlandSpec, PressureSide};
pub use state::{Conditions, State};
