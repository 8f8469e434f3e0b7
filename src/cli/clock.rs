//! The clock of the machine, in universal time: the only place that asks it for a day or a moment.

use crate::core::elastomer::Quarter;
use crate::core::quantity::Date;
use jiff::{Timestamp, civil, tz::Offset};
use std::time::SystemTime;

/// Returns this moment to the second, ISO 8601.
pub(super) fn now() -> String {
    let second = moment(SystemTime::now()).as_second();
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
    let days = moment(SystemTime::now()).as_second() / SECONDS_A_DAY;
    Quarter::of_day(u64::try_from(days).unwrap_or(0))
}

fn this_day() -> civil::Date {
    Offset::UTC.to_datetime(moment(SystemTime::now())).date()
}

/// Takes what the machine's clock says; one beyond the years that the calendar knows stands at its end.
fn moment(clock: SystemTime) -> Timestamp {
    Timestamp::try_from(clock).unwrap_or(if clock < SystemTime::UNIX_EPOCH {
        Timestamp::MIN
    } else {
        Timestamp::MAX
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    #[test]
    fn a_clock_beyond_the_calendar_stands_at_its_end() {
        const YEAR_9999: u64 = 253_402_214_400;
        let at = |seconds| moment(SystemTime::UNIX_EPOCH + Duration::from_secs(seconds));
        assert_eq!(at(YEAR_9999 - 86_400).to_string(), "9999-12-30T00:00:00Z");
        assert_eq!(at(YEAR_9999), Timestamp::MAX);
        assert_eq!(at(YEAR_9999 * 30), Timestamp::MAX);
        let before = SystemTime::UNIX_EPOCH - Duration::from_secs(YEAR_9999 * 30);
        assert_eq!(moment(before), Timestamp::MIN);
        assert_eq!(at(0).to_string(), "1970-01-01T00:00:00Z");
    }
}
