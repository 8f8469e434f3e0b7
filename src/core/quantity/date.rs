//! Calendar dates.

use super::error::{QuantityError, QuantityErrorKind as Kind};
use super::typed::Typed;
use jiff::civil;
use serde::{Deserialize, Serialize};

/// Holds a calendar date of the proleptic Gregorian calendar; prints as `2026-03-14` (ISO 8601).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date(civil::Date);

impl Date {
    /// Makes a date; `None` when the calendar has no such day.
    pub fn new(year: i16, month: i8, day: i8) -> Option<Self> {
        civil::Date::new(year, month, day).ok().map(Self)
    }

    /// Returns year, month and day.
    pub fn parts(self) -> (i16, i8, i8) {
        (self.0.year(), self.0.month(), self.0.day())
    }

    /// Returns the next day; `None` beyond the year 9999.
    pub fn tomorrow(self) -> Option<Self> {
        self.0.tomorrow().ok().map(Self)
    }

    /// Returns the day so many months later, the last of its month where the month is shorter; `None` beyond the year 9999.
    pub fn plus_months(self, months: u16) -> Option<Self> {
        self.0
            .checked_add(jiff::Span::new().months(months))
            .ok()
            .map(Self)
    }
}

/// Returns the day of a moment as the program writes it (ISO 8601, `2026-03-14T10:00:00Z`), or of a bare day; `None` where the text
/// is neither.
///
/// ```
/// use ringwright::core::quantity::day_of_moment;
/// assert_eq!(day_of_moment("2026-03-14T10:00:00Z").map(|d| d.to_string()).as_deref(), Some("2026-03-14"));
/// assert_eq!(day_of_moment("the day after"), None);
/// ```
pub fn day_of_moment(text: &str) -> Option<Date> {
    if let Some(day) = iso_date(text) {
        return Some(day);
    }
    let moment: jiff::Timestamp = text.parse().ok()?;
    Some(Date(jiff::tz::Offset::UTC.to_datetime(moment).date()))
}

impl From<civil::Date> for Date {
    fn from(day: civil::Date) -> Self {
        Self(day)
    }
}

impl std::fmt::Display for Date {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.0)
    }
}

impl Serialize for Date {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Date {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        parse_date(&text)
            .map(|typed| typed.value)
            .map_err(serde::de::Error::custom)
    }
}

const MONTHS: [&str; 12] = [
    "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
];

/// Reads a date as `2026-03-14` or `14 Mar 2026`.
///
/// # Errors
/// A date that two readers could read differently ("3/4/2026"), or that the calendar does not have, is refused.
pub fn parse_date(text: &str) -> Result<Typed<Date>, QuantityError> {
    let word = text.trim();
    let date = iso_date(word).or_else(|| named_month(word));
    let Some(date) = date else {
        let begin = text.len() - text.trim_start().len();
        let found: String = word.chars().take(24).collect();
        return Err(QuantityError::new(
            begin,
            begin + word.len(),
            Kind::Date { found },
        ));
    };
    Ok(Typed::new(date, text))
}

fn iso_date(word: &str) -> Option<Date> {
    let parts: Vec<&str> = word.split('-').collect();
    let [year, month, day] = parts.as_slice() else {
        return None;
    };
    if year.len() != 4 || month.len() != 2 || day.len() != 2 {
        return None;
    }
    digits_alone(&parts)?;
    Date::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
}

/// A sign is no part of a date, though a number may carry one.
fn digits_alone(parts: &[&str]) -> Option<()> {
    let digits = |part: &&str| part.bytes().all(|b| b.is_ascii_digit());
    parts.iter().all(digits).then_some(())
}

fn named_month(word: &str) -> Option<Date> {
    let parts: Vec<&str> = word.split_whitespace().collect();
    let [day, month, year] = parts.as_slice() else {
        return None;
    };
    let lower = month.to_lowercase();
    let short = lower.get(..3)?;
    let index = MONTHS.iter().position(|m| *m == short)?;
    if year.len() != 4 || day.len() > 2 {
        return None;
    }
    digits_alone(&[day, year])?;
    let month = i8::try_from(index + 1).ok()?;
    Date::new(year.parse().ok()?, month, day.parse().ok()?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_dates_that_read_one_way_are_taken() {
        let read = |t| parse_date(t).map(|d| d.value.to_string());
        assert_eq!(read("2026-03-14").as_deref(), Ok("2026-03-14"));
        assert_eq!(read("14 March 2026").as_deref(), Ok("2026-03-14"));
        for text in [
            "3/4/2026",
            "2026-02-30",
            "2026-3-4",
            "14 Mar 26",
            "",
            "14.03.2026",
            "+202-03-14",
            "14 Mar -202",
            "+4 Mar 2026",
            "004 Mar 2026",
        ] {
            assert!(read(text).is_err(), "{text}");
        }
    }
}
