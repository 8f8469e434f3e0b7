//! How long a loose seal may be stored, by two published systems that are never blended.

use super::polymer::Polymer;
use crate::core::confidence::Confidence;
use crate::core::data_table::shipped_rows;
use crate::core::word::words;
use serde::{Deserialize, Serialize};
use std::sync::LazyLock;

/// Names a system of shelf lives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ShelfLifeSystem {
    /// SAE AS/ARP5316.
    Sae,
    /// ISO 2230.
    Iso,
}

words!(ShelfLifeSystem {
    Iso => "iso",
    Sae => "sae",
});

/// What one system gives one polymer. It says nothing about life once fitted, nor about rings in an old assembly.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ShelfLife {
    pub system: ShelfLifeSystem,
    pub edition: String,
    pub polymer: Polymer,
    /// Group of the system, where it has groups.
    pub group: Option<String>,
    pub first_years: Option<u16>,
    /// Years more after inspection.
    pub extension_years: Option<u16>,
    unlimited: u8,
    pub source: String,
    pub confidence: Confidence,
}

static ROWS: LazyLock<Vec<ShelfLife>> =
    LazyLock::new(|| shipped_rows!("elastomers/shelf_life.csv"));

/// A quarter of a year, as date codes name it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Quarter {
    pub year: u16,
    /// The quarter, 1 to 4.
    pub quarter: u8,
}

impl ShelfLife {
    /// Lists what each system gives a polymer, one row a system; a system that does not name the polymer gives none.
    pub fn of(polymer: Polymer) -> Vec<&'static Self> {
        ROWS.iter().filter(|row| row.polymer == polymer).collect()
    }

    /// Tells whether the system sets no limit.
    pub const fn is_unlimited(&self) -> bool {
        self.unlimited == 1
    }

    /// Returns the quarter in whose first day the first life ends; `None` where it is unlimited.
    ///
    /// The clock starts when the quarter of cure ends: cured in 4Q20, three years end on 1 January 2024.
    ///
    /// ```
    /// use ringwright::core::elastomer::{Polymer, Quarter, ShelfLife};
    /// let cured = Quarter::from_code("4Q20", 2026).unwrap();
    /// let sae = ShelfLife::of(Polymer::Nbr)[0];
    /// assert_eq!(sae.ends(cured), Some(Quarter { year: 2036, quarter: 1 }));
    /// ```
    pub fn ends(&self, cured: Quarter) -> Option<Quarter> {
        let years = self.first_years?;
        let start = cured.next();
        Some(Quarter {
            year: start.year.checked_add(years)?,
            ..start
        })
    }
}

impl std::fmt::Display for Quarter {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}Q{}", self.quarter, self.year)
    }
}

impl ShelfLifeSystem {
    /// Returns the name that is shown.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Sae => "SAE AS/ARP5316",
            Self::Iso => "ISO 2230",
        }
    }
}

/// No date code is older; rings of rubber of this shape are younger.
const FIRST_YEAR: u16 = 1900;

impl Quarter {
    /// Reads a date code: `2Q82` as it is moulded on packages, `3/94` as ISO writes the third quarter (never March), `4Q2020`,
    /// `2025-Q2`.
    ///
    /// A year of two digits is the latest one that is not after `this_year`; one of four digits is none before 1900, when
    /// no package carried such a code.
    pub fn from_code(code: &str, this_year: u16) -> Option<Self> {
        let upper = code.trim().to_uppercase();
        let (quarter, year) = match upper.split_once("-Q") {
            Some((year, quarter)) => (quarter, year),
            None => upper.split_once(['Q', '/'])?,
        };
        let (quarter, digits) = (quarter.trim(), year.trim());
        // A number may carry a sign, and a date code does not.
        if ![quarter, digits]
            .iter()
            .all(|word| word.bytes().all(|b| b.is_ascii_digit()))
        {
            return None;
        }
        let quarter: u8 = quarter.parse().ok()?;
        let number: u16 = digits.parse().ok()?;
        let year = match digits.len() {
            4 if number >= FIRST_YEAR => number,
            2 => {
                let century = this_year / 100 * 100;
                if century + number > this_year {
                    century + number - 100
                } else {
                    century + number
                }
            }
            _ => return None,
        };
        (1..=4).contains(&quarter).then_some(Self { year, quarter })
    }

    /// Returns the quarter of a day counted from 1 January 1970, by the Gregorian calendar.
    pub fn of_day(days: u64) -> Self {
        let mut left = days;
        let mut year: u16 = 1970;
        loop {
            let leap =
                year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
            let february = 28 + u64::from(leap);
            let quarters = [31 + february + 31, 91, 92, 92];
            for (quarter, length) in (1_u8..).zip(quarters) {
                if left < length {
                    return Self { year, quarter };
                }
                left -= length;
            }
            year = year.saturating_add(1);
        }
    }

    /// Returns the quarter after this one.
    #[must_use]
    pub const fn next(self) -> Self {
        if self.quarter < 4 {
            Self {
                quarter: self.quarter + 1,
                ..self
            }
        } else {
            Self {
                year: self.year + 1,
                quarter: 1,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_systems_stay_apart() {
        // SAE: nitrile 15 years, fluorocarbon unlimited; ISO 2230:2002: nitrile 7 + 3, fluorocarbon 10 + 5 (extracts).
        let nitrile = ShelfLife::of(Polymer::Nbr);
        assert_eq!(nitrile.len(), 2);
        assert_eq!(nitrile[0].first_years, Some(15));
        assert_eq!(
            (nitrile[1].first_years, nitrile[1].extension_years),
            (Some(7), Some(3))
        );
        let fluorocarbon = ShelfLife::of(Polymer::Fkm);
        assert!(fluorocarbon[0].is_unlimited() && !fluorocarbon[1].is_unlimited());
        assert_eq!(ShelfLife::of(Polymer::Ptfe).len(), 1);
        for row in ROWS.iter() {
            assert_eq!(row.first_years.is_none(), row.is_unlimited());
        }
    }

    #[test]
    fn days_fall_into_their_quarters() {
        // 1 January 2000 is day 10 957, 1 April 2000 (a leap year) day 11 048, 31 December 2023 day 19 722.
        let of = |day| {
            let quarter = Quarter::of_day(day);
            (quarter.year, quarter.quarter)
        };
        assert_eq!(of(0), (1970, 1));
        assert_eq!((of(10_956), of(10_957)), ((1999, 4), (2000, 1)));
        assert_eq!((of(11_047), of(11_048)), ((2000, 1), (2000, 2)));
        assert_eq!((of(19_722), of(19_723)), ((2023, 4), (2024, 1)));
    }

    #[test]
    fn date_codes_name_quarters_and_the_clock_starts_at_their_end() {
        let read = |code| Quarter::from_code(code, 2026).map(|q| (q.year, q.quarter));
        assert_eq!(read("2Q82"), Some((1982, 2)));
        assert_eq!(read("3/94"), Some((1994, 3)));
        assert_eq!(read("4Q2020"), Some((2020, 4)));
        assert_eq!(read("2025-Q2"), Some((2025, 2)));
        assert_eq!(read("5Q20"), None);
        assert_eq!(read("2025-2"), None);
        assert_eq!(read("Q20"), None);
        for text in ["4Q0200", "+4Q20", "4Q+202", "4Q+2", "4/-2"] {
            assert_eq!(read(text), None, "{text}");
        }
        // Cured 15 November 2020 is 4Q20, counts from 1 January 2021; three years end on 1 January 2024.
        let cured = Quarter::from_code("4Q20", 2026).expect("reads");
        let three = ShelfLife {
            first_years: Some(3),
            ..ShelfLife::of(Polymer::Nbr)[0].clone()
        };
        assert_eq!(three.ends(cured), Quarter::from_code("1Q24", 2026));
    }
}
