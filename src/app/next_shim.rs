//! Works out the next shim or turn.

use super::job::settings::JobSettings;
use crate::core::quantity::PressureUnit;
use crate::core::stage::{
    NextSetting, SettingLimits, ShimQuestion, Step, Stop, StopRule, cautions, next_setting,
};
use serde::Serialize;

/// Holds the next setting with what must be seen first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NextShimReport {
    /// What stops the work; then there is no next setting.
    pub stops: Vec<Stop>,
    /// What was asked.
    pub question: ShimQuestion,
    /// The record that the unit's own settings come from.
    pub from_record: Option<JobSettings>,
    /// The next setting.
    pub next: Option<NextSetting>,
    /// Cautions of the step.
    pub cautions: Vec<&'static str>,
}

/// Works out the next shim or turn; a pressure or a target above the stop limit, or above a recorded rating, stops instead.
pub fn next_shim(
    question: ShimQuestion,
    limits: &SettingLimits,
    from_record: Option<JobSettings>,
) -> NextShimReport {
    let limit = limits.stop_bar();
    let mut stops = Vec::new();
    if question
        .settings
        .last()
        .is_some_and(|s| s.pressure_bar > limit)
    {
        stops.push(Stop {
            rule: StopRule::Runaway,
            words: format!(
                "STOP: the last pressure is above the stop limit of {limit:.1} bar. Close the supply first, then vent; look for the cause (seat, edge, dirt) before any shim is changed"
            ),
        });
    }
    if question.target_bar > limit {
        stops.push(Stop {
            rule: StopRule::Runaway,
            words: format!(
                "STOP: the target is above the stop limit of {limit:.1} bar: choose a lower one"
            ),
        });
    }
    let ratings = from_record.iter().flat_map(|job| &job.ratings);
    for rating in ratings.filter(|rating| !rating.on_supply) {
        let rated = rating.rating.gauge_in(PressureUnit::Bar);
        if question.target_bar > rated {
            stops.push(Stop {
                rule: StopRule::Rating,
                words: format!(
                    "STOP: the target is above the recorded rating of the {} ({rated:.1} bar): choose a lower one",
                    rating.part
                ),
            });
        }
    }
    let next = if stops.is_empty() {
        next_setting(&question)
    } else {
        None
    };
    NextShimReport {
        stops,
        question,
        from_record,
        next,
        cautions: cautions(Step::Adjust).to_vec(),
    }
}
