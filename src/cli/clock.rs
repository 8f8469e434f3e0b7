//! The clock of the machine, in universal time: the only place that asks it for a day or a moment.

use crate::core::elastomer::Quarter;
use crate::core::quantity::Date;
use jiff::{Timestamp, civil, tz::Offset};

/// Returns this moment to the second, ISO 8601.
pub(super) fn now() -> String {
    let second = Timestamp::now().as_second();
    Timestamp::from_second(second).map_or_else(|_| String::new(), |t| t.to_string())
}

/// Returns this day.
pub(super) fn today() -> Date {
    this_day().into()
}

/// Returns the last day on which it can be today anywhere: clocks run up to 14 hours ahead of UTC.
pub(super) fn tomorrow() -> Option<Date> {
    this_day().tomorrow().ok().map(Date::from)
}

/// Returns this quarter; a quarter is not a matter of hours.
pub(super) fn this_quarter() -> Quarter {
    const SECONDS_A_DAY: i64 = 86_400;
    let days = Timestamp::now().as_second() / SECONDS_A_DAY;
    Quarter::of_day(u64::try_from(days).unwrap_or(0))
}

fn this_day() -> civil::Date {
    Offset::UTC.to_datetime(Timestamp::now()).date()
}
