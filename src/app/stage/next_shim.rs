//! Works out the next shim or turn.

use crate::core::caution::Caution;
use crate::core::gear::GearKind;
use crate::core::job::OwnSettings;
use crate::core::stage::{
    NextSetting, OutletBound, SettingLimits, SettingWarning, ShimQuestion, Step, Stop, StopRule,
    SupplyRating, cautions, next_setting,
};
use serde::Serialize;

/// What bounds the pressure that a shim or a screw sets.
#[derive(Debug, Clone)]
pub struct ShimBounds {
    /// The kind of gear; `None` where nobody said, which is judged as [`GearKind::ASSUMED`].
    pub gear: Option<GearKind>,
    pub limits: SettingLimits,
    /// Ratings of the parts of the unit.
    pub ratings: Vec<SupplyRating>,
}

/// The next setting with what must be seen first.
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
    pub question: ShimQuestion,
    /// The record that the unit's own settings come from.
    pub from_record: Option<OwnSettings>,
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
    from_record: Option<OwnSettings>,
) -> NextShimReport {
    let recorded = from_record.iter().flat_map(|job| &job.ratings);
    bounds.ratings.extend(recorded.cloned());
    let gear = bounds.gear.unwrap_or(GearKind::ASSUMED);
    let bounded_by = OutletBound::of(gear, &bounds.limits, &bounds.ratings);
    let stops = stops(&question, &bounds_of(&question, gear, &bounds));
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

/// Says of every bound whether the last pressure or the target is above it.
fn stops(question: &ShimQuestion, bounds: &[Bound]) -> Vec<Stop> {
    let last = question.settings.last();
    let last = last.map_or(f64::NEG_INFINITY, |setting| setting.pressure_bar);
    let mut stops = Vec::new();
    for Bound {
        rule,
        bar,
        name,
        then,
    } in bounds
    {
        let mut stop = |words| stops.push(Stop { rule: *rule, words });
        if last > *bar {
            stop(format!(
                "STOP: the last pressure is above {name}. Close the supply first, then vent; {then}"
            ));
        }
        if question.target_bar > *bar {
            stop(format!(
                "STOP: the target is above {name}: choose a lower one"
            ));
        }
    }
    stops
}

/// A pressure above which nothing is set.
struct Bound {
    rule: StopRule,
    bar: f64,
    name: String,
    /// What is done where the unit stands above it, once it is vented.
    then: &'static str,
}

/// Lists the stop limit of the kind of gear, and the ratings of the parts behind the seat.
fn bounds_of(question: &ShimQuestion, gear: GearKind, bounds: &ShimBounds) -> Vec<Bound> {
    let limit = bounds.limits.stop_bar(gear).map(|bar| Bound {
        rule: StopRule::Runaway,
        bar,
        name: format!("the stop limit of {:.1}", question.spoken.say(bar)),
        then: "look for the cause (seat, edge, dirt) before any shim is changed",
    });
    let ratings = bounds.ratings.iter().filter(|rating| !rating.on_supply);
    let rated = ratings.map(|rating| {
        let bar = rating.rating.bar();
        let said = question.spoken.say(bar);
        Bound {
            rule: StopRule::Rating,
            bar,
            name: format!("the recorded rating of the {} ({said:.1})", rating.part),
            then: "do not pressurise it so again",
        }
    });
    limit.into_iter().chain(rated).collect()
}
