//! What is to be seen before a judged setting is relied on.

use super::creep::CreepCall;
use super::design::StageDesign;
use super::stop::OutletBound;
use super::trend::DesignGroup;
use super::verdict::Judged;
use crate::core::gear::GearKind;
use serde::Serialize;

/// Names a point to see before a judged setting is relied on; the pages say it in words.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(tag = "warning", rename_all = "kebab-case")]
pub enum SettingWarning {
    /// The kind of gear was not stated, so that it was judged as another.
    KindAssumed { judged_as: GearKind },
    /// Nothing limits this kind of gear: what was recorded is all that it was held against.
    NoLimitsOfKind { gear: GearKind },
    /// Neither a stop limit nor a recorded rating bounds the pressure behind the seat.
    NothingBounds { gear: GearKind },
    /// The kind has no pressure to set.
    NoSetPressure { gear: GearKind },
    /// The readings change with the supply as those of another design than the stated one.
    AnotherDesign {
        /// What they point to.
        pointed: DesignGroup,
    },
    /// The design cannot be told.
    DesignUntold,
    /// All readings are at one supply.
    OneSupply,
    /// What the watched series is to be told.
    Creep(CreepWarning),
    /// Lock-up was not timed.
    LockUpUntimed,
}

/// Names what a watched series, or the lack of one, is to be told.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(tag = "series", rename_all = "kebab-case")]
pub enum CreepWarning {
    /// The watched series lies far from the readings, and was not counted.
    SeriesApart,
    /// It was not watched.
    Unwatched,
    /// It was watched, and nothing limits it.
    Unlimited {
        /// Rise from the first reading of the series to the last, in bar.
        rise_bar: f64,
        /// Time between them, in seconds.
        watched_s: f64,
    },
    Creeps,
    Falls,
}

impl Judged<'_> {
    /// Lists the warnings, those of the kind of gear first.
    pub(super) fn warnings(&self) -> Vec<SettingWarning> {
        let mut found = self.of_kind();
        found.extend(self.of_supply());
        found.extend(self.of_creep().map(SettingWarning::Creep));
        let asked = self.question.kind().needs_lock_up_and_creep();
        if asked && self.question.lock_up_s.is_none() {
            found.push(SettingWarning::LockUpUntimed);
        }
        found
    }

    fn of_kind(&self) -> Vec<SettingWarning> {
        let gear = self.question.kind();
        let mut found = Vec::new();
        if self.question.gear.is_none() {
            found.push(SettingWarning::KindAssumed { judged_as: gear });
        }
        if gear.needs_cracking_effort() {
            found.push(SettingWarning::NoSetPressure { gear });
        }
        if !self.question.limits.know(gear) {
            found.push(SettingWarning::NoLimitsOfKind { gear });
        }
        if self.bound == OutletBound::Nothing {
            found.push(SettingWarning::NothingBounds { gear });
        }
        found
    }

    fn of_supply(&self) -> Option<SettingWarning> {
        let stated: Option<StageDesign> = self.question.design;
        match &self.trend {
            None => {
                let asked = self.question.kind().needs_two_supplies();
                asked.then_some(SettingWarning::OneSupply)
            }
            Some(trend) => match (stated.map(DesignGroup::of), trend.named) {
                (Some(stated), Some(pointed)) if stated != pointed => {
                    Some(SettingWarning::AnotherDesign { pointed })
                }
                (None, None) if !trend.odds.is_empty() => Some(SettingWarning::DesignUntold),
                _ => None,
            },
        }
    }

    fn of_creep(&self) -> Option<CreepWarning> {
        let series = &self.question.creep;
        match self.creep.as_ref().map(|creep| creep.call) {
            Some(CreepCall::Creeps) => Some(CreepWarning::Creeps),
            Some(CreepCall::Falls) => Some(CreepWarning::Falls),
            Some(CreepCall::Still | CreepCall::Wait) => None,
            None if !self.belongs => Some(CreepWarning::SeriesApart),
            None => match (series.first(), series.last()) {
                (Some(first), Some(last)) if last.0 > first.0 => Some(CreepWarning::Unlimited {
                    rise_bar: last.1 - first.1,
                    watched_s: last.0 - first.0,
                }),
                _ => {
                    let asked = self.question.kind().needs_lock_up_and_creep();
                    asked.then_some(CreepWarning::Unwatched)
                }
            },
        }
    }
}
