//! Calendar dates.

use super::error::{QuantityError, QuantityErrorKind as Kind};
use super::typed::Typed;
use crate::core::data_table::shipped_rows;
use jiff::civil;
use serde::{Deserialize, Serialize};
use std::collections::HashMap;
use std::sync::LazyLock;

/// A calendar date of the proleptic Gregorian calendar; prints as `2026-03-14` (ISO 8601).
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

#[derive(Deserialize)]
struct MonthRow {
    word: String,
    month: i8,
}

/// The names of the months in five languages (`data/quantity/months.csv`).
static MONTHS: LazyLock<HashMap<String, i8>> = LazyLock::new(|| {
    let rows: Vec<MonthRow> = shipped_rows!("quantity/months.csv");
    rows.into_iter().map(|row| (row.word, row.month)).collect()
});

/// Reads a date as `2026-03-14`, `14 Mar 2026`, `March 14, 2026` or `14.3.2026`, in which the day comes first.
///
/// # Errors
/// A date that two readers could read differently ("3/4/2026"), or that the calendar does not have, is refused.
pub fn parse_date(text: &str) -> Result<Typed<Date>, QuantityError> {
    let word = text.trim();
    let date = iso_date(word)
        .or_else(|| dotted(word))
        .or_else(|| slashed(word))
        .or_else(|| named_month(word));
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

/// Makes a date of a year of four digits, a month and a day of one or two.
fn of_words(year: &str, month: &str, day: &str) -> Option<Date> {
    let digits = |part: &str, most: usize| {
        (1..=most).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit())
    };
    let formed = year.len() == 4 && digits(year, 4) && digits(month, 2) && digits(day, 2);
    if !formed {
        return None;
    }
    Date::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
}

/// Gives the parts of a date that has three.
fn three<'t>(parts: impl Iterator<Item = &'t str>) -> Option<[&'t str; 3]> {
    parts.collect::<Vec<&str>>().try_into().ok()
}

/// Year first, with dashes, slashes or nothing between: no other order begins with the year.
fn iso_date(word: &str) -> Option<Date> {
    if word.len() == 8 && word.bytes().all(|b| b.is_ascii_digit()) {
        return of_words(&word[..4], &word[4..6], &word[6..]);
    }
    let sign = if word.contains('/') { '/' } else { '-' };
    let [year, month, day] = three(word.split(sign))?;
    of_words(year, month, day)
}

/// Points part dates whose day comes first, wherever they are used.
fn dotted(word: &str) -> Option<Date> {
    let [day, month, year] = three(word.split('.').map(str::trim))?;
    of_words(year, month, day)
}

/// With slashes either order is used: only a date that has one meaning is one.
fn slashed(word: &str) -> Option<Date> {
    let [first, second, year] = three(word.split('/'))?;
    let (day_first, month_first) = (of_words(year, second, first), of_words(year, first, second));
    match (day_first, month_first) {
        (Some(a), Some(b)) => (a == b).then_some(a),
        (one, other) => one.or(other),
    }
}

/// The month by its name: "14 Mar 2026", "4. März 2026", "March 4, 2026", "4-Mar-2026".
fn named_month(word: &str) -> Option<Date> {
    let lower = word.to_lowercase();
    let parts = lower
        .split(|c: char| c.is_whitespace() || matches!(c, '-' | ','))
        .map(|part| part.trim_end_matches('.'))
        .filter(|part| !part.is_empty() && *part != "de");
    let [first, second, year] = three(parts)?;
    let (day, month) = match (MONTHS.get(first), MONTHS.get(second)) {
        (None, Some(month)) => (first, month),
        (Some(month), None) => (second, month),
        _ => return None,
    };
    of_words(year, &month.to_string(), day)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_dates_that_read_one_way_are_taken() {
        let read = |t| parse_date(t).map(|d| d.value.to_string());
        assert_eq!(read("2026-03-14").as_deref(), Ok("2026-03-14"));
        assert_eq!(read("14 March 2026").as_deref(), Ok("2026-03-14"));
        assert_eq!(read("14.3.2026").as_deref(), Ok("2026-03-14"));
        assert_eq!(read("13/4/2026").as_deref(), Ok("2026-04-13"));
        for text in [
            "3/4/2026",
            "2026-02-30",
            "14 Mar 26",
            "",
            "03-04-2026",
            "31.4.2026",
            "3/94",
            "+202-03-14",
            "14 Mar -202",
            "+4 Mar 2026",
            "004 Mar 2026",
        ] {
            assert!(read(text).is_err(), "{text}");
        }
    }
}
