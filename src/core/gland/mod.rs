//! Glands: the space in which a ring is squeezed.
//!
//! [`geometry()`] makes the geometry of a kind from what was measured; [`Figures`] works the figures out over the tolerance
//! stack in a [`State`]; [`Service::judge`] holds them against the published limits of a [`RuleSet`]; [`fit`](Service::fit)
//! does so for every listed ring.

mod axial;
mod back_up;
mod bounds;
mod check;
mod column;
mod compression_set;
mod cut;
mod doubt;
mod draw;
mod error;
mod extrusion;
mod figure;
mod fit;
mod geometry;
mod groove_table;
mod judgement;
mod kind;
mod law;
mod limits;
mod line_force;
mod metal;
mod port_thread;
mod profile;
mod quantile_cells;
mod radial;
mod ring;
mod sampling;
mod seated_rings;
mod seats;
mod section;
mod sequence;
mod spec;
mod state;
mod survey;
mod tally;
mod wedge;
mod widest;

pub use back_up::MOST_BACK_UPS;
pub use bounds::Bounds;
pub use check::{Check, Verdict};
pub use compression_set::{CompressionSet, TypicalSet};
pub use cut::{CutError, CutGroove, CutOrder, CutPrint, PrintedEnd};
pub use doubt::{Doubt, DoubtShare};
pub use error::GlandError;
pub use extrusion::{BACK_UP_PSI, ExtrusionLimit, extrusion_limit};
pub use figure::{Figure, Figures};
pub use fit::{FitCandidate, FitOutcome};
pub use geometry::{Geometry, Seat, geometry};
pub use groove_table::{PrintedGroove, PrintedHousing};
pub use judgement::{Judgement, Service};
pub use kind::{Direction, KindFacts};
pub use law::Law;
pub use limits::{Application, Limit, RuleSet, Severity};
pub use line_force::{
    FORCE_LAWS, FRICTION, Modulus, contact_stress, contact_width, lindley_factor, line_force,
};
pub use metal::Metal;
pub use port_thread::PortThread;
pub use ring::GlandRing;
pub use section::{LAWS, constant_volume_inside, stretch_loss};
pub use spec::{Duty, GlandDimension, GlandKind, GlandSpec, PressureSide};
pub use state::{Conditions, State};
pub use survey::{FigureSpread, Outside, Survey};
