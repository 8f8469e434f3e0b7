//! The register of gauges: what each shows too much, and when it was last checked.

use super::reading::SettingReading;
use crate::core::quantity::Date;
use serde::{Deserialize, Serialize};

/// One gauge of the register.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Gauge {
    /// Its name or number.
    pub name: String,
    /// What it shows too much, in bar; below 0 where it shows too little.
    pub offset_bar: f64,
    /// Standard uncertainty that is left after that, in bar.
    pub sd_bar: f64,
    pub checked: Date,
    pub against: String,
}

/// A gauge further off than this, in bar, is to be mended and not put right by a number.
const MOST_OFFSET_BAR: f64 = 20.0;
/// The greatest standard uncertainty that a check leaves, in bar.
const MOST_SD_BAR: f64 = 5.0;

/// Says what of a gauge is not believed, and what to do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum GaugeFault {
    /// It has no name, or nothing it was checked against.
    #[error("a gauge needs a name, and --against must say what it was checked against")]
    Unnamed,
    /// It is too far off.
    #[error(
        "a gauge that is {0} bar off is to be mended or replaced; look at the unit, or at the sign of the offset (at most {MOST_OFFSET_BAR} bar)"
    )]
    Offset(f64),
    /// The check leaves too much doubt, or less than none.
    #[error(
        "a check that leaves ± {0} bar says nothing; look at the unit (at most {MOST_SD_BAR} bar)"
    )]
    Doubt(f64),
    /// Its check has not been yet.
    #[error("--checked {0} is yet to come: write the day of the last check")]
    YetToCome(Date),
}

impl Gauge {
    /// Says what of the gauge is not believed on a day; `None` where all of it may be.
    pub fn fault(&self, today: Date) -> Option<GaugeFault> {
        if self.name.trim().is_empty() || self.against.trim().is_empty() {
            return Some(GaugeFault::Unnamed);
        }
        if !(-MOST_OFFSET_BAR..=MOST_OFFSET_BAR).contains(&self.offset_bar) {
            return Some(GaugeFault::Offset(self.offset_bar.abs()));
        }
        if !(0.0..=MOST_SD_BAR).contains(&self.sd_bar) {
            return Some(GaugeFault::Doubt(self.sd_bar));
        }
        (self.checked > today).then_some(GaugeFault::YetToCome(self.checked))
    }
}

/// Says how far the gauge of a reading is known.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase", tag = "gauge")]
pub enum GaugeStanding {
    /// In the register and checked in time.
    Known { entry: Gauge },
    /// In the register, but the check is too long ago.
    Overdue {
        entry: Gauge,
        /// The last day on which the check still stood.
        until: Date,
    },
    /// Named, but not in the register.
    Unregistered { name: String },
    /// Not named.
    Unnamed,
}

/// Uncertainty of a gauge of which nothing is known, in bar: 2.5 % of a 20 bar scale as the greatest error (recalled).
const UNKNOWN_SD_BAR: f64 = 0.3;
/// Uncertainty of a gauge whose check is overdue, in bar (recalled).
const OVERDUE_SD_BAR: f64 = 0.15;

impl GaugeStanding {
    /// Judges a gauge on a day; `months`: how long a check stands.
    pub fn judge(named: Option<&str>, entry: Option<Gauge>, today: Date, months: u16) -> Self {
        match (named, entry) {
            (_, Some(entry)) => {
                let until = entry.checked.plus_months(months).unwrap_or(entry.checked);
                if today > until {
                    Self::Overdue { entry, until }
                } else {
                    Self::Known { entry }
                }
            }
            (Some(name), None) => Self::Unregistered {
                name: name.to_owned(),
            },
            (None, None) => Self::Unnamed,
        }
    }

    /// Returns what to take off a shown pressure, in bar.
    pub fn offset_bar(&self) -> f64 {
        match self {
            Self::Known { entry } | Self::Overdue { entry, .. } => entry.offset_bar,
            Self::Unregistered { .. } | Self::Unnamed => 0.0,
        }
    }

    /// Puts readings right for what the gauge shows too much: supply and pressure in bar.
    pub fn put_right(&self, readings: &[SettingReading]) -> Vec<(f64, f64)> {
        let offset = self.offset_bar();
        let right = |r: &SettingReading| (r.supply_bar(), r.bar() - offset);
        readings.iter().map(right).collect()
    }

    /// Returns the standard uncertainty of the gauge's level, in bar.
    pub fn sd_bar(&self) -> f64 {
        match self {
            Self::Known { entry } => entry.sd_bar,
            Self::Overdue { entry, .. } => entry.sd_bar.max(OVERDUE_SD_BAR),
            Self::Unregistered { .. } | Self::Unnamed => UNKNOWN_SD_BAR,
        }
    }

    /// Tells whether the gauge is registered and checked in time.
    pub fn is_known(&self) -> bool {
        matches!(self, Self::Known { .. })
    }

    /// Says in words how far the gauge is known.
    pub fn words(&self) -> String {
        match self {
            Self::Known { entry } => format!(
                "gauge {}, checked {} against {}",
                entry.name, entry.checked, entry.against
            ),
            Self::Overdue { entry, until } => format!(
                "gauge {}, whose check of {} stood until {until}: what it showed too much then was taken off, but check it again before you rely on the level",
                entry.name, entry.checked
            ),
            Self::Unregistered { name } => format!(
                "gauge {name} is not in the register, so the level is not well known: `ringwright setting gauge add` enters it"
            ),
            Self::Unnamed => {
                "no known gauge, so the level is not well known: name one with --gauge".to_owned()
            }
        }
    }
}
