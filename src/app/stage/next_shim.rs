//! Works out the next shim or turn.

use crate::app::job::settings::JobSettings;
use crate::core::caution::Caution;
use crate::core::gear::GearKind;
use crate::core::quantity::PressureUnit;
use crate::core::stage::{
    NextSetting, OutletBound, SettingLimits, SettingWarning, ShimQuestion, Step, Stop, StopRule,
    SupplyRating, cautions, next_setting,
};
use serde::Serialize;

/// Holds what bounds the pressure that a shim or a screw sets.
#[derive(Debug, Clone)]
pub struct ShimBounds {
    /// The kind of gear; `None` where nobody said, which is judged as [`GearKind::ASSUMED`].
    pub gear: Option<GearKind>,
    pub limits: SettingLimits,
    /// Ratings of the parts of the unit.
    pub ratings: Vec<SupplyRating>,
}

/// Holds the next setting with what must be seen first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NextShimReport {
    /// What stops the work; then there is no next setting.
    pub stops: Vec<Stop>,
    /// The kind of gear that it was judged as.
    pub gear: GearKind,
    /// Whether somebody stated the kind.
    pub gear_stated: bool,
    /// What bounds the pressure.
    pub bounded_by: OutletBound,
    /// Points on the kind of gear and its bounds.
    pub warnings: Vec<SettingWarning>,
    /// What was asked.
    pub question: ShimQuestion,
    /// The record that the unit's own settings come from.
    pub from_record: Option<JobSettings>,
    pub next: Option<NextSetting>,
    /// Cautions of the step.
    pub cautions: Vec<Caution>,
}

/// Works out the next shim or turn; a pressure or a target above the stop limit, or above a recorded rating, stops instead.
///
/// The ratings of the record count beside those of `bounds`.
pub fn next_shim(
    question: ShimQuestion,
    mut bounds: ShimBounds,
    from_record: Option<JobSettings>,
) -> NextShimReport {
    let recorded = from_record.iter().flat_map(|job| &job.ratings);
    bounds.ratings.extend(recorded.cloned());
    let gear = bounds.gear.unwrap_or(GearKind::ASSUMED);
    let bounded_by = OutletBound::of(gear, &bounds.limits, &bounds.ratings);
    let mut stops = limit_stops(&question, bounds.limits.stop_bar(gear));
    stops.extend(rating_stops(&question, &bounds.ratings));
    let next = if stops.is_empty() {
        next_setting(&question)
    } else {
        None
    };
    NextShimReport {
        stops,
        gear,
        gear_stated: bounds.gear.is_some(),
        bounded_by,
        warnings: warnings(&bounds, gear, bounded_by),
        question,
        from_record,
        next,
        cautions: cautions(Step::Adjust).to_vec(),
    }
}

fn warnings(bounds: &ShimBounds, gear: GearKind, bounded_by: OutletBound) -> Vec<SettingWarning> {
    let assumed = SettingWarning::KindAssumed { judged_as: gear };
    let unbounded = SettingWarning::NothingBounds { gear };
    [
        (bounds.gear.is_none(), assumed),
        (bounded_by == OutletBound::Nothing, unbounded),
    ]
    .into_iter()
    .filter_map(|(found, warning)| found.then_some(warning))
    .collect()
}

fn limit_stops(question: &ShimQuestion, limit: Option<f64>) -> Vec<Stop> {
    let Some(limit) = limit else {
        return Vec::new();
    };
    let said = question.spoken.say(limit);
    let mut stops = Vec::new();
    if last_bar(question).is_some_and(|bar| bar > limit) {
        stops.push(Stop {
            rule: StopRule::Runaway,
            words: format!(
                "STOP: the last pressure is above the stop limit of {said:.1}. Close the supply first, then vent; look for the cause (seat, edge, dirt) before any shim is changed"
            ),
        });
    }
    if question.target_bar > limit {
        stops.push(Stop {
            rule: StopRule::Runaway,
            words: format!(
                "STOP: the target is above the stop limit of {said:.1}: choose a lower one"
            ),
        });
    }
    stops
}

fn rating_stops(question: &ShimQuestion, ratings: &[SupplyRating]) -> Vec<Stop> {
    let mut stops = Vec::new();
    for rating in ratings.iter().filter(|rating| !rating.on_supply) {
        let rated = rating.rating.gauge_in(PressureUnit::Bar);
        let (part, said) = (&rating.part, question.spoken.say(rated));
        if last_bar(question).is_some_and(|bar| bar > rated) {
            stops.push(Stop {
                rule: StopRule::Rating,
                words: format!(
                    "STOP: the last pressure is above the recorded rating of the {part} ({said:.1}). Close the supply first, then vent; do not pressurise it so again"
                ),
            });
        }
        if question.target_bar > rated {
            stops.push(Stop {
                rule: StopRule::Rating,
                words: format!(
                    "STOP: the target is above the recorded rating of the {part} ({said:.1}): choose a lower one"
                ),
            });
        }
    }
    stops
}

fn last_bar(question: &ShimQuestion) -> Option<f64> {
    question.settings.last().map(|setting| setting.pressure_bar)
}
