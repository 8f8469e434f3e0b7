//! Measurements of rings: what was read, with which instrument, and in which state the ring was.

mod condition;
mod instrument;
mod reading;

pub use condition::Condition;
pub use instrument::{Instrument, InstrumentError, Instruments};
pub use reading::{Measurand, Reading};
