//! Measurements of rings: what was read, with which instrument, and in which state the ring was.

mod condition;
mod contact;
mod instrument;
mod instrument_table;
mod known_ring;
mod learning;
mod reading;
mod squash;

pub use condition::Condition;
pub use contact::{Rubber, TABLE_SECTION_MM, TABLE_SHORE_A};
pub use instrument::{Instrument, InstrumentError, Instruments};
pub use instrument_table::{TableFault, read_instruments};
pub use known_ring::{KnownError, KnownReading, KnownRing};
pub use learning::{Belief, Learned, learn};
pub use reading::{Measurand, Reading};
pub use squash::{Pinch, SquashError};
