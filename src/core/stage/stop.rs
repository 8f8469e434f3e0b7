//! What stops the work, and what bounds the pressure behind the seat.

use super::limits::SettingLimits;
use super::reading::{SettingReading, SupplyRating};
use super::verdict::SettingQuestion;
use crate::core::gear::GearKind;
use crate::core::quantity::Spoken;
use serde::Serialize;

/// Names why the work stops.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum StopRule {
    /// Above the stop limit.
    Runaway,
    /// Above the recorded rating of a part.
    Rating,
}

/// Says that the work stops, and what to do first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stop {
    pub rule: StopRule,
    pub words: String,
}

/// Names what bounds the pressure behind the seat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum OutletBound {
    /// The stop limit of the kind of gear, and the recorded ratings.
    StopLimit,
    /// The recorded ratings alone, because the kind has no stop limit.
    RecordedRatings,
    /// Neither.
    Nothing,
}

impl OutletBound {
    /// Finds what bounds the pressure of a unit of this kind with these ratings; a rating on the supply does not.
    pub fn of(gear: GearKind, limits: &SettingLimits, ratings: &[SupplyRating]) -> Self {
        if limits.stop_bar(gear).is_some() {
            Self::StopLimit
        } else if ratings.iter().any(|rating| !rating.on_supply) {
            Self::RecordedRatings
        } else {
            Self::Nothing
        }
    }
}

/// Finds what stops the work: a pressure above the stop limit of the kind of gear, or above a recorded rating.
pub fn stops(question: &SettingQuestion) -> Vec<Stop> {
    let offset = question.gauge.offset_bar();
    let worst = question
        .readings
        .iter()
        .map(SettingReading::bar)
        .chain(question.creep.iter().map(|p| p.1))
        // The shown pressure counts as well, because an offset may be wrong.
        .fold(f64::NEG_INFINITY, |most, bar| {
            most.max(bar).max(bar - offset)
        });
    let supply = question
        .readings
        .iter()
        .map(SettingReading::supply_bar)
        .fold(f64::NEG_INFINITY, f64::max);
    let spoken = Spoken::of(question.readings.iter().map(|r| r.text.as_str()));
    let said = |bar: f64| format!("{:.1}", spoken.say(bar));
    let kind = question.kind();
    let mut found = Vec::new();
    if let Some(stop) = question.limits.stop_bar(kind).filter(|stop| worst > *stop) {
        let vent = if kind.is_life_support() {
            "vent through the second stage or the relief valve"
        } else {
            "vent"
        };
        found.push(Stop {
            rule: StopRule::Runaway,
            words: format!(
                "STOP: {} is above the stop limit of {}. Close the supply first, then {vent}; keep clear of hose and gauge. Do not touch the adjuster under pressure",
                said(worst),
                said(stop)
            ),
        });
    }
    for rating in &question.ratings {
        let (seen, on) = if rating.on_supply {
            (supply, "supply")
        } else {
            (worst, kind.set_pressure())
        };
        let rated = rating.rating.bar();
        if seen > rated {
            let written = Spoken::of([rating.text.as_str()]);
            found.push(Stop {
                rule: StopRule::Rating,
                words: format!(
                    "STOP: the {on} of {} is above the recorded rating of the {} ({}). Close the supply first, then vent; do not pressurise it so again",
                    format_args!("{:.1}", written.say(seen)),
                    rating.part,
                    format_args!("{:.1}", written.say(rated))
                ),
            });
        }
    }
    found
}
