//! What one entry of a record says.

use crate::core::quantity::Date;
use crate::core::stage::{CreepCall, GaugeStanding, SettingReading, SupplyRating};
use serde::{Deserialize, Serialize};

/// Says when in the work readings were taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum ReadState {
    /// Before it was opened.
    #[serde(rename = "as found")]
    AsFound,
    /// During the work.
    #[serde(rename = "between")]
    Between,
    /// As it is given back.
    #[serde(rename = "as left")]
    AsLeft,
}

impl ReadState {
    /// Returns the words of the state.
    pub const fn words(self) -> &'static str {
        match self {
            Self::AsFound => "as found",
            Self::Between => "between",
            Self::AsLeft => "as left",
        }
    }
}

/// Holds what one entry says.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "entry", rename_all = "kebab-case")]
pub enum JobEntry {
    /// The work begins.
    Open {
        /// What for.
        purpose: String,
        /// The gas.
        gas: String,
        /// Share of oxygen in per cent, where it was said.
        oxygen_pct: Option<f64>,
        /// The threshold of enrichment in per cent.
        threshold_pct: f64,
        /// Whose threshold it is.
        threshold_name: String,
        /// Whether the gas is treated as enriched; `None` where neither words nor share settle it.
        enriched: Option<bool>,
    },
    /// Readings, or why none were taken.
    Reading {
        /// When.
        state: ReadState,
        /// Readings as typed.
        readings: Vec<SettingReading>,
        /// The watched series: seconds and bar.
        creep: Vec<(f64, f64)>,
        /// Seconds to lock-up.
        lock_up_s: Option<f64>,
        /// The gauge in words.
        gauge: String,
        /// Whether it is registered and checked in time.
        gauge_known: bool,
        /// What the watched series said.
        creep_call: Option<CreepCall>,
        /// The verdict, where there is one.
        verdict: Option<String>,
        /// What the checks said, one sentence each.
        said: Vec<String>,
        /// What stopped the work.
        stops: Vec<String>,
        /// Why nothing was read.
        not_tested: Option<String>,
        /// How far the gauge was known on that day; `None` in records from before that was kept.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        standing: Option<GaugeStanding>,
    },
    /// A part fitted.
    Part {
        /// The part and its place.
        part: String,
        /// What was fitted.
        spec: String,
        /// Its lot.
        lot: String,
        /// In what it is another one than the parts list had there on that day.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        unlike: Option<String>,
    },
    /// A part that the list replaces and that stays in the unit.
    Kept {
        /// The part and its place.
        part: String,
        /// Why.
        why: String,
    },
    /// Cleaning.
    Clean {
        /// How.
        how: String,
        /// Whether it was cleaned and verified for enriched gas.
        for_oxygen: bool,
    },
    /// Lubricant.
    Lubricant {
        /// Which.
        name: String,
        /// Its lot.
        lot: String,
    },
    /// A fastener tightened.
    Torque {
        /// Which, and the torque as typed.
        words: String,
    },
    /// Shims fitted.
    Shims {
        /// The stack.
        words: String,
        /// Thickness in all, in millimetres.
        total_mm: f64,
    },
    /// The recorded rating of a part.
    Rating {
        /// The rating.
        rating: SupplyRating,
    },
    /// A test done.
    Tested {
        /// What, how long, and what came of it.
        words: String,
    },
    /// A test not done.
    NotTested {
        /// What, and why.
        words: String,
    },
    /// A remark.
    Remark {
        /// The words.
        words: String,
    },
    /// The end.
    Close {
        /// The second person who checked it.
        checked_by: Option<String>,
        /// Whether it was released for use.
        released: bool,
        /// Limits of use: gas, depth, temperature.
        limits: String,
        /// When it is due again.
        due: Option<Date>,
        /// The user's rule for that.
        due_rule: String,
        /// What was lacking when it was closed without release.
        lacking: Vec<String>,
    },
    /// A correction of an earlier entry, which stays.
    Correction {
        /// Place of the entry that was wrong.
        of: u32,
        /// What is right.
        words: String,
    },
}

impl JobEntry {
    /// Returns the word of its kind.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Open { .. } => "open",
            Self::Reading { .. } => "reading",
            Self::Part { .. } => "part",
            Self::Kept { .. } => "kept",
            Self::Clean { .. } => "clean",
            Self::Lubricant { .. } => "lubricant",
            Self::Torque { .. } => "torque",
            Self::Shims { .. } => "shims",
            Self::Rating { .. } => "rating",
            Self::Tested { .. } => "tested",
            Self::NotTested { .. } => "not tested",
            Self::Remark { .. } => "remark",
            Self::Close { .. } => "close",
            Self::Correction { .. } => "correction",
        }
    }

    /// Lists the readings put right for the gauge, supply and pressure in bar, where the gauge is kept with them.
    pub fn corrected_bar(&self) -> Option<Vec<(f64, f64)>> {
        let Self::Reading {
            readings,
            standing: Some(standing),
            ..
        } = self
        else {
            return None;
        };
        let right = |r: &SettingReading| (r.supply_bar(), r.bar() - standing.offset_bar());
        Some(readings.iter().map(right).collect())
    }

    /// Returns the entry in words, one line.
    pub fn words(&self) -> String {
        match self {
            Self::Open {
                purpose,
                gas,
                oxygen_pct,
                threshold_pct,
                threshold_name,
                ..
            } => {
                let share =
                    oxygen_pct.map_or_else(|| "not stated".to_owned(), |o| format!("{o} %"));
                format!(
                    "{purpose}; gas {gas}, oxygen {share}; enriched above {threshold_pct} % ({threshold_name})"
                )
            }
            Self::Reading { .. } => self.reading_words(),
            Self::Part {
                part,
                spec,
                lot,
                unlike,
            } => {
                let differs = unlike.as_ref().map_or("", |_| "; NOT AS LISTED");
                format!("{part}: {spec}, lot {lot}{differs}")
            }
            Self::Kept { part, why } => format!("{part}: {why}"),
            Self::Clean { how, for_oxygen } => {
                let state = if *for_oxygen {
                    "for enriched gas"
                } else {
                    "for air"
                };
                format!("{state}: {how}")
            }
            Self::Lubricant { name, lot } => format!("{name}, lot {lot}"),
            Self::Rating { rating } => rating.text.clone(),
            Self::Shims { words, total_mm } => format!("{words}, {total_mm} mm in all"),
            Self::Torque { words }
            | Self::Tested { words }
            | Self::NotTested { words }
            | Self::Remark { words } => words.clone(),
            Self::Close { .. } => self.close_words(),
            Self::Correction { of, words } => format!("of entry {of}: {words}"),
        }
    }

    fn reading_words(&self) -> String {
        let Self::Reading {
            state,
            readings,
            verdict,
            stops,
            not_tested,
            gauge,
            ..
        } = self
        else {
            return String::new();
        };
        if let Some(why) = not_tested {
            return format!("{}: not tested: {why}", state.words());
        }
        let read: Vec<&str> = readings.iter().map(|r| r.text.as_str()).collect();
        let verdict = match (stops.first(), verdict) {
            (Some(_), _) => "STOP",
            (None, Some(word)) => word.as_str(),
            (None, None) => "not judged",
        };
        format!(
            "{}: {} ({verdict}); {gauge}",
            state.words(),
            read.join(", ")
        )
    }

    fn close_words(&self) -> String {
        let Self::Close {
            checked_by,
            released,
            limits,
            due,
            due_rule,
            lacking,
        } = self
        else {
            return String::new();
        };
        let second = checked_by.as_deref().unwrap_or("nobody");
        let due = due.map_or_else(|| "no date".to_owned(), |d| d.to_string());
        if *released {
            format!("released; checked by {second}; {limits}; due {due} ({due_rule})")
        } else {
            format!(
                "NOT released; checked by {second}; lacking: {}",
                lacking.join("; ")
            )
        }
    }
}
