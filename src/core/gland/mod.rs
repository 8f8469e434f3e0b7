//! Glands: the space in which a ring is squeezed.

mod spec;

pub use spec::{Duty, GlandDimension, GlandKind, GlandSpec, PressureSide};
