//! Quantities with their units: what was typed, what was meant, and exactly how it converts.
//!
//! Lengths are whole nanometres ([`Length`]), because an inch is exactly 25.4 mm and sizes of both systems must meet
//! without round-off. Other quantities are floats behind newtypes with a checked range. Their units stand in
//! `data/quantity/units.csv` and nowhere else.

mod amount;
mod date;
mod dimension;
mod error;
mod hardness;
mod length;
mod money;
mod number;
mod pressure;
mod scalar;
mod serial;
mod shop;
mod spoken;
mod temperature;
mod typed;
mod unit_table;

pub use amount::{
    Angle, Force, GRAMS_PER_OUNCE, Mass, NEWTON_PER_KGF, NEWTON_PER_LBF, Temperature, Torque,
    parse_angle, parse_duration, parse_force, parse_mass, parse_temperature, parse_torque,
};
pub use date::{Date, day_of_moment, parse_date};
pub use dimension::Dimension;
pub use error::{QuantityError, QuantityErrorKind};
pub(crate) use hardness::hardness_scale;
pub use hardness::{Hardness, HardnessScale, parse_hardness};
pub use length::{Length, LengthUnit, NM_PER_INCH, NM_PER_MM};
pub use money::{Currency, Money, parse_money};
pub(crate) use number::scan_number;
pub use pressure::{
    Pressure, PressureReference, PressureUnit, STANDARD_ATMOSPHERE_PA, parse_pressure,
};
pub use serial::{as_mm, as_optional_mm, from_mm, from_optional_mm};
pub(crate) use shop::{RawDimension, resolve, scan_dimensions};
pub use shop::{parse_dimension, parse_readings};
pub use spoken::{Spoken, SpokenPressure};
pub use temperature::{TemperatureRange, parse_temperature_range};
pub use typed::{Span, Typed};
